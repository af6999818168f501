#include "core/base/number_text.h"
#include "core/findings/adjusted_p.h"
#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"

namespace aftercurve {

namespace {

std::string remarkOf(const ComparisonFinding& c) {
    std::string text;
    for (const std::string* reason : {&c.t.absentBecause, &c.hodgesLehmann.absentBecause}) {
        if (!reason->empty()) {
            text += (text.empty() ? "" : "; ") + *reason;
        }
    }
    if (!c.leftOut.empty()) {
        text += (text.empty() ? "" : "; ") + std::to_string(c.leftOut.size()) + " left out";
    }
    return text;
}

std::string methodText(const SignedRank& test) {
    if (test.method == "normal-continuity") {
        return "normal, continuity correction";
    }
    return test.method;
}

}  // namespace

Table comparisonsTable(const Study& study, const Findings& findings) {
    const std::string confidence = confidencePercent(findings.plan.alpha) + " % CI";
    Table table;
    table.key = "comparisons";
    table.title = "Comparisons with " + labelOf(study, findings.plan.comparator);
    table.emptyText = findings.plan.comparator.empty()
                          ? "Nothing is compared yet: name the food to compare with in the plan."
                          : "Nothing to compare: the study has no other food.";
    table.columns = {
        textColumn("analyte", "Analyte"),
        textColumn("measure", "Measure"),
        textColumn("unit", "Unit"),
        textColumn("food", "Food"),
        textColumn("comparator", "Compared with"),
        countColumn("n", "n", "Subjects with both foods"),
        numberColumn("mean_difference", "Mean difference", "", 2,
                     "Sum of the differences / n, food minus comparator", {"n", "pairs.difference"}),
        numberColumn("sd_difference", "SD", "", 2, "√(Σ(difference − mean)² / (n − 1))",
                     {"n", "mean_difference", "pairs.difference"}),
        numberColumn("ci_low", confidence + " from", "", 2, "Mean difference − t(1 − α/2; df) · SD/√n",
                     {"mean_difference", "sd_difference", "n", "df"}),
        numberColumn("ci_high", confidence + " to", "", 2, "Mean difference + t(1 − α/2; df) · SD/√n",
                     {"mean_difference", "sd_difference", "n", "df"}),
        numberColumn("t", "t", "", 2, "Mean difference / (SD/√n)", {"mean_difference", "sd_difference", "n"}),
        numberColumn("df", "df", "", 0, "n − 1", {"n"}),
        pColumn("p", "p", "P(|T| ≥ |t|), paired t, two-sided; hypothesis: the mean difference is 0",
                {"t", "df"}),
        pColumn("p_adjusted", "p adjusted",
                findings.plan.multiplicity == Multiplicity::none
                    ? std::string{"No adjustment was asked for"}
                    : adjustmentLabel(findings.plan.multiplicity) +
                          ", over the foods of one analyte and measure"),
        numberColumn("wilcoxon_v", "V", "", 1, "Sum of the ranks of the positive differences",
                     {"pairs.difference"}),
        pColumn("wilcoxon_p", "p signed rank",
                "Wilcoxon signed rank, two-sided; hypothesis: symmetric about 0",
                {"wilcoxon_v", "wilcoxon_method", "pairs.difference"}),
        textColumn("wilcoxon_method", "Signed rank by"),
        numberColumn("hodges_lehmann", "Hodges–Lehmann", "", 2,
                     "Median of the pairwise means of the differences", {"pairs.difference"}),
        numberColumn("hodges_lehmann_ci_low", "HL from", "", 2, "Interval that inverts the signed rank test",
                     {"pairs.difference"}),
        numberColumn("hodges_lehmann_ci_high", "HL to", "", 2, "Interval that inverts the signed rank test",
                     {"pairs.difference"}),
        numberColumn("effect_dz", "dz", "", 2, "Mean difference / SD of the differences",
                     {"mean_difference", "sd_difference"}),
        numberColumn("effect_gz", "gz", "", 2, "dz with Hedges' small-sample correction",
                     {"effect_dz", "df"}),
        numberColumn("shapiro_w", "W", "", 3, "Shapiro–Wilk of the differences", {"pairs.difference"}),
        pColumn("shapiro_p", "p normality", "Shapiro–Wilk; hypothesis: the differences are normal",
                {"shapiro_w", "n"}),
        textColumn("remark", "Remark")};
    for (const ComparisonFinding& c : findings.comparisons) {
        Row row;
        row.key = c.analyte + "/" + c.measure + "/" + c.food;
        row.muted = !c.t.p;
        row.about = {c.analyte, c.measure, c.food, ""};
        row.cells = {c.analyte,
                     measureLabel(c.measure),
                     c.unit,
                     labelOf(study, c.food),
                     labelOf(study, c.comparator),
                     cellOf(c.t.n),
                     cellOf(c.t.meanDifference),
                     cellOf(c.t.sdDifference),
                     cellOf(c.t.ciLow),
                     cellOf(c.t.ciHigh),
                     cellOf(c.t.t),
                     cellOf(c.t.df),
                     cellOf(c.t.p),
                     cellOf(c.pAdjusted),
                     cellOf(c.signedRank.v),
                     cellOf(c.signedRank.p),
                     cellOf(methodText(c.signedRank)),
                     cellOf(c.hodgesLehmann.estimate),
                     cellOf(c.hodgesLehmann.ciLow),
                     cellOf(c.hodgesLehmann.ciHigh),
                     cellOf(c.effect.dz),
                     cellOf(c.effect.gz),
                     cellOf(c.normality.w),
                     cellOf(c.normality.p),
                     cellOf(remarkOf(c))};
        table.rows.push_back(std::move(row));
    }
    table.notes = {
        "Differences are food minus comparator; replicate visits are averaged at the measure first.",
        "A p above the level is no evidence that two foods are alike; read the interval."};
    return table;
}

}  // namespace aftercurve
