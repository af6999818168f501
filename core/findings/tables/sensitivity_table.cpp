#include "core/base/number_text.h"
#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"

namespace aftercurve {

namespace {

std::string baselineText(BaselineRule rule) {
    return rule == BaselineRule::fastingMean ? "fasting mean" : "time zero";
}

std::string countText(const Study& study, const SensitivityFinding& finding, double alpha) {
    const SensitivityCount& count = finding.count;
    std::string text = labelOf(study, finding.food) + ", " + finding.analyte + ": ";
    if (finding.rows.empty() || !finding.rows.front().p) {
        return text + "no test as planned, so there is nothing to set the other ways against.";
    }
    const std::string side = *finding.rows.front().p < alpha ? "below" : "not below";
    return text + "of " + std::to_string(count.tested) + " ways with a paired t test (" +
           std::to_string(count.ways) + " tried), " + std::to_string(count.sameDirection) +
           " have the mean difference on the planned side of 0 and " + std::to_string(count.sameSideOfAlpha) +
           " have p " + side + " " + plainNumber(alpha) + ", as planned; of " +
           std::to_string(count.rankTested) + " with a signed rank test, " +
           std::to_string(count.rankSameSideOfAlpha) + " do.";
}

}  // namespace

Table sensitivityTable(const Study& study, const Findings& findings) {
    const std::string confidence = confidencePercent(findings.plan.alpha) + " % CI";
    Table table;
    table.key = "sensitivity";
    table.title = "Other choices";
    table.emptyText = findings.plan.inference.sensitivity
                          ? "Nothing to try: the main comparison needs a food to compare with."
                          : "The plan does not ask for other choices (sensitivity: false).";
    table.columns = {
        textColumn("analyte", "Analyte"),
        textColumn("food", "Food"),
        textColumn("comparator", "Compared with"),
        countColumn("changes", "Changes", "Choices that differ from the plan; 0: as planned"),
        textColumn("measure", "Measure"),
        textColumn("baseline", "Baseline"),
        numberColumn("window_end_min", "Window to", "min", 0),
        textColumn("exclusions", "Exclusions"),
        textColumn("unit", "Unit"),
        countColumn("n", "n", "Subjects with both foods"),
        numberColumn("mean_difference", "Mean difference", "", 2, "Food minus comparator"),
        numberColumn("ci_low", confidence + " from", "", 2),
        numberColumn("ci_high", confidence + " to", "", 2),
        pColumn("p", "p", "Paired t, two-sided, not adjusted"),
        numberColumn("hodges_lehmann", "Hodges–Lehmann", "", 2),
        pColumn("wilcoxon_p", "p signed rank", "Wilcoxon signed rank, two-sided, not adjusted"),
        numberColumn("standardised", "In SD", "", 2, "Mean difference / SD of the differences"),
        numberColumn("standardised_low", "In SD from", "", 2, "The interval / SD of the differences"),
        numberColumn("standardised_high", "In SD to", "", 2, "The interval / SD of the differences"),
        textColumn("remark", "Remark")};
    for (const SensitivityFinding& finding : findings.sensitivity) {
        for (const SensitivityRow& way : finding.rows) {
            Row row;
            row.key = finding.analyte + "/" + finding.food + "/" + way.measure + "/" +
                      std::string{wordFor(way.baseline)} + "/" + plainNumber(way.windowEndMin) +
                      (way.exclusionsApplied ? "" : "/all");
            row.muted = !way.p;
            row.about = {finding.analyte, way.measure, finding.food, ""};
            row.cells = {finding.analyte,
                         labelOf(study, finding.food),
                         labelOf(study, finding.comparator),
                         cellOf(way.changes),
                         measureLabel(way.measure),
                         baselineText(way.baseline),
                         Cell{way.windowEndMin},
                         std::string{way.exclusionsApplied ? "applied" : "ignored"},
                         way.unit,
                         cellOf(way.n),
                         cellOf(way.meanDifference),
                         cellOf(way.ciLow),
                         cellOf(way.ciHigh),
                         cellOf(way.p),
                         cellOf(way.hodgesLehmann),
                         cellOf(way.signedRankP),
                         cellOf(way.standardised),
                         cellOf(way.standardisedLow),
                         cellOf(way.standardisedHigh),
                         cellOf(way.absentBecause)};
            table.rows.push_back(std::move(row));
        }
        table.notes.push_back(countText(study, finding, findings.plan.alpha));
    }
    if (!table.rows.empty()) {
        table.notes.push_back(
            "No way is better because its p is smaller: the plan decides, the others show how far the "
            "finding "
            "hangs on it. p is not adjusted here.");
    }
    return table;
}

}  // namespace aftercurve
