#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>

#include "core/compare/differences.h"

namespace aftercurve {

/// Share cut off at each end unless asked otherwise.
inline constexpr double usualTrim = 0.2;

/// Student's t on a trimmed mean. g = ⌊trim·n⌋ values are cut off at each end, h = n − 2g stay; the
/// Winsorised set has the g lowest (highest) replaced by the lowest (highest) that stays.
///   estimate = mean of the h that stay, se = √(SS / (h(h − 1))), SS = sum of squares of the Winsorised set
///   about its mean, t = estimate/se, df = h − 1, two-sided p, interval estimate ± t(1 − alpha/2, df)·se
/// With trim 0, or n below 1/trim, it is the paired t. Unit: that of the differences. The se is that of the
/// two papers; s_w/((1 − 2·trim)·√n), which is met too, differs from it by little. Assumes independent
/// subjects and differences symmetric but for a few far out; the hypothesis is about the trimmed mean, which
/// is the mean only under symmetry. h < 2, the values that stay all equal (within the resolution), a
/// difference that is not finite, or a result too large for a double: absent with the reason; nothing is
/// excluded from the data. Source: Tukey & McLaughlin 1963, Sankhya A 25:331; Yuen 1974, Biometrika 61:165.
struct TrimmedMean {
    std::size_t n = 0;
    std::size_t cutEachEnd = 0;  ///< g
    std::optional<double> estimate;
    std::optional<double> se;
    std::optional<double> ciLow;
    std::optional<double> ciHigh;
    std::optional<double> t;
    std::optional<double> df;
    std::optional<double> p;
    std::string absentBecause;
};

/// Of the paired differences. Hypothesis: the trimmed mean of the differences is 0. 0 < alpha < 1; trim in
/// [0, 0.5), otherwise absent with the reason.
TrimmedMean trimmedMean(const Differences& differences, double alpha, double trim = usualTrim);

/// Of the two foods: trimmed mean of the food − trimmed mean of the comparator, each cut at its own ends
/// (other subjects may go on each side). It is another quantity than the trimmed mean of the differences
/// unless trim is 0. se² = (SS(food) + SS(comparator) − 2·SP) / (h(h − 1)), SP the sum of products of the
/// Winsorised values, subject by subject; df = h − 1. Hypothesis: both trimmed means are equal. Edges as
/// above. Same lengths. Source: Yuen 1974 for two samples; for pairs Wilcox 2005, Introduction to Robust
/// Estimation, ch. 5 (from memory).
TrimmedMean marginalTrimmedMeans(std::span<const double> food, std::span<const double> comparator,
                                 double alpha, double trim = usualTrim);

}  // namespace aftercurve
