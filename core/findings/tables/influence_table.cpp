#include <set>

#include "core/base/number_text.h"
#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"

namespace aftercurve {

namespace {

std::string turnsText(const LeftOutSubject& left) {
    std::string text;
    const auto add = [&text](bool turns, const char* what) {
        if (turns) {
            text += (text.empty() ? "" : ", ") + std::string{what};
        }
    };
    add(left.crossesAlpha, "p crosses the level");
    add(left.turnsSign, "the sign turns");
    add(left.movesInterval, "the interval moves over 0");
    return text;
}

std::string summaryText(const Study& study, const CompanionFinding& c) {
    std::string text = labelOf(study, c.food) + ", " + c.analyte + ", " + measureLabel(c.measure) + ": ";
    if (!c.influence.absentBecause.empty()) {
        return text + c.influence.absentBecause + ".";
    }
    std::string turning;
    for (const LeftOutSubject& left : c.influence.subjects) {
        if (!turnsText(left).empty()) {
            turning += (turning.empty() ? "" : "; ") + c.subjects[left.index] + " (" + turnsText(left) + ")";
        }
    }
    text +=
        turning.empty() ? "no single subject turns the result." : "the result turns without " + turning + ".";
    if (!c.influence.flagged.empty()) {
        text += " Far from all others:";
        for (const std::size_t i : c.influence.flagged) {
            text += " " + c.subjects[i];
        }
        text += " (flagged, not excluded).";
    }
    return text;
}

}  // namespace

Table influenceTable(const Study& study, const Findings& findings) {
    const std::string confidence = confidencePercent(findings.plan.alpha) + " % CI";
    Table table;
    table.key = "influence";
    table.title = "Without one subject";
    table.emptyText = "Nothing is compared yet.";
    table.columns = {
        textColumn("analyte", "Analyte"),
        textColumn("measure", "Measure"),
        textColumn("unit", "Unit"),
        textColumn("food", "Food"),
        textColumn("comparator", "Compared with"),
        textColumn("subject", "Without subject"),
        numberColumn("difference", "Difference", "", 2, "Of that subject, food minus comparator"),
        numberColumn("mean_difference", "Mean difference", "", 2, "Paired t without that subject"),
        numberColumn("ci_low", confidence + " from", "", 2, "Paired t without that subject"),
        numberColumn("ci_high", confidence + " to", "", 2, "Paired t without that subject"),
        pColumn("p", "p", "Paired t without that subject"),
        numberColumn("change", "Change", "", 2, "Mean difference without the subject − of all"),
        textColumn("turns", "Turns"),
        numberColumn("studentised", "Studentised residual", "", 2,
                     "(difference − mean of all)/(SD of the others · √(1 − 1/n)); t with n − 2 df",
                     {"difference"}),
        pColumn("residual_p_adjusted", "p residual", "Two-sided, n − 2 df, times n (Bonferroni)",
                {"studentised"}),
        textColumn("flagged", "Flagged", "Adjusted p below the level; a flag excludes nothing"),
        numberColumn("normal_quantile", "Normal quantile", "", 3,
                     "Φ⁻¹((rank − 3/8)/(n + 1/4)) of the difference (Blom)"),
        textColumn("remark", "Remark")};
    const std::size_t columns = table.columns.size();
    for (std::size_t i = 0; i < findings.companions.comparisons.size(); ++i) {
        const CompanionFinding& c = findings.companions.comparisons[i];
        const ComparisonFinding& comparison = findings.comparisons[i];
        const auto begin = [&](const std::string& key) {
            Row row;
            row.key = c.analyte + "/" + c.measure + "/" + c.food + "/" + key;
            row.about = {c.analyte, c.measure, c.food, ""};
            row.cells = {c.analyte, measureLabel(c.measure), c.unit, labelOf(study, c.food),
                         labelOf(study, c.comparator)};
            return row;
        };
        const auto normal = normalByIndex(c.quantiles, c.subjects.size());
        for (const LeftOutSubject& left : c.influence.subjects) {
            Row row = begin(c.subjects[left.index]);
            row.about.subject = c.subjects[left.index];
            row.muted = !left.p;
            row.cells.insert(
                row.cells.end(),
                {Cell{c.subjects[left.index]}, Cell{comparison.pairs[left.index].difference},
                 cellOf(left.meanDifference), cellOf(left.ciLow), cellOf(left.ciHigh), cellOf(left.p),
                 cellOf(left.change), cellOf(turnsText(left)), cellOf(left.studentised),
                 cellOf(left.residualPAdjusted), yesOrNothing(left.flagged), cellOf(normal[left.index]),
                 cellOf(left.absentBecause)});
            table.rows.push_back(std::move(row));
        }
        if (c.influence.subjects.empty()) {
            Row row = begin("");
            row.muted = true;
            row.cells.resize(columns);
            row.cells.back() = c.influence.absentBecause;
            table.rows.push_back(std::move(row));
        }
        table.notes.push_back(summaryText(study, c));
    }
    return table;
}

}  // namespace aftercurve
