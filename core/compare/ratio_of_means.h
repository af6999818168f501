#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>

#include "core/base/progress.h"
#include "core/compare/bootstrap.h"

namespace aftercurve {

/// What kind of set Fieller's theorem gives.
enum class FiellerSet {
    none,       ///< no set, with the reason
    bounded,    ///< low … high
    halfLine,   ///< all below `high`, or all above `low`: the one end there is (g = 1)
    outside,    ///< all ratios up to `low` and all from `high` on
    wholeLine,  ///< every ratio: the data say nothing
};

/// Ratio of the means of pairs, mean(food)/mean(comparator), no unit.
/// Fieller's set holds every ratio θ that the paired t test of food − θ·comparator does not reject at alpha:
/// with a, b the means of food and comparator, v their variances (s²/n), w the covariance of the means, t =
/// t(1 − alpha/2, n − 1),
///   (b² − t²v_b)·θ² − 2(ab − t²w)·θ + (a² − t²v_a) ≤ 0
/// g = t²·v_b/b². g < 1 (the mean of the comparator differs from 0): bounded. g > 1: the outside of two ends,
/// or the whole line; g is reported. `deltaSe` = √(v_a − 2rw + r²v_b)/|b|, the first-order standard error of
/// r; no interval is made of it. `t` and `p` test the hypothesis that the ratio is 1, which is that of the
/// paired t test of food − comparator. Assumes independent subjects and food − θ·comparator near normal; the
/// order of food and comparator matters. A ratio of means weights subjects by their level: it is not the mean
/// of ratios, nor that of geometric means (log_ratio.h). n = 1: the ratio alone. Mean of the comparator 0
/// (within 1e-11 of its largest value): all absent. All pairs of one ratio: ratio and deltaSe 0, no set. A
/// value that is not finite, a result too large for a double: absent with the reason. Source: Fieller 1954, J
/// R Stat Soc B 16:175; delta method: Cochran 1977, Sampling Techniques, ch. 6 (from memory).
struct RatioOfMeans {
    std::size_t n = 0;
    std::optional<double> meanFood;
    std::optional<double> meanComparator;
    std::optional<double> ratio;
    std::optional<double> deltaSe;
    FiellerSet set = FiellerSet::none;
    std::optional<double> low;
    std::optional<double> high;
    std::optional<double> g;
    std::optional<double> t;
    std::optional<double> df;
    std::optional<double> p;
    std::string absentBecause;
};

/// Same lengths. 0 < alpha < 1.
RatioOfMeans ratioOfMeans(std::span<const double> food, std::span<const double> comparator, double alpha);

/// Percentile and BCa intervals of the same ratio (bootstrap_pairs.h): whole pairs are drawn. A resample
/// whose mean of the comparator is 0 (within 1e-11) has no ratio, and then no interval is given. Where g is
/// near 1 or above, resamples come near that and the interval cannot be trusted.
Bootstrap bootstrapRatioOfMeans(std::span<const double> food, std::span<const double> comparator,
                                double alpha, const BootstrapSettings& settings = {},
                                const Progress& progress = {});

}  // namespace aftercurve
