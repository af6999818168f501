#pragma once

#include <cstddef>
#include <optional>
#include <string>

#include "core/compare/differences.h"

namespace aftercurve {

/// Student's t for paired samples. Hypothesis: the mean difference is 0. t = mean / (sd / √n), df = n −
/// 1, two-sided p; interval mean ± t(1 − alpha/2, df) · sd / √n. Assumes differences that are independent
/// and near normal (see shapiroWilk). Unit: that of the differences. Source: Student 1908, Biometrika
/// 6:1. n = 0: all absent. n = 1: only the mean. All differences equal (within their resolution): mean,
/// sd 0 and SEM 0, but no interval, t or p: `absentBecause` says why. A difference that is not finite, or
/// a result too large for a double, is absent with the reason; t and p are found at any scale.
struct PairedT {
    std::size_t n = 0;
    std::optional<double> meanDifference;
    std::optional<double> sdDifference;
    std::optional<double> semDifference;
    std::optional<double> ciLow;
    std::optional<double> ciHigh;
    std::optional<double> t;
    std::optional<double> df;
    std::optional<double> p;
    std::string absentBecause;
};

/// 0 < alpha < 1.
PairedT pairedT(const Differences& differences, double alpha);

}  // namespace aftercurve
