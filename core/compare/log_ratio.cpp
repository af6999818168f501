#include "core/compare/log_ratio.h"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "core/compare/paired_t.h"
#include "core/compare/scaled.h"

namespace aftercurve {

namespace {

std::optional<double> backFromLog(const std::optional<double>& logarithm) {
    if (!logarithm) {
        return std::nullopt;
    }
    const double ratio = std::exp(*logarithm);
    // One that leaves the normal doubles is as lost as one that is too large.
    return std::isnormal(ratio) ? std::optional(ratio) : std::nullopt;
}

}  // namespace

Differences logDifferences(std::span<const double> food, std::span<const double> comparator) {
    assert(food.size() == comparator.size());
    Differences result;
    result.resolution = 1e-11;
    const std::size_t n = std::min(food.size(), comparator.size());
    for (std::size_t i = 0; i < n; ++i) {
        result.value.push_back(std::log(food[i]) - std::log(comparator[i]));
    }
    return result;
}

LogRatio logRatio(std::span<const double> food, std::span<const double> comparator, double alpha) {
    assert(alpha > 0.0 && alpha < 1.0);
    LogRatio result;
    result.n = std::min(food.size(), comparator.size());
    if (!allFinite(food) || !allFinite(comparator)) {
        result.absentBecause = "a value is not a finite number";
        return result;
    }
    for (std::size_t i = 0; i < result.n; ++i) {
        result.notPositive += food[i] > 0.0 && comparator[i] > 0.0 ? 0U : 1U;
    }
    if (result.notPositive > 0) {
        result.absentBecause = std::to_string(result.notPositive) + " of " + std::to_string(result.n) +
                               " pairs hold a value that is not above 0, which has no logarithm";
        return result;
    }
    const PairedT test = pairedT(logDifferences(food, comparator), alpha);
    result.absentBecause =
        test.sdDifference == 0.0 ? "all ratios are equal: no interval and no test" : test.absentBecause;
    result.ratio = backFromLog(test.meanDifference);
    result.sdLog = test.sdDifference;
    result.t = test.t;
    result.df = test.df;
    result.p = test.p;
    result.ciLow = backFromLog(test.ciLow);
    result.ciHigh = backFromLog(test.ciHigh);
    const bool ciLost = test.ciLow.has_value() && (!result.ciLow || !result.ciHigh);
    if (ciLost) {
        result.ciLow.reset();
        result.ciHigh.reset();
    }
    if (ciLost || (test.meanDifference && !result.ratio)) {
        result.absentBecause = "a ratio is outside the range of the number format";
    }
    return result;
}

}  // namespace aftercurve
