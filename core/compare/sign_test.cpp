#include "core/compare/sign_test.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <cstdio>
#include <vector>

#include "core/compare/descriptive.h"
#include "core/compare/distributions.h"
#include "core/compare/scaled.h"

namespace aftercurve {

namespace {

/// The largest k with 2·P(X ≤ k − 1) ≤ alpha; 0 where there is none.
std::size_t orderOfEnds(std::size_t n, double alpha) {
    const auto reaches = [&](std::size_t k) {
        const auto tail = binomialLowerTail(k - 1, n, 0.5);
        return tail && 2.0 * *tail <= alpha;
    };
    std::size_t low = 0;           // 0, or one that reaches
    std::size_t high = n / 2 + 1;  // one that does not
    while (high - low > 1) {
        const std::size_t middle = low + (high - low) / 2;
        (reaches(middle) ? low : high) = middle;
    }
    return low;
}

void addInterval(SignTest& result, const Differences& differences, double alpha) {
    const std::size_t n = differences.value.size();
    result.median = median(differences.value);
    const std::size_t k = orderOfEnds(n, alpha);
    if (k == 0) {
        char text[120];
        std::snprintf(text, sizeof text, "%zu difference%s cannot give an interval of %.6g %% confidence", n,
                      n == 1 ? "" : "s", 100.0 * (1.0 - alpha));
        result.intervalAbsentBecause = text;
        return;
    }
    std::vector<double> sorted = differences.value;
    std::sort(sorted.begin(), sorted.end());
    result.ciLow = sorted[k - 1];
    result.ciHigh = sorted[n - k];
    result.achievedConfidence = 1.0 - 2.0 * binomialLowerTail(k - 1, n, 0.5).value_or(0.0);
}

}  // namespace

SignTest signTest(const Differences& differences, double alpha) {
    assert(alpha > 0.0 && alpha < 1.0);
    SignTest result;
    result.n = differences.value.size();
    if (differences.value.empty()) {
        result.absentBecause = "there is no pair";
        result.intervalAbsentBecause = result.absentBecause;
        return result;
    }
    if (!allFinite(differences.value)) {
        result.absentBecause = "a difference is not a finite number";
        result.intervalAbsentBecause = result.absentBecause;
        return result;
    }
    for (const double d : differences.value) {
        if (std::abs(d) <= differences.resolution) {
            ++result.zeros;
        } else {
            ++(d > 0.0 ? result.positive : result.negative);
        }
    }
    addInterval(result, differences, alpha);
    const std::size_t nonZero = result.positive + result.negative;
    if (nonZero == 0) {
        result.absentBecause = "all differences are zero";
        return result;
    }
    if (const auto tail = binomialLowerTail(std::min(result.positive, result.negative), nonZero, 0.5)) {
        result.p = std::min(1.0, 2.0 * *tail);
    } else {
        result.absentBecause = "the binomial tail could not be computed";
    }
    return result;
}

}  // namespace aftercurve
