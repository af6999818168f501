// Tests of the diaries: each food against the comparator, over doses, and the shares of subjects with a
// symptom.
#include "core/base/number_text.h"
#include "core/findings/tables/builders.h"
#include "core/findings/tables/cells.h"
#include "core/findings/tables/tolerance_cells.h"

namespace aftercurve {

namespace {

std::string remarkOf(const ToleranceTest& test) {
    std::string text = test.signedRank.absentBecause;
    const std::string& interval = test.superiority.intervalAbsentBecause;
    if (!interval.empty() && interval != text) {
        text += (text.empty() ? "" : "; ") + std::string{"win odds: "} + interval;
    }
    for (const ToleranceLeftOut& left : test.leftOut) {
        text +=
            (text.empty() ? "" : "; ") + std::string{"left out: "} + left.subject + " (" + left.reason + ")";
    }
    return text;
}

std::string emptyTests(const ToleranceFindings& tolerance) {
    return tolerance.testsAbsentBecause.empty()
               ? std::string{noDiary}
               : "The diaries are not compared: " + tolerance.testsAbsentBecause + ".";
}

void addTestRow(const Study& study, const ToleranceFindings& tolerance, const ToleranceTest& test,
                Table& table) {
    const DiaryArm& arm = tolerance.runs.arms[test.arm];
    const DiaryArm& comparator = tolerance.runs.arms[test.comparator];
    const DiaryMeasureKind& kind = kindOf(test.measure);
    Row row = toleranceRow(tolerance, test.quantity, test.arm, std::string{kind.key});
    row.muted = test.n == 0;
    row.cells = {tolerance.quantities[test.quantity].label,
                 std::string{kind.label},
                 labelOf(study, arm.food),
                 cellOf(arm.doseG),
                 labelOf(study, comparator.food),
                 cellOf(comparator.doseG),
                 cellOf(test.n),
                 cellOf(test.difference.meanDifference),
                 cellOf(test.hodgesLehmann.estimate),
                 cellOf(test.hodgesLehmann.ciLow),
                 cellOf(test.hodgesLehmann.ciHigh),
                 cellOf(test.signedRank.v),
                 cellOf(test.signedRank.p),
                 cellOf(test.pAdjusted),
                 cellOf(test.superiority.higher),
                 cellOf(test.superiority.equal),
                 cellOf(test.superiority.lower),
                 cellOf(test.signTest.p),
                 cellOf(test.superiority.probability),
                 cellOf(test.superiority.ciLow),
                 cellOf(test.superiority.ciHigh),
                 cellOf(test.superiority.winOdds),
                 cellOf(remarkOf(test))};
    table.rows.push_back(std::move(row));
}

}  // namespace

Table toleranceTestsTable(const Study& study, const Findings& findings) {
    const std::string confidence = confidencePercent(findings.plan.alpha) + " % CI";
    Table table;
    table.key = "tolerance_tests";
    table.title = "Symptom scores against the comparator";
    table.emptyText = emptyTests(findings.tolerance);
    table.columns = {
        textColumn("item", "Item"),
        textColumn("measure", "Measure"),
        textColumn("food", "Food"),
        numberColumn("dose_g", "Dose", "g", 1),
        textColumn("comparator", "Compared with"),
        numberColumn("comparator_dose_g", "its dose", "g", 1),
        countColumn("n_pairs", "Pairs", "Subjects with both"),
        numberColumn("mean_difference", "Mean difference", "", 2, "Mean of food − comparator over the pairs"),
        numberColumn("hodges_lehmann", "Hodges–Lehmann", "", 2,
                     "Median of all Walsh averages of the differences"),
        numberColumn("hodges_lehmann_ci_low", confidence + " from", "", 2,
                     "Interval of the signed rank test"),
        numberColumn("hodges_lehmann_ci_high", confidence + " to", "", 2, "Interval of the signed rank test"),
        numberColumn("wilcoxon_v", "V", "", 1, "Sum of the ranks of the positive differences"),
        pColumn("wilcoxon_p", "p signed rank", "Wilcoxon signed rank, two-sided, exact up to 50 differences",
                {"wilcoxon_v"}),
        pColumn("p_adjusted", "p adjusted",
                adjustmentOver(findings.plan, "the foods and doses of one item and measure"), {"wilcoxon_p"}),
        countColumn("higher", "Higher", "Subjects who score higher with the food"),
        countColumn("equal", "Equal"),
        countColumn("lower", "Lower", "Subjects who score lower with the food"),
        pColumn("sign_p", "p sign test", "Exact, two-sided, equal pairs dropped", {"higher", "lower"}),
        numberColumn("superiority", "Probability of a higher score", "", 3, "(higher + equal/2)/pairs",
                     {"higher", "equal", "n_pairs"}),
        numberColumn("superiority_ci_low", confidence + " from", "", 3,
                     "On the log-odds, by the delta method; a large-sample interval", {"superiority"}),
        numberColumn("superiority_ci_high", confidence + " to", "", 3,
                     "On the log-odds, by the delta method; a large-sample interval", {"superiority"}),
        numberColumn("win_odds", "Win odds", "", 2, "Probability/(1 − probability)", {"superiority"}),
        textColumn("remark", "Remark")};
    for (const ToleranceTest& test : findings.tolerance.tests) {
        addTestRow(study, findings.tolerance, test, table);
    }
    if (!table.rows.empty()) {
        table.notes.emplace_back(noEvidence);
    }
    return table;
}

Table toleranceDosesTable(const Study& study, const Findings& findings) {
    const ToleranceFindings& tolerance = findings.tolerance;
    Table table;
    table.key = "tolerance_doses";
    table.title = "Symptom scores over doses";
    table.emptyText = "No food has a diary at two doses or more.";
    table.columns = {
        textColumn("item", "Item"),
        textColumn("measure", "Measure"),
        textColumn("food", "Food"),
        textColumn("doses", "Doses", "Columns of the test; the comparator first where it has one arm"),
        countColumn("n", "n", "Subjects with a value at each"),
        numberColumn("chi_square", "χ²", "", 2, "Friedman's statistic, corrected for ties"),
        numberColumn("df", "df", "", 0, "Columns − 1"),
        pColumn("p", "p", "Exact where it can be counted, else by χ²", {"chi_square", "df"}),
        textColumn("method", "Method"),
        numberColumn("kendall_w", "Kendall's W", "", 3, "χ²/(n(k − 1))", {"chi_square", "n"}),
        textColumn("pairs", "Against the first",
                   "Difference of mean ranks and adjusted p of each column (Conover)"),
        textColumn("remark", "Remark")};
    for (const ToleranceDoseTest& one : tolerance.doseTests) {
        const DiaryMeasureKind& kind = kindOf(one.measure);
        std::string doses;
        for (const std::size_t arm : one.arms) {
            doses += (doses.empty() ? "" : "; ") + armLabel(study, tolerance.runs.arms[arm]);
        }
        std::string pairs;
        for (const FriedmanPair& pair : one.test.againstComparator) {
            pairs += (pairs.empty() ? "" : "; ") +
                     armLabel(study, tolerance.runs.arms[one.arms[pair.foodA]]) + ": " +
                     fixedNumber(pair.meanRankDifference, 2) +
                     (pair.pAdjusted ? ", p = " + fixedNumber(*pair.pAdjusted, 3) : std::string{});
        }
        Row row;
        row.key = std::to_string(one.quantity) + "/" + std::string{kind.key} + "/" + one.food;
        row.about.food = one.food;
        row.muted = !one.test.p;
        row.cells = {tolerance.quantities[one.quantity].label,
                     std::string{kind.label},
                     labelOf(study, one.food),
                     doses,
                     cellOf(one.test.subjects),
                     cellOf(one.test.chiSquare),
                     cellOf(one.test.df),
                     cellOf(one.test.p),
                     cellOf(one.test.method),
                     cellOf(one.test.kendallW),
                     cellOf(pairs),
                     cellOf(one.test.absentBecause)};
        table.rows.push_back(std::move(row));
    }
    if (!table.rows.empty()) {
        table.notes.emplace_back("Look at the single doses only where the test itself is below the level.");
        table.notes.emplace_back(noEvidence);
    }
    return table;
}

Table toleranceIncidenceTable(const Study& study, const Findings& findings) {
    const ToleranceFindings& tolerance = findings.tolerance;
    const std::string confidence = confidencePercent(findings.plan.alpha) + " % CI";
    Table table;
    table.key = "tolerance_incidence";
    table.title = "Subjects with a symptom";
    table.emptyText = noDiary;
    table.columns = {
        textColumn("item", "Item"),
        textColumn("criterion", "Counted",
                   "any: above the least of the scale; marked: at or above the threshold"),
        textColumn("food", "Food"),
        numberColumn("dose_g", "Dose", "g", 1),
        countColumn("subjects", "Subjects", "Subjects with the symptom on one day or more"),
        countColumn("n", "n", "Subjects with a score"),
        numberColumn("percent", "Share", "%", 1, "100 · subjects / n", {"subjects", "n"}),
        numberColumn("ci_low", confidence + " from", "%", 1, "Exact (Clopper–Pearson)", {"subjects", "n"}),
        numberColumn("ci_high", confidence + " to", "%", 1, "Exact (Clopper–Pearson)", {"subjects", "n"}),
        countColumn("no_with_missing_days", "No, with missing days",
                    "Subjects counted as no of whom a planned day has no score"),
        countColumn("n_pairs", "Pairs", "Subjects with both foods"),
        countColumn("food_only", "Food only", "Subjects with the symptom on the food only"),
        countColumn("comparator_only", "Comparator only"),
        numberColumn("difference_percent", "Difference", "% points", 1,
                     "100 · (food only − comparator only)/pairs",
                     {"food_only", "comparator_only", "n_pairs"}),
        numberColumn("difference_ci_low", confidence + " from", "% points", 1,
                     "Adjusted Wald (Bonett & Price)", {"food_only", "comparator_only", "n_pairs"}),
        numberColumn("difference_ci_high", confidence + " to", "% points", 1,
                     "Adjusted Wald (Bonett & Price)", {"food_only", "comparator_only", "n_pairs"}),
        pColumn("p", "p exact", "McNemar, exact binomial, two-sided", {"food_only", "comparator_only"}),
        pColumn("mid_p", "mid-p", "Exact p less the probability of the split seen",
                {"food_only", "comparator_only"}),
        pColumn("p_adjusted", "p adjusted",
                adjustmentOver(findings.plan, "the foods and doses of one item and criterion"), {"p"}),
        textColumn("remark", "Remark")};
    const auto percent = [](const std::optional<double>& share) {
        return share ? Cell{100.0 * *share} : Cell{};
    };
    for (const ToleranceIncidence& one : tolerance.incidence) {
        const DiaryArm& arm = tolerance.runs.arms[one.arm];
        const DiaryQuantity& quantity = tolerance.quantities[one.quantity];
        const bool any = one.criterion == IncidenceCriterion::any;
        Row row = toleranceRow(tolerance, one.quantity, one.arm, any ? "any" : "marked");
        row.muted = one.share.n == 0;
        const auto pairCell = [&one](std::size_t count) { return one.tested ? cellOf(count) : Cell{}; };
        row.cells = {quantity.label,
                     any ? std::string{"any"} : "marked (from " + plainNumber(*quantity.threshold) + ")",
                     labelOf(study, arm.food),
                     cellOf(arm.doseG),
                     cellOf(one.share.yes),
                     cellOf(one.share.n),
                     percent(one.share.share),
                     percent(one.share.ciLow),
                     percent(one.share.ciHigh),
                     cellOf(one.noWithMissingDays),
                     pairCell(one.test.pairs.n()),
                     pairCell(one.test.pairs.foodOnly),
                     pairCell(one.test.pairs.comparatorOnly),
                     percent(one.test.difference),
                     percent(one.test.ciLow),
                     percent(one.test.ciHigh),
                     cellOf(one.test.p),
                     cellOf(one.test.midP),
                     cellOf(one.pAdjusted),
                     cellOf(one.test.absentBecause)};
        table.rows.push_back(std::move(row));
    }
    if (!table.rows.empty()) {
        table.notes.emplace_back(noEvidence);
    }
    return table;
}

}  // namespace aftercurve
