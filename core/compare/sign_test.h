#pragma once

#include <cstddef>
#include <optional>
#include <string>

#include "core/compare/differences.h"

namespace aftercurve {

/// Sign test. Hypothesis: a difference that is not zero is as often positive as negative (the median is 0).
/// Zeros are dropped and counted. p is exact and two-sided, from the binomial with n = positive + negative
/// and share 1/2: p = min(1, 2·P(X ≤ min(positive, negative))). `median` is the middle of all differences,
/// zeros included (for an even n the mean of the two middle ones), in the unit of the differences; its
/// interval runs from the k-th smallest to the k-th largest difference (zeros included), k the largest with
/// 2·P(X ≤ k − 1) ≤ alpha, X binomial with all n differences and share 1/2. The interval holds the median
/// with `achievedConfidence` = 1 − 2·P(X ≤ k − 1), or more where there are ties. Assumes independent
/// subjects, and nothing about the shape of the differences. With n ≤ 5 no 95 % interval exists. No
/// difference, none that is not zero, one that is not finite: absent with the reason. Source: Dixon & Mood
/// 1946, J Am Stat Assoc 41:557; Hollander & Wolfe 1973, ch. 3 (interval).
struct SignTest {
    std::size_t n = 0;  ///< all differences, zeros included
    std::size_t positive = 0;
    std::size_t negative = 0;
    std::size_t zeros = 0;
    std::optional<double> p;
    std::optional<double> median;
    std::optional<double> ciLow;
    std::optional<double> ciHigh;
    std::optional<double> achievedConfidence;
    std::string absentBecause;          ///< of p
    std::string intervalAbsentBecause;  ///< of median and interval
};

/// 0 < alpha < 1.
SignTest signTest(const Differences& differences, double alpha);

}  // namespace aftercurve
