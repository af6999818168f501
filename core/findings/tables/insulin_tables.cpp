#include "core/base/number_text.h"
#include "core/findings/adjusted_p.h"
#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"

namespace aftercurve {

namespace {

constexpr const char* emptyText =
    "No measures of insulin: the study needs glucose with insulin or C-peptide, or both of these.";

const InsulinMeasureKind& kindOf(const std::string& key) {
    return insulinMeasureList()[*insulinMeasureIndex(key)];
}

std::string joined(const std::string& a, const std::string& b) {
    return a + (a.empty() || b.empty() ? "" : "; ") + b;
}

std::string remarkOf(const InsulinMeasure& measure) {
    return joined(joined(measure.absentBecause, measure.outside), measure.dose);
}

/// What the comparator itself and a study without one need not be told in every row.
std::string remarkOf(const InsulinSummary& summary) {
    std::string text = joined(summary.absentBecause, summary.geometricAbsentBecause);
    if (!summary.comparator.empty()) {
        text = joined(text, joined(summary.comparisonAbsentBecause, summary.signedRank.absentBecause));
    }
    return text;
}

/// The analyte whose curves a reader is led to.
std::string tracedTo(const Study& study) {
    return findAnalyte(study, "insulin") ? "insulin" : "c-peptide";
}

}  // namespace

Table insulinMeasuresTable(const Study& study, const Findings& findings) {
    Table table;
    table.key = "insulin_measures";
    table.title = "Insulin measures of each visit";
    table.emptyText = emptyText;
    std::vector<std::string> inputs{"formula"};
    for (const InsulinInputKind& input : insulinInputList()) {
        inputs.emplace_back(input.key);
    }
    table.columns = {textColumn("measure", "Measure"),
                     textColumn("subject", "Subject"),
                     textColumn("food", "Food"),
                     countColumn("visit", "Visit"),
                     numberColumn("value", "Value", "", 3,
                                  "The formula of this row, from the inputs beside it", std::move(inputs)),
                     textColumn("unit", "Unit"),
                     textColumn("formula", "Formula")};
    for (const InsulinInputKind& input : insulinInputList()) {
        table.columns.push_back(numberColumn(std::string{input.key}, std::string{input.label},
                                             std::string{input.unit}, 2, std::string{input.meaning}));
    }
    table.columns.push_back(textColumn("remark", "Remark"));
    for (const InsulinMeasure& measure : findings.insulinMeasures) {
        const InsulinMeasureKind& kind = kindOf(measure.key);
        Row row;
        row.key =
            measure.key + "/" + measure.food + "/" + measure.subject + "/" + std::to_string(measure.visit);
        row.about = {tracedTo(study), measure.key, measure.food, measure.subject};
        row.file = measure.file;
        row.row = measure.row;
        row.muted = !measure.value;
        row.cells = {std::string{kind.label},      measure.subject,
                     labelOf(study, measure.food), static_cast<std::int64_t>(measure.visit),
                     cellOf(measure.value),        cellOf(std::string{kind.unit}),
                     std::string{kind.formula}};
        for (const std::optional<double>& input : measure.inputs) {
            row.cells.push_back(cellOf(input));
        }
        row.cells.push_back(cellOf(remarkOf(measure)));
        table.rows.push_back(std::move(row));
    }
    if (!table.rows.empty()) {
        table.notes = {
            "G0, I0, C0: baseline by the plan's rule; G30, I30, C30: the sample planned at 30 min. 1 µIU "
            "of insulin counts as " +
                plainNumber(study.insulinPmolPerUiu) + " pmol.",
            "HOMA-IR divides by 22.5 with glucose in mmol/L. By mg/dL it is often divided by 405, "
            "which gives 0.09 % more."};
    }
    return table;
}

Table insulinSummaryTable(const Study& study, const Findings& findings) {
    const std::string confidence = confidencePercent(findings.plan.alpha) + " % CI";
    Table table;
    table.key = "insulin_summary";
    table.title = "Insulin and kindred measures";
    table.emptyText = emptyText;
    const std::vector<std::string> values{"formula", "insulin_measures.value"};
    table.columns = {
        textColumn("measure", "Measure"),
        textColumn("food", "Food"),
        textColumn("unit", "Unit"),
        countColumn("n", "n", "Subjects with a value; replicate visits are averaged first"),
        numberColumn("mean", "Mean", "", 3, "Mean over the subjects", values),
        numberColumn("sd", "SD", "", 3, "Sample standard deviation, n − 1", values),
        numberColumn("sem", "SEM", "", 3, "SD / √n", {"sd", "n"}),
        numberColumn("mean_ci_low", "Mean, " + confidence + " from", "", 3, "Mean − t(1 − α/2; n − 1) · SEM",
                     {"mean", "sem", "n"}),
        numberColumn("mean_ci_high", "Mean, " + confidence + " to", "", 3, "Mean + t(1 − α/2; n − 1) · SEM",
                     {"mean", "sem", "n"}),
        numberColumn("median", "Median", "", 3, "Middle value of the subjects", values),
        numberColumn("lower_quartile", "Lower quartile", "", 3, "Linear interpolation of order statistics",
                     values),
        numberColumn("upper_quartile", "Upper quartile", "", 3, "Linear interpolation of order statistics",
                     values),
        numberColumn("geometric_mean", "Geometric mean", "", 3,
                     "Exponential of the mean of the logarithms; all values above 0", values),
        numberColumn("geometric_cv_percent", "CV of logarithms", "%", 1,
                     "100 · √(exp(s²) − 1), s the SD of the natural logarithms", values),
        textColumn("comparator", "Compared with"),
        countColumn("n_pairs", "Pairs", "Subjects with both foods"),
        numberColumn("mean_difference", "Mean difference", "", 3,
                     "Mean of food minus comparator over the subjects with both", values),
        numberColumn("ci_low", confidence + " from", "", 3, "Mean difference − t(1 − α/2; df) · SD/√n",
                     {"mean_difference", "df"}),
        numberColumn("ci_high", confidence + " to", "", 3, "Mean difference + t(1 − α/2; df) · SD/√n",
                     {"mean_difference", "df"}),
        numberColumn("t", "t", "", 2, "Mean difference / (SD/√n)", {"mean_difference", "n_pairs"}),
        numberColumn("df", "df", "", 0, "Pairs − 1", {"n_pairs"}),
        pColumn("p", "p", "P(|T| ≥ |t|), paired t, two-sided; hypothesis: the mean difference is 0",
                {"t", "df"}),
        pColumn("p_adjusted", "p adjusted",
                findings.plan.multiplicity == Multiplicity::none
                    ? std::string{"No adjustment was asked for"}
                    : adjustmentLabel(findings.plan.multiplicity) + ", over the foods of one measure",
                {"p"}),
        pColumn("wilcoxon_p", "p signed rank",
                "Wilcoxon signed rank, two-sided; hypothesis: symmetric about 0", values),
        textColumn("formula", "Formula"),
        textColumn("validity", "Made for"),
        textColumn("source", "Source"),
        textColumn("remark", "Remark")};
    bool fasting = false;
    for (const InsulinSummary& s : findings.insulinSummaries) {
        const InsulinMeasureKind& kind = kindOf(s.key);
        fasting = fasting || (kind.fasting && s.t.p);
        Row row;
        row.key = s.key + "/" + s.food;
        row.about = {tracedTo(study), s.key, s.food, ""};
        row.muted = !s.mean;
        row.cells = {std::string{kind.label},
                     labelOf(study, s.food),
                     cellOf(std::string{kind.unit}),
                     cellOf(s.n),
                     cellOf(s.mean),
                     cellOf(s.sd),
                     cellOf(s.sem),
                     cellOf(s.ciLow),
                     cellOf(s.ciHigh),
                     cellOf(s.median),
                     cellOf(s.lowerQuartile),
                     cellOf(s.upperQuartile),
                     cellOf(s.geometricMean),
                     cellOf(s.geometricCvPercent),
                     cellOf(s.comparator.empty() ? std::string{} : labelOf(study, s.comparator)),
                     s.comparator.empty() ? Cell{} : cellOf(s.t.n),
                     cellOf(s.t.meanDifference),
                     cellOf(s.t.ciLow),
                     cellOf(s.t.ciHigh),
                     cellOf(s.t.t),
                     cellOf(s.t.df),
                     cellOf(s.t.p),
                     cellOf(s.pAdjusted),
                     cellOf(s.signedRank.p),
                     std::string{kind.formula},
                     std::string{kind.validity},
                     std::string{kind.source},
                     cellOf(remarkOf(s))};
        table.rows.push_back(std::move(row));
    }
    if (fasting) {
        table.notes.emplace_back(
            "Fasting measures are read before the meal: a difference between foods there speaks of washout, "
            "the "
            "evening before or chance of the order, not of an effect of the food.");
    }
    if (!table.rows.empty()) {
        table.notes.emplace_back(
            "A p above the level is no evidence that two foods are alike; read the "
            "interval.");
    }
    return table;
}

}  // namespace aftercurve
