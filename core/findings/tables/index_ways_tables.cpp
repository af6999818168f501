#include "core/base/number_text.h"
#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"
#include "core/findings/tables/unmatched_note.h"

namespace aftercurve {

namespace {

const char* ruleText(IndexOutlierRule rule) {
    switch (rule) {
        case IndexOutlierRule::none:
            return "kept";
        case IndexOutlierRule::twoSdOnce:
            return "left out, one pass";
        case IndexOutlierRule::twoSdRepeated:
            return "left out, repeated passes";
    }
    return "";
}

std::string listed(const std::vector<std::string>& codes) {
    std::string text;
    for (const std::string& code : codes) {
        text += (text.empty() ? "" : ", ") + code;
    }
    return text;
}

constexpr const char* noIndex = "No index: the plan asks for none, or there is no reference food.";

}  // namespace

Table indexWaysTable(const Study& study, const Findings& findings) {
    const std::string confidence = confidencePercent(findings.plan.alpha) + " % CI";
    Table table;
    table.key = "index_ways";
    table.title = "The index in several ways";
    table.emptyText = noIndex;
    table.columns = {
        textColumn("analyte", "Analyte"),
        textColumn("food", "Food"),
        textColumn("way", "Way"),
        textColumn("interval_method", "Interval by"),
        countColumn("n", "n", "Subjects that the plan's outlier rule kept"),
        numberColumn(
            "estimate", "Index", "", 1,
            "Mean of ratios: Σ(100 · food/reference)/n. Ratio of means: 100 · Σ food / Σ reference. "
            "Geometric mean: 100 · exp(Σ ln(food/reference)/n). Median: the middle value",
            {"n", "index_subjects.value", "index_subjects.food_mean", "index_subjects.reference_mean"}),
        numberColumn("ci_low", confidence + " from", "", 1, "By the method named in the row",
                     {"estimate", "n", "index_subjects.value"}),
        numberColumn("ci_high", confidence + " to", "", 1, "By the method named in the row",
                     {"estimate", "n", "index_subjects.value"}),
        numberColumn("difference", "Difference", "", 2, "Index of the row − the plan's mean of ratios",
                     {"estimate"}),
        numberColumn("covariance_term", "Covariance term", "", 2,
                     "Covariance (divisor n) of the subjects' index with their reference mean, / mean of the "
                     "reference means; exactly the ratio of means − the mean of ratios",
                     {"index_subjects.value", "index_subjects.reference_mean"}),
        textColumn("set", "Set", "Kind of Fieller's set; only a bounded one is an interval"),
        textColumn("remark", "Remark")};
    for (const IndexWay& way : findings.indexWays) {
        Row row;
        row.key = way.analyte + "/" + way.food + "/" + keyOf(way.way);
        row.about = {way.analyte, way.measure, way.food, ""};
        row.muted = !way.estimate;
        row.cells = {way.analyte,
                     labelOf(study, way.food),
                     labelOf(way.way),
                     intervalLabelOf(way.way),
                     cellOf(way.n),
                     cellOf(way.estimate),
                     cellOf(way.ciLow),
                     cellOf(way.ciHigh),
                     cellOf(way.difference),
                     cellOf(way.covarianceTerm),
                     cellOf(way.set),
                     cellOf(way.remark)};
        table.rows.push_back(std::move(row));
    }
    if (!table.rows.empty()) {
        table.notes = {
            "The mean of ratios and the ratio of means differ by the covariance of the subjects' ratios with "
            "their reference means, divided by the mean of these: where those who answer little to the "
            "reference have the large ratios, the mean of ratios is the larger one.",
            "The plan's index is the mean of ratios with the interval by t; the others stand beside it. Seed "
            "of the resampling: " +
                std::to_string(findings.plan.seed) + "."};
        addUnmatchedNote(study, findings, table.notes);
    }
    return table;
}

Table indexOutliersTable(const Study& study, const Findings& findings) {
    const std::string confidence = confidencePercent(findings.plan.alpha) + " % CI";
    Table table;
    table.key = "index_outliers";
    table.title = "With and without outliers";
    table.emptyText = noIndex;
    table.columns = {textColumn("analyte", "Analyte"),
                     textColumn("food", "Food"),
                     textColumn("rule", "Outside 2 SD", "What is done with values outside mean ± 2 SD"),
                     textColumn("planned", "Planned", "The rule of the plan"),
                     countColumn("n", "n", "Subjects kept by the rule of the row"),
                     textColumn("left_out", "Left out"),
                     countColumn("passes", "Passes", "Passes that left someone out"),
                     numberColumn("mean", "Index", "", 1, "Mean over the subjects kept",
                                  {"n", "left_out", "index_subjects.value"}),
                     numberColumn("sd", "SD", "", 1, "√(Σ(value − mean)² / (n − 1))",
                                  {"n", "mean", "index_subjects.value"}),
                     numberColumn("sem", "SEM", "", 1, "SD/√n", {"sd", "n"}),
                     numberColumn("ci_low", confidence + " from", "", 1, "Mean − t(1 − α/2; n − 1) · SEM",
                                  {"mean", "sem", "n"}),
                     numberColumn("ci_high", confidence + " to", "", 1, "Mean + t(1 − α/2; n − 1) · SEM",
                                  {"mean", "sem", "n"}),
                     textColumn("class", "Class", "As in the table of each food's index"),
                     textColumn("remark", "Remark")};
    for (const IndexOutliers& o : findings.indexOutliers) {
        Row row;
        row.key = o.analyte + "/" + o.food + "/" + std::string{wordFor(o.rule)};
        row.about = {o.analyte, o.measure, o.food, ""};
        row.muted = !o.index.mean;
        row.cells = {o.analyte,
                     labelOf(study, o.food),
                     std::string{ruleText(o.rule)},
                     yesOrNothing(o.planned),
                     cellOf(o.index.n),
                     cellOf(listed(o.leftOut)),
                     cellOf(o.index.outlierPasses),
                     cellOf(o.index.mean),
                     cellOf(o.index.sd),
                     cellOf(o.index.sem),
                     cellOf(o.index.ciLow),
                     cellOf(o.index.ciHigh),
                     cellOf(o.indexClass),
                     cellOf(o.index.absentBecause)};
        table.rows.push_back(std::move(row));
    }
    if (!table.rows.empty()) {
        table.notes = {
            "Only the plan's rule enters the results; the others show what hangs on it. Leaving values out "
            "because they lie far out makes the interval too narrow."};
        addUnmatchedNote(study, findings, table.notes);
    }
    return table;
}

}  // namespace aftercurve
