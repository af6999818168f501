#include "core/curve/measures.h"
#include "core/findings/recompute/parts.h"

namespace aftercurve {

void addCurves(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings) {
    const auto measures = measureList();
    for (const CurveFinding& curve : findings.curves) {
        ReportedPlace place;
        place.table = "curves";
        place.row = curve.analyte + ", " + curve.subject + ", " + curve.food + ", visit " +
                    std::to_string(curve.visit);
        place.analyte = numbers.analyte.at(curve.analyte);
        place.food = numbers.food.at(curve.food);
        place.subject = numbers.subject.at(curve.subject);
        place.visit = curve.visit;
        addCount(rows, place, "samples", curve.value.size());
        addNumber(rows, place, "baseline", curve.baseline, curve.notEstimable);
        for (std::size_t m = 0; m < measures.size(); ++m) {
            addNumber(rows, place, measures[m].key, curve.measures[m],
                      curve.notEstimable.empty() ? "not in the window" : curve.notEstimable);
        }
    }
}

void addMeanCurves(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings) {
    for (const MeanCurve& curve : findings.meanCurves) {
        ReportedPlace place;
        place.table = "mean_curves";
        place.analyte = numbers.analyte.at(curve.analyte);
        place.food = numbers.food.at(curve.food);
        for (std::size_t i = 0; i < curve.timeMin.size(); ++i) {
            place.item = std::to_string(i + 1);
            place.row = curve.analyte + ", " + curve.food + ", time " + place.item;
            addNumber(rows, place, "time_min", curve.timeMin[i]);
            addCount(rows, place, "n", curve.n[i]);
            addNumber(rows, place, "mean", curve.mean[i]);
            addNumber(rows, place, "sem", curve.sem[i], "one subject");
            addNumber(rows, place, "sd", curve.sd[i], "one subject");
            addNumber(rows, place, "ci_low", curve.ciLow[i], "one subject, or all values are equal");
            addNumber(rows, place, "ci_high", curve.ciHigh[i], "one subject, or all values are equal");
            addNumber(rows, place, "increment", curve.increment[i]);
            addNumber(rows, place, "increment_sem", curve.incrementSem[i], "one subject");
        }
    }
}

void addSummaries(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings) {
    for (const FoodSummary& summary : findings.summaries) {
        ReportedPlace place;
        place.table = "summary";
        place.row = summary.analyte + ", " + summary.measure + ", " + summary.food;
        place.analyte = numbers.analyte.at(summary.analyte);
        place.measure = summary.measure;
        place.food = numbers.food.at(summary.food);
        const std::string few = summary.n == 0 ? "no subject" : "one subject, or too large";
        addCount(rows, place, "n", summary.n);
        addNumber(rows, place, "mean", summary.mean, few);
        addNumber(rows, place, "sd", summary.sd, few);
        addNumber(rows, place, "sem", summary.sem, few);
        addNumber(rows, place, "median", summary.median, few);
        addNumber(rows, place, "lower_quartile", summary.lowerQuartile, few);
        addNumber(rows, place, "upper_quartile", summary.upperQuartile, few);
        addNumber(rows, place, "minimum", summary.minimum, few);
        addNumber(rows, place, "maximum", summary.maximum, few);
    }
}

}  // namespace aftercurve
