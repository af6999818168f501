#pragma once

#include <cstddef>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace aftercurve {

/// What a margin is about.
enum class MarginScale {
    meanDifference,      ///< mean(food − comparator), in the unit of the values; 0: the same
    geometricMeanRatio,  ///< exp(mean ln(food/comparator)), all values above 0; 1: the same
    ratioOfMeans,        ///< mean(food)/mean(comparator), comparator's mean above 0; 1: the same
};

/// The value at which food and comparator are the same: 0 or 1.
double sameValue(MarginScale scale);

/// An estimate that can be tested against any limit. Internal to core/compare.
/// `t`(limit) has Student's t distribution with `df` if the true value is `limit`; it grows with the
/// estimate.
///   meanDifference      (d̄ − limit)/sem
///   geometricMeanRatio  (mean of ln ratios − ln limit)/sem of these
///   ratioOfMeans        mean(e)/sem(e), e = food − limit·comparator (Sasabuchi 1988, Biometrika 75:169;
///   Fieller 1954)
/// The interval has confidence 1 − 2·alpha and holds the limits that neither one-sided test at alpha rejects.
/// Absent, with the reason: what pairedT, logRatio or ratioOfMeans call absent; a mean of the comparator that
/// is not above 0. An interval of a ratio of means that is not bounded is absent although `t` is there:
/// `intervalAbsentBecause`.
struct MarginEstimate {
    std::size_t n = 0;
    std::optional<double> estimate;
    std::optional<double> ciLow;
    std::optional<double> ciHigh;
    std::optional<double> df;
    std::function<std::optional<double>(double limit)> t;  ///< empty where there is no test
    std::string absentBecause;
    std::string intervalAbsentBecause;
};

/// Same lengths. 0 < alpha < 0.5.
MarginEstimate marginEstimate(MarginScale scale, std::span<const double> food,
                              std::span<const double> comparator, double alpha);

/// Of a difference that comes with a standard error and degrees of freedom (a mixed model).
MarginEstimate marginEstimateOf(double difference, double standardError, double df, double alpha);

/// P(T > t) at a limit: small where the true value seems above it. P(T < t): `below`.
std::optional<double> pAbove(const MarginEstimate& estimate, double limit);
std::optional<double> pBelow(const MarginEstimate& estimate, double limit);

}  // namespace aftercurve
