#include <algorithm>
#include <set>
#include <tuple>

#include "core/base/number_text.h"
#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"
#include "core/study/curve_series.h"

namespace aftercurve {

namespace {

std::string emptyTextFor(const Findings& findings) {
    return findings.exclusionsIgnored ? "This run was asked to ignore the study's exclusions."
                                      : "The study has no exclusions.";
}

/// What one exclusion takes out: curves as a whole, and samples (values, also those below the limit of
/// quantification), those of the curves included.
struct Taken {
    std::size_t curves = 0;
    std::size_t samples = 0;
};

Taken takenBy(const Exclusion& exclusion, const Study& study) {
    Taken taken;
    CurveSeries place;
    std::set<std::tuple<std::uint32_t, std::uint32_t, std::int32_t, std::uint32_t>> curves;
    for (std::uint32_t analyte = 0; analyte < study.analytes.size(); ++analyte) {
        place.analyte = analyte;
        for (std::uint32_t draw = 0; draw < study.draws.size(); ++draw) {
            const Draw& row = study.draws[draw];
            place.subject = row.subject;
            place.food = row.food;
            place.visit = row.visit;
            const bool curve = excludes(exclusion, study, place);
            if (curve) {
                curves.emplace(row.subject, row.food, row.visit, analyte);
            }
            if ((curve || excludesSample(exclusion, study, place, draw)) &&
                (study.concentrations[analyte][draw] || belowLimitAt(study, draw, analyte))) {
                ++taken.samples;
            }
        }
    }
    taken.curves = curves.size();
    return taken;
}

std::string orAll(const std::string& text) {
    return text.empty() ? "all" : text;
}

using Compared = std::vector<ComparisonFinding>;

const ComparisonFinding* counterpart(const Compared& list, const ComparisonFinding& one) {
    const auto found = std::find_if(list.begin(), list.end(), [&one](const ComparisonFinding& c) {
        return c.analyte == one.analyte && c.measure == one.measure && c.food == one.food;
    });
    return found == list.end() ? nullptr : &*found;
}

const IndexFinding* counterpart(const std::vector<IndexFinding>& list, const IndexFinding& one) {
    const auto found = std::find_if(list.begin(), list.end(), [&one](const IndexFinding& c) {
        return c.analyte == one.analyte && c.food == one.food;
    });
    return found == list.end() ? nullptr : &*found;
}

Row comparisonRow(const Study& study, const ComparisonFinding& with, const ComparisonFinding* without) {
    Row row;
    row.key = with.analyte + "/" + with.measure + "/" + with.food;
    row.cells = {with.analyte,
                 std::string{"difference from "} + labelOf(study, with.comparator),
                 measureLabel(with.measure),
                 with.unit,
                 labelOf(study, with.food),
                 cellOf(with.t.n),
                 cellOf(with.t.meanDifference),
                 cellOf(with.t.p),
                 without ? cellOf(without->t.n) : Cell{},
                 without ? cellOf(without->t.meanDifference) : Cell{},
                 without ? cellOf(without->t.p) : Cell{}};
    return row;
}

Row indexRow(const Study& study, const IndexFinding& with, const IndexFinding* without) {
    Row row;
    row.key = with.analyte + "/index/" + with.food;
    row.cells = {with.analyte,
                 std::string{"index against "} + labelOf(study, with.reference),
                 measureLabel(with.measure),
                 Cell{},
                 labelOf(study, with.food),
                 cellOf(with.index.n),
                 cellOf(with.index.mean),
                 Cell{},
                 without ? cellOf(without->index.n) : Cell{},
                 without ? cellOf(without->index.mean) : Cell{},
                 Cell{}};
    return row;
}

}  // namespace

Table exclusionsTable(const Study& study, const Findings& findings) {
    Table table;
    table.key = "exclusions";
    table.title = "Exclusions";
    table.emptyText = emptyTextFor(findings);
    table.columns = {
        textColumn("subject", "Subject"),
        textColumn("food", "Food"),
        textColumn("visit", "Visit"),
        textColumn("analyte", "Analyte"),
        numberColumn("time_min", "Time", "min", 0, "Of single samples"),
        countColumn("curves", "Curves", "Curves that it takes out"),
        countColumn("samples", "Samples", "Values that it takes out, those of the curves included"),
        textColumn("reason", "Reason"),
        textColumn("by", "By"),
        textColumn("on", "On")};
    for (std::size_t i = 0; i < study.exclusions.size(); ++i) {
        const Exclusion& exclusion = study.exclusions[i];
        const Taken taken = takenBy(exclusion, study);
        Row row;
        row.key = std::to_string(i);
        row.muted = taken.samples == 0;
        row.cells = {orAll(exclusion.subject),
                     exclusion.food.empty() ? std::string{"all"} : labelOf(study, exclusion.food),
                     exclusion.visit ? std::to_string(*exclusion.visit) : std::string{"all"},
                     orAll(exclusion.analyte),
                     cellOf(exclusion.timeMin),
                     cellOf(taken.curves),
                     cellOf(taken.samples),
                     exclusion.reason.empty() ? std::string{"no reason given"} : exclusion.reason,
                     cellOf(exclusion.by),
                     cellOf(exclusion.on)};
        table.rows.push_back(std::move(row));
    }
    return table;
}

Table exclusionsEffectTable(const Study& study, const Findings& findings) {
    Table table;
    table.key = "exclusions_effect";
    table.title = "Results with and without the exclusions";
    table.emptyText =
        study.exclusions.empty() ? emptyTextFor(findings) : "Nothing is compared, and there is no index.";
    table.columns = {
        textColumn("analyte", "Analyte"),
        textColumn("result", "Result"),
        textColumn("measure", "Measure"),
        textColumn("unit", "Unit"),
        textColumn("food", "Food"),
        countColumn("n", "n", "Subjects, the exclusions applied"),
        numberColumn("estimate", "Estimate", "", 2, "Mean difference or mean index, the exclusions applied"),
        pColumn("p", "p", "Paired t, not adjusted, the exclusions applied"),
        countColumn("n_ignoring", "n, all counted", "Subjects, no exclusion applied"),
        numberColumn("estimate_ignoring", "Estimate, all counted", "", 2,
                     "Mean difference or mean index, no exclusion applied"),
        pColumn("p_ignoring", "p, all counted", "Paired t, not adjusted, no exclusion applied")};
    if (findings.exclusionCount == 0) {
        return table;
    }
    for (const ComparisonFinding& with : findings.comparisons) {
        table.rows.push_back(
            comparisonRow(study, with, counterpart(findings.comparisonsIgnoringExclusions, with)));
    }
    for (const IndexFinding& with : findings.index) {
        table.rows.push_back(indexRow(study, with, counterpart(findings.indexIgnoringExclusions, with)));
    }
    table.notes = {"Curves that are not estimable are in neither."};
    return table;
}

}  // namespace aftercurve
