#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>

namespace aftercurve {

/// What ratios of two means of the same subjects need: both means and the variances of them and of their
/// combinations, each side brought near 1 by a power of two of its own. Internal to core/compare.
struct PairedMoments {
    std::size_t n = 0;
    double food = 0.0;                ///< mean, scaled
    double comparator = 0.0;          ///< mean, scaled
    double varianceFood = 0.0;        ///< of the mean: s²/n
    double varianceComparator = 0.0;  ///< of the mean
    double covariance = 0.0;          ///< of the means
    /// Of the mean of comparator·f − food·c, from the residuals, so that nothing cancels.
    double varianceOfContrast = 0.0;
    /// varianceFood − covariance²/varianceComparator, from the residuals.
    double varianceGivenComparator = 0.0;
    int exponent = 0;  ///< ratio = (food / comparator)·2^exponent
};

/// Absent with the reason: no pair, a value that is not finite, a mean of the comparator of 0 (within 1e-11
/// of the largest value). With n = 1 all variances are 0. `proportional`: all pairs have one ratio (within
/// 1e-11).
struct PairedMomentsResult {
    std::optional<PairedMoments> moments;
    bool proportional = false;
    std::string absentBecause;
};

PairedMomentsResult pairedMoments(std::span<const double> food, std::span<const double> comparator);

/// Variance of the mean of f − theta·c, theta in scaled units (divided by 2^exponent).
double varianceAt(const PairedMoments& moments, double theta);

}  // namespace aftercurve
