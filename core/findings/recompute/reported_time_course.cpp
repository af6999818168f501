#include <algorithm>

#include "core/base/number_text.h"
#include "core/findings/recompute/parts.h"

namespace aftercurve {

namespace {

ReportedPlace placeOf(const StudyNumbers& numbers, const TimeCourseFinding& finding, const char* table,
                      const std::string& item) {
    ReportedPlace place;
    place.table = table;
    place.row = finding.analyte + ", " + item;
    place.analyte = numbers.analyte.at(finding.analyte);
    place.item = item;
    return place;
}

void addFit(ReportedRows& rows, const StudyNumbers& numbers, const TimeCourseFinding& finding) {
    const TimeCourse& fit = finding.fit;
    const ReportedPlace place = placeOf(numbers, finding, "time_course", "fit");
    const auto add = [&](std::string_view quantity, const std::optional<double>& value) {
        addNumber(rows, place, quantity, value,
                  fit.absentBecause.empty() ? "not in the model" : fit.absentBecause);
    };
    addCount(rows, place, "rows", fit.rows);
    addCount(rows, place, "subjects", fit.subjects);
    addCount(rows, place, "curves", fit.curves);
    addCount(rows, place, "off_schedule", finding.offSchedule);
    add("variance_subject", fit.varianceSubject);
    add("variance_subject_food", fit.varianceSubjectFood);
    add("variance_curve", fit.varianceCurve);
    add("variance_residual", fit.varianceResidual);
    add("rho", fit.rho);
    add("rho_unit_min", fit.rhoUnitMin);
    add("log_likelihood", fit.remlLogLikelihood);
    add("aic", fit.aic);
    add("bic", fit.bic);
    const std::size_t times = fit.withinTimes.size();
    for (std::size_t i = 0; i < times * times; ++i) {
        addNumber(rows, place,
                  "within_" + std::to_string(i / times + 1) + "_" + std::to_string(i % times + 1),
                  fit.withinCovariance[i]);
    }
    for (const TimeCourseTerm& term : fit.terms) {
        const ReportedPlace here = placeOf(numbers, finding, "time_course_terms", term.term);
        addCount(rows, here, "numerator_df", term.numeratorDf);
        addNumber(rows, here, "denominator_df", term.denominatorDf, term.absentBecause);
        addNumber(rows, here, "f", term.f, term.absentBecause);
        addNumber(rows, here, "p", term.p, term.absentBecause);
    }
}

void addTimes(ReportedRows& rows, const StudyNumbers& numbers, const TimeCourseFinding& finding) {
    const auto placeAt = [&](const char* table, std::size_t food, std::size_t time) {
        ReportedPlace place = placeOf(numbers, finding, table, std::to_string(time + 1));
        place.food = numbers.food.at(finding.foods[food]);
        place.row = finding.analyte + ", " + finding.foods[food] + ", " +
                    plainNumber(finding.timesMin[time]) + " min";
        return place;
    };
    for (const TimeCourseMean& mean : finding.fit.means) {
        const ReportedPlace place = placeAt("time_course_means", mean.food, mean.time);
        addNumber(rows, place, "time_min", finding.timesMin[mean.time]);
        addCount(rows, place, "n", mean.values);
        addNumber(rows, place, "estimate", mean.estimate, mean.absentBecause);
        addNumber(rows, place, "se", mean.se, mean.absentBecause);
        addNumber(rows, place, "df", mean.df, mean.absentBecause);
        addNumber(rows, place, "ci_low", mean.ciLow, mean.absentBecause);
        addNumber(rows, place, "ci_high", mean.ciHigh, mean.absentBecause);
    }
    for (const TimeCourseDifference& d : finding.fit.differences) {
        ReportedPlace place = placeAt("time_course_differences", d.food, d.time);
        place.comparator = numbers.food.at(finding.foods[d.minus]);
        addNumber(rows, place, "estimate", d.estimate, d.absentBecause);
        addNumber(rows, place, "se", d.se, d.absentBecause);
        addNumber(rows, place, "df", d.df, d.absentBecause);
        addNumber(rows, place, "t", d.t, d.absentBecause);
        addNumber(rows, place, "p", d.p, d.absentBecause);
        addNumber(rows, place, "p_adjusted", d.pAdjusted, d.absentBecause);
        addNumber(rows, place, "ci_low", d.ciLow, d.absentBecause);
        addNumber(rows, place, "ci_high", d.ciHigh, d.absentBecause);
    }
}

void addClassical(ReportedRows& rows, const StudyNumbers& numbers, const TimeCourseFinding& finding) {
    const RepeatedMeasures& table = finding.classical;
    addCount(rows, placeOf(numbers, finding, "repeated_measures", "all"), "subjects", table.subjects);
    for (const RepeatedMeasuresTerm& term : table.terms) {
        const ReportedPlace place = placeOf(numbers, finding, "repeated_measures", term.term);
        const auto add = [&](std::string_view quantity, const std::optional<double>& value,
                             const std::string& because) {
            addNumber(rows, place, quantity, value,
                      term.absentBecause.empty() ? because : term.absentBecause);
        };
        const auto corrected = [](const std::optional<double>& epsilon, std::size_t df) {
            return epsilon ? std::optional{std::min(*epsilon, 1.0) * static_cast<double>(df)} : std::nullopt;
        };
        const std::string few = "too few subjects";
        addCount(rows, place, "df", term.df);
        addCount(rows, place, "error_df", term.errorDf);
        add("sum_of_squares", term.sumOfSquares, "too large");
        add("error_sum_of_squares", term.errorSumOfSquares, "too large");
        add("f", term.f, few);
        add("p", term.p, few);
        add("epsilon_greenhouse_geisser", term.epsilonGreenhouseGeisser, few);
        add("df_greenhouse_geisser", corrected(term.epsilonGreenhouseGeisser, term.df), few);
        add("error_df_greenhouse_geisser", corrected(term.epsilonGreenhouseGeisser, term.errorDf), few);
        add("p_greenhouse_geisser", term.pGreenhouseGeisser, few);
        add("epsilon_huynh_feldt", term.epsilonHuynhFeldt, few);
        add("df_huynh_feldt", corrected(term.epsilonHuynhFeldt, term.df), few);
        add("error_df_huynh_feldt", corrected(term.epsilonHuynhFeldt, term.errorDf), few);
        add("p_huynh_feldt", term.pHuynhFeldt, few);
        add("mauchly_w", term.mauchlyW, term.mauchlyAbsentBecause);
        add("mauchly_chi_square", term.mauchlyChiSquare, term.mauchlyAbsentBecause);
        addCount(rows, place, "mauchly_df", term.mauchlyDf);
        add("mauchly_p", term.mauchlyP, term.mauchlyAbsentBecause);
    }
}

}  // namespace

void addTimeCourses(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings) {
    for (const TimeCourseFinding& finding : findings.timeCourses) {
        addFit(rows, numbers, finding);
        addTimes(rows, numbers, finding);
        addClassical(rows, numbers, finding);
    }
}

}  // namespace aftercurve
