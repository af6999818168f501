#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>

#include "core/compare/differences.h"

namespace aftercurve {

/// Ratio of geometric means of pairs, food/comparator: Student's t for the differences of the natural
/// logarithms (pairedT), taken back by exp. `ratio` = exp(mean of ln(food) − ln(comparator)), no unit;
/// interval exp(mean ± t(1 − alpha/2, n − 1)·sem); two-sided p. Hypothesis: the ratio is 1. `sdLog` is the
/// standard deviation of the differences of logarithms. Assumes independent subjects and ratios that are near
/// log-normal. Every value must be above 0: where one is not, all is absent and the reason tells how many
/// pairs hold such a value; no constant is added and no pair is left out. Two ratios closer than 1e-11 of
/// themselves count as equal. n = 1: the ratio alone. All ratios equal: ratio, sdLog 0, no interval and no
/// test. A value that is not finite, or a ratio too large for a double: absent with the reason. Source: Keene
/// 1995, Stat Med 14:811 (the log transformation); Student 1908, Biometrika 6:1.
struct LogRatio {
    std::size_t n = 0;
    std::size_t notPositive = 0;  ///< pairs with a value at or below 0
    std::optional<double> ratio;
    std::optional<double> ciLow;
    std::optional<double> ciHigh;
    std::optional<double> sdLog;
    std::optional<double> t;
    std::optional<double> df;
    std::optional<double> p;
    std::string absentBecause;
};

/// Same lengths. 0 < alpha < 1.
LogRatio logRatio(std::span<const double> food, std::span<const double> comparator, double alpha);

/// ln(food) − ln(comparator) of pairs above 0, with the resolution 1e-11. Same lengths.
Differences logDifferences(std::span<const double> food, std::span<const double> comparator);

}  // namespace aftercurve
