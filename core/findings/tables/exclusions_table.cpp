#include <algorithm>
#include <set>
#include <span>
#include <tuple>

#include "core/base/number_text.h"
#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"
#include "core/study/curve_series.h"
#include "core/study/laboratory_counted.h"

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

/// Readings of digestions, blanks and results of fibre that one exclusion of the laboratory takes out.
std::size_t takenOfLaboratory(const Exclusion& exclusion, const Study& study) {
    const std::span<const Exclusion> one{&exclusion, 1};
    const auto taken = [one](const auto& row) { return excludes(one, row) != nullptr; };
    return static_cast<std::size_t>(
        std::count_if(study.assays.readings.begin(), study.assays.readings.end(), taken) +
        std::count_if(study.fibre.results.begin(), study.fibre.results.end(), taken));
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

void addAuthor(const Exclusion& exclusion, Row& row) {
    row.cells.insert(row.cells.end(),
                     {Cell{reasonOf(exclusion)}, cellOf(exclusion.by), cellOf(exclusion.on)});
}

Row subjectRow(const Exclusion& exclusion, const Study& study, bool withLaboratory) {
    const Taken taken = takenBy(exclusion, study);
    const std::size_t noPlace = withLaboratory ? 4 : 0;
    Row row;
    row.muted = taken.samples == 0;
    row.cells = {orAll(exclusion.subject),
                 exclusion.food.empty() ? std::string{"all"} : labelOf(study, exclusion.food),
                 exclusion.visit ? std::to_string(*exclusion.visit) : std::string{"all"},
                 orAll(exclusion.analyte), cellOf(exclusion.timeMin)};
    row.cells.resize(row.cells.size() + noPlace);
    row.cells.insert(row.cells.end(), {cellOf(taken.curves), cellOf(taken.samples)});
    if (withLaboratory) {
        row.cells.emplace_back();
    }
    addAuthor(exclusion, row);
    return row;
}

Row laboratoryRow(const Exclusion& exclusion, const Study& study) {
    const std::size_t taken = takenOfLaboratory(exclusion, study);
    const auto sample = findAssaySample(study.assays, exclusion.material);
    const bool labelled = exclusion.method.empty() && sample && !study.assays.samples[*sample].label.empty();
    const bool ofFibre = !exclusion.method.empty();
    Row row;
    row.muted = taken == 0;
    row.cells = {Cell{},
                 Cell{},
                 Cell{},
                 Cell{},
                 cellOf(exclusion.timeMin),
                 labelled ? study.assays.samples[*sample].label : orAll(exclusion.material),
                 ofFibre ? Cell{} : Cell{orAll(exclusion.run)},
                 cellOf(exclusion.method),
                 exclusion.replicate ? std::to_string(*exclusion.replicate) : std::string{"all"},
                 Cell{},
                 Cell{},
                 cellOf(taken)};
    addAuthor(exclusion, row);
    return row;
}

Row laboratoryEffectRow(const LaboratoryEffect& effect) {
    Row row;
    row.key = effect.key;
    row.muted = !effect.value;
    row.cells = {Cell{},
                 effect.method.empty() ? std::string{"digestion in vitro"} : "fibre by " + effect.method,
                 effect.quantity,
                 cellOf(effect.unit),
                 effect.of,
                 cellOf(effect.n),
                 cellOf(effect.value),
                 Cell{},
                 cellOf(effect.nIgnoring),
                 cellOf(effect.valueIgnoring),
                 Cell{}};
    return row;
}

}  // namespace

Table exclusionsTable(const Study& study, const Findings& findings) {
    const bool laboratory = anyOfLaboratory(study.exclusions);
    Table table;
    table.key = "exclusions";
    table.title = "Exclusions";
    table.emptyText = emptyTextFor(findings);
    table.columns = {textColumn("subject", "Subject"), textColumn("food", "Food"),
                     textColumn("visit", "Visit"), textColumn("analyte", "Analyte"),
                     numberColumn("time_min", "Time", "min", 0,
                                  laboratory ? "Of single samples or readings" : "Of single samples")};
    if (laboratory) {
        table.columns.insert(
            table.columns.end(),
            {textColumn("material", "Material", "Of a digestion or a result of fibre"),
             textColumn("run", "Run", "Of a digestion"),
             textColumn("method", "Method", "Of a result of fibre"), textColumn("replicate", "Replicate")});
    }
    table.columns.insert(
        table.columns.end(),
        {countColumn("curves", "Curves", "Curves that it takes out"),
         countColumn("samples", "Samples", "Values that it takes out, those of the curves included")});
    if (laboratory) {
        table.columns.push_back(countColumn("laboratory_rows", "Rows of the laboratory",
                                            "Readings, blanks or results of fibre that it takes out"));
    }
    table.columns.insert(table.columns.end(),
                         {textColumn("reason", "Reason"), textColumn("by", "By"), textColumn("on", "On")});
    for (std::size_t i = 0; i < study.exclusions.size(); ++i) {
        Row row = isOfLaboratory(study.exclusions[i]) ? laboratoryRow(study.exclusions[i], study)
                                                      : subjectRow(study.exclusions[i], study, laboratory);
        row.key = std::to_string(i);
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
        countColumn("n", "n", "Subjects, digestions or determinations, the exclusions applied"),
        numberColumn("estimate", "Estimate", "", 2,
                     "Mean difference, mean index or result of the laboratory, the exclusions applied"),
        pColumn("p", "p", "Paired t, not adjusted, the exclusions applied"),
        countColumn("n_ignoring", "n, all counted",
                    "Subjects, digestions or determinations, no exclusion applied"),
        numberColumn("estimate_ignoring", "Estimate, all counted", "", 2,
                     "Mean difference, mean index or result of the laboratory, no exclusion applied"),
        pColumn("p_ignoring", "p, all counted", "Paired t, not adjusted, no exclusion applied")};
    if (findings.exclusionCount == 0) {
        return table;
    }
    std::set<std::string> said;
    if (anyOfSubjects(study.exclusions)) {
        for (const ComparisonFinding& with : findings.comparisons) {
            table.rows.push_back(
                comparisonRow(study, with, counterpart(findings.comparisonsIgnoringExclusions, with)));
        }
        for (const IndexFinding& with : findings.index) {
            table.rows.push_back(indexRow(study, with, counterpart(findings.indexIgnoringExclusions, with)));
        }
        table.notes = {"Curves that are not estimable are in neither."};
    }
    for (const LaboratoryEffect& effect : findings.laboratoryEffects) {
        table.rows.push_back(laboratoryEffectRow(effect));
        if (!effect.value && !effect.absentBecause.empty() && said.insert(effect.absentBecause).second) {
            table.notes.push_back(effect.of + ": " + effect.absentBecause + ".");
        }
    }
    return table;
}

}  // namespace aftercurve
