#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <string>

#include "core/base/progress.h"
#include "core/compare/differences.h"

namespace aftercurve {

/// How a bootstrap is run. Only `replicates` and `seed` enter a result.
struct BootstrapSettings {
    std::uint64_t replicates = 9'999;  ///< 199 … 10⁶
    std::uint64_t seed = 1;
    unsigned threads = 1;
};

/// A number found from a set of differences; may be called on several threads at once. Absent where the set
/// does not determine it.
using Statistic = std::function<std::optional<double>(std::span<const double>)>;

/// Nonparametric bootstrap of paired differences: whole pairs are drawn with replacement, n at a time. With
/// B replicates t*, sorted, the level a stands at position (B + 1)·a; between two order statistics it is
/// interpolated on the scale of normal quantiles (Davison & Hinkley 1997, eq. 5.6).
/// Percentile interval: levels alpha/2 and 1 − alpha/2. BCa interval: levels
/// Φ(z0 + (z0 + z)/(1 − a·(z0 + z))), z = ±z(1 − alpha/2), with bias correction z0 = Φ⁻¹(share of t* below
/// the estimate; those that equal it within the resolution count half) and acceleration a =
/// Σl³/(6·(Σl²)^1.5), l = mean of the jackknife values − the i-th. Unit: that of the statistic; z0 and a have
/// none. Assumes independent subjects. The intervals are too narrow in small samples (below some 15 pairs):
/// they do not replace the t interval there. The order of the subjects enters, as the random draws go by
/// position. Source: Efron 1987, J Am Stat Assoc 82:171; Efron & Tibshirani 1993, ch. 14. Fewer than two
/// pairs, all differences equal, a difference that is not finite, settings out of range, a statistic that is
/// absent in a resample, work that was stopped: no interval, with the reason. A BCa interval alone can be
/// absent
/// (`bcaAbsentBecause`): every t* on one side of the estimate, jackknife values all equal or absent, or a
/// level beyond the outermost replicates.
struct Bootstrap {
    std::size_t n = 0;
    std::optional<double> estimate;
    std::optional<double> standardError;  ///< standard deviation of the t*
    std::optional<double> bias;           ///< mean of the t* − estimate
    std::optional<double> percentileLow;
    std::optional<double> percentileHigh;
    std::optional<double> bcaLow;
    std::optional<double> bcaHigh;
    std::optional<double> biasCorrection;
    std::optional<double> acceleration;
    std::uint64_t replicates = 0;  ///< run; 0 where there is no interval
    std::string absentBecause;
    std::string bcaAbsentBecause;
};

/// Of the mean difference. 0 < alpha < 1.
Bootstrap bootstrapMean(const Differences& differences, double alpha, const BootstrapSettings& settings = {},
                        const Progress& progress = {});

/// Of any statistic. 0 < alpha < 1.
Bootstrap bootstrap(const Differences& differences, const Statistic& statistic, double alpha,
                    const BootstrapSettings& settings = {}, const Progress& progress = {});

}  // namespace aftercurve
