#include "core/findings/recompute/parts.h"

namespace aftercurve {

namespace {

void addMeasure(ReportedRows& rows, const StudyNumbers& numbers, const InsulinMeasure& measure) {
    ReportedPlace place;
    place.table = "insulin_measures";
    place.row = measure.key + ", " + measure.food + ", " + measure.subject + ", visit " +
                std::to_string(measure.visit);
    place.measure = measure.key;
    place.food = numbers.food.at(measure.food);
    place.subject = numbers.subject.at(measure.subject);
    place.visit = measure.visit;
    addNumber(rows, place, "value", measure.value, measure.absentBecause);
    // Inputs that the measure does not read are not told.
    for (const InsulinInput input : insulinMeasureList()[*insulinMeasureIndex(measure.key)].inputs) {
        const auto at = static_cast<std::size_t>(input);
        addNumber(rows, place, insulinInputList()[at].key, measure.inputs[at], measure.absentBecause);
    }
}

void addSummary(ReportedRows& rows, const StudyNumbers& numbers, const InsulinSummary& summary) {
    ReportedPlace place;
    place.table = "insulin_summary";
    place.row = summary.key + ", " + summary.food;
    place.measure = summary.key;
    place.food = numbers.food.at(summary.food);
    const auto add = [&](std::string_view quantity, const std::optional<double>& value) {
        addNumber(rows, place, quantity, value, summary.absentBecause);
    };
    addCount(rows, place, "n", summary.n);
    add("mean", summary.mean);
    add("sd", summary.sd);
    add("sem", summary.sem);
    add("mean_ci_low", summary.ciLow);
    add("mean_ci_high", summary.ciHigh);
    add("median", summary.median);
    add("lower_quartile", summary.lowerQuartile);
    add("upper_quartile", summary.upperQuartile);
    const std::string& geometric =
        summary.absentBecause.empty() ? summary.geometricAbsentBecause : summary.absentBecause;
    addNumber(rows, place, "geometric_mean", summary.geometricMean, geometric);
    addNumber(rows, place, "geometric_cv_percent", summary.geometricCvPercent, geometric);
    if (summary.comparator.empty()) {
        return;
    }
    place.row += " against " + summary.comparator;
    place.comparator = numbers.food.at(summary.comparator);
    const auto compared = [&](std::string_view quantity, const std::optional<double>& value) {
        addNumber(rows, place, quantity, value, summary.comparisonAbsentBecause);
    };
    addCount(rows, place, "n_pairs", summary.t.n);
    compared("mean_difference", summary.t.meanDifference);
    compared("ci_low", summary.t.ciLow);
    compared("ci_high", summary.t.ciHigh);
    compared("t", summary.t.t);
    compared("df", summary.t.df);
    compared("p", summary.t.p);
    compared("p_adjusted", summary.pAdjusted);
    addNumber(rows, place, "wilcoxon_p", summary.signedRank.p, summary.signedRank.absentBecause);
}

}  // namespace

void addInsulin(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings) {
    for (const InsulinMeasure& measure : findings.insulinMeasures) {
        addMeasure(rows, numbers, measure);
    }
    for (const InsulinSummary& summary : findings.insulinSummaries) {
        addSummary(rows, numbers, summary);
    }
}

}  // namespace aftercurve
