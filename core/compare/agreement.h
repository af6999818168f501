#pragma once

#include <cstddef>
#include <optional>
#include <string>

#include "core/compare/paired_t.h"

namespace aftercurve {

/// How many standard deviations the limits of agreement lie from the mean difference.
inline constexpr double agreementSpread = 1.96;

/// Limits of agreement of paired values: mean difference ± 1.96 · SD of the differences, between which 19 of
/// 20 differences lie where they are near normal and do not hang on the size of the values. Interval of the
/// mean: that of the paired t; of each limit: limit ± t(1 − alpha/2, n − 1) · √(3 · SD² / n). Unit: that of
/// the differences. Source: Bland & Altman 1986, Lancet i:307.
/// n = 0: all absent. n = 1: the mean alone. All differences equal: limits at the mean, no interval. What is
/// too large for a double is absent. `absentBecause` says why something is not there.
struct Agreement {
    std::size_t n = 0;
    std::optional<double> meanDifference;
    std::optional<double> sdDifference;
    std::optional<double> meanLow;
    std::optional<double> meanHigh;
    std::optional<double> lowerLimit;
    std::optional<double> lowerLimitLow;
    std::optional<double> lowerLimitHigh;
    std::optional<double> upperLimit;
    std::optional<double> upperLimitLow;
    std::optional<double> upperLimitHigh;
    std::string absentBecause;

    bool operator==(const Agreement&) const = default;
};

/// 0 < alpha < 1, the level with which `t` was computed.
Agreement agreementOf(const PairedT& t, double alpha);

}  // namespace aftercurve
