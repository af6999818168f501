#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "core/base/progress.h"

namespace aftercurve {

/// One value of one curve. A curve is one subject, food and visit.
struct TimeCourseRow {
    std::size_t subject = 0;
    std::size_t food = 0;  ///< index into the foods
    std::size_t visit = 0;
    std::size_t time = 0;  ///< index into the times
    double value = 0.0;
    std::optional<std::size_t> period;  ///< index into the periods
};

/// Values in one unit: concentrations, or increments over the curve's own baseline (then without the time at
/// which every increment is 0). Rows in any order; a missing sample has no row. Subjects and visits may be
/// numbered with gaps; foods, times and periods may be unused.
struct TimeCourseData {
    std::vector<std::string> foods;
    std::vector<double> timesMin;      ///< finite, no two equal, in any order
    std::vector<std::string> periods;  ///< none: no period in the model
    std::vector<TimeCourseRow> rows;
};

/// Covariance of the residuals of one curve; those of different curves are independent.
enum class CurveCovariance {
    independent,        ///< σ² at each time, nothing between times
    continuousTimeAr1,  ///< σ² · rho^(|difference of time|/unit), 0 ≤ rho < 1; on an equal grid: AR(1)
    unstructured,       ///< a variance for each time and a covariance for each pair of times
};

/// Which differences are adjusted together.
enum class TimeCourseFamily {
    timesOfFood,  ///< those of one food with the comparator, over the times
    all,          ///< all differences of the model
};

struct TimeCourseOptions {
    double alpha = 0.05;  ///< intervals have confidence 1 − alpha
    CurveCovariance covariance = CurveCovariance::continuousTimeAr1;
    std::optional<std::size_t> comparator;  ///< a food; without one there are no differences
    std::string multiplicity = "holm";      ///< a word of multiplicityMethods()
    TimeCourseFamily family = TimeCourseFamily::timesOfFood;
};

struct TimeCourseTerm {
    std::string term;  ///< "food", "time", "food x time", "period"
    std::size_t numeratorDf = 0;
    std::optional<double> denominatorDf;
    std::optional<double> f;
    std::optional<double> p;
    std::string absentBecause;
};

struct TimeCourseMean {
    std::size_t food = 0;
    std::size_t time = 0;
    std::size_t values = 0;  ///< rows of this food at this time
    std::optional<double> estimate;
    std::optional<double> se;
    std::optional<double> df;
    std::optional<double> ciLow;
    std::optional<double> ciHigh;
    std::string absentBecause;
};

struct TimeCourseDifference {
    std::size_t food = 0;
    std::size_t minus = 0;  ///< the comparator
    std::size_t time = 0;
    std::optional<double> estimate;  ///< mean of `food` − mean of `minus` at this time
    std::optional<double> se;
    std::optional<double> df;
    std::optional<double> t;
    std::optional<double> p;  ///< two-sided
    std::optional<double> pAdjusted;
    std::optional<double> ciLow;  ///< not adjusted
    std::optional<double> ciHigh;
    std::string absentBecause;
};

/// Linear mixed model of curves, fitted by REML: do the foods differ, does the difference depend on time, and
/// at which times do they differ?
/// y = mean(food, time) + period + u(subject) + v(subject, food) + w(curve) + e; u, v, w normal with
/// variances of their own, e normal with the covariance asked for within a curve. w is there only where a
/// subject had a food at more than one visit. Time is a factor: the shape of the curves is free.
///
/// A part that the data cannot tell from another is left out, and a note says so: subject where no subject
/// has two foods; subject x food where it has no more than one value, with `unstructured` (whose covariance
/// holds what it would add within a curve; with repeated visits it stays and the curve part goes), and with
/// `continuousTimeAr1` where all pairs of times in a curve are equally far apart.
///
/// REML: −2 log L = log|V| + log|XᵀV⁻¹X| + rᵀV⁻¹r + (n − columns)·log 2π is minimised over the parameters of
/// V; X has one indicator for each food and time with values, and one for each period after the first. The
/// gradient is exact. A variance or rho of 0 is a possible answer and stands in `boundary`; what is at the
/// boundary counts as known to be 0 in the degrees of freedom. −2 log L must lie within 1e-9 of what the
/// last Newton step foretells, or the fit is called not converged and has no numbers.
/// `aic` = −2 log L + 2·parameters, `bic` = −2 log L + log(rows − columns)·parameters, parameters = columns
/// of X + parameters of V: as R's nlme. They compare covariances for the same rows and the same fixed part
/// only.
///
/// Means: of each food at each time, equal weight to each period. Terms (type III): food, time: equality of
/// the means over the times (over the foods), equal weight to each, so that they need a value of every food
/// at every time; food x time: no interaction among the means that there are; period given all others. F
/// with Satterthwaite's degrees of freedom: df = 2 var²/(gᵀAg), g the gradient of the variance in the
/// parameters of V, A twice the inverse of the Hessian of −2 log L (central differences of the exact
/// gradient); for F by the eigenvectors of the covariance of the contrasts and the rule of Fai & Cornelius,
/// as R's lmerTest does. SEs come from the estimated V and are not widened for its uncertainty: with
/// `unstructured` and few subjects they are too small.
///
/// Missing samples: nothing is imputed; valid where samples are missing at random. Assumes independent
/// subjects, near normal values, and with `independent` and `continuousTimeAr1` one variance at all times.
///
/// Absent, with the reason in `absentBecause`: no value; one subject; one that is not finite; two values of a
/// curve at one time; nothing left to estimate a variance from; values that foods, times and curves
/// reproduce; too few curves for `unstructured` or more than 20 times with it; variances further apart than
/// 1e8; not converged; stopped.
/// Sources: Patterson & Thompson 1971, Biometrika 58:545; Laird & Ware 1982, Biometrics 38:963; Jones &
/// Boadi-Boateng 1991, Biometrics 47:161 (continuous time); Giesbrecht & Burns 1985, Biometrics 41:477; Fai &
/// Cornelius 1996, J Stat Comput Simul 54:363. From memory, checked against R's nlme, lme4 and lmerTest.
struct TimeCourse {
    std::size_t rows = 0;
    std::size_t subjects = 0;
    std::size_t curves = 0;
    std::optional<double> varianceSubject;      ///< absent: not in the model
    std::optional<double> varianceSubjectFood;  ///< absent: not in the model
    std::optional<double> varianceCurve;        ///< absent: not in the model
    std::optional<double> varianceResidual;     ///< absent with `unstructured`
    std::optional<double> rho;                  ///< correlation at `rhoUnitMin` apart
    std::optional<double> rhoUnitMin;           ///< the least distance of two times
    std::vector<std::size_t> withinTimes;       ///< with `unstructured`: times in ascending order, and
    std::vector<double> withinCovariance;       ///< their covariance, row by row
    std::vector<std::string> boundary;          ///< "subject", "subject x food", "curve", "rho"
    std::optional<double> remlLogLikelihood;
    std::optional<double> aic;
    std::optional<double> bic;
    std::size_t fixedParameters = 0;
    std::size_t covarianceParameters = 0;
    bool converged = false;
    std::vector<TimeCourseTerm> terms;
    std::vector<TimeCourseMean> means;              ///< by food, then ascending time
    std::vector<TimeCourseDifference> differences;  ///< by food, then ascending time
    std::vector<std::string> notes;
    std::string absentBecause;
};

/// 0 < alpha < 1; the multiplicity is a known word; each index in range; times finite and different.
TimeCourse timeCourse(const TimeCourseData& data, const TimeCourseOptions& options,
                      const Progress& progress = {});

}  // namespace aftercurve
