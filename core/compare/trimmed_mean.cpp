#include "core/compare/trimmed_mean.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <vector>

#include "core/compare/descriptive.h"
#include "core/compare/distributions.h"
#include "core/compare/scaled.h"

namespace aftercurve {

namespace {

bool isTrim(double trim) {
    return trim >= 0.0 && trim < 0.5;
}

/// trim·n in decimals: 0.29 · 100 cuts 29, although the product of the doubles is below.
std::size_t cutOf(std::size_t n, double trim) {
    return static_cast<std::size_t>(std::floor(trim * static_cast<double>(n) + 1e-9));
}

struct Ends {
    double low = 0.0;
    double high = 0.0;
    double trimmedMean = 0.0;
};

/// Of n − 2·cut ≥ 1 values.
Ends endsOf(std::span<const double> value, std::size_t cut) {
    std::vector<double> sorted(value.begin(), value.end());
    std::sort(sorted.begin(), sorted.end());
    const std::span<const double> kept =
        std::span<const double>(sorted).subspan(cut, sorted.size() - 2 * cut);
    return {kept.front(), kept.back(), *mean(kept)};
}

std::vector<double> winsorised(std::span<const double> value, const Ends& ends) {
    std::vector<double> result(value.begin(), value.end());
    for (double& x : result) {
        x = std::clamp(x, ends.low, ends.high);
    }
    return result;
}

/// `estimate` and the Winsorised differences, both near 1, `exponent` back.
void finish(TrimmedMean& result, double estimate, std::span<const double> winsorisedValue, int exponent,
            double alpha) {
    const auto n = static_cast<double>(result.n);
    const auto h = static_cast<double>(result.n - 2 * result.cutEachEnd);
    const double se = *sampleSd(winsorisedValue) * std::sqrt((n - 1.0) / (h * (h - 1.0)));
    if (!(se > 0.0)) {
        result.se = 0.0;
        result.absentBecause = "the values that stay are too close to each other: no interval and no test";
        return;
    }
    result.df = h - 1.0;
    result.t = estimate / se;
    result.p = studentTTwoSidedP(*result.t, h - 1.0);
    result.se = scaledBack(se, exponent);
    if (const auto quantile = studentTUpperQuantile(alpha / 2.0, h - 1.0)) {
        result.ciLow = scaledBack(estimate - *quantile * se, exponent);
        result.ciHigh = scaledBack(estimate + *quantile * se, exponent);
    }
    if (!result.ciLow || !result.ciHigh) {
        result.ciLow.reset();
        result.ciHigh.reset();
        result.absentBecause = "a result is too large for the number format";
    }
}

/// Reasons that do not depend on the values; `n` and the cut are set.
std::string tooFew(TrimmedMean& result, std::size_t n, double trim) {
    result.n = n;
    if (!isTrim(trim)) {
        return "the share cut off at each end must be at least 0 and below 0.5";
    }
    if (n == 0) {
        return "there is no pair";
    }
    result.cutEachEnd = cutOf(n, trim);
    if (2 * result.cutEachEnd >= n) {
        return "nothing is left between the ends that are cut off";
    }
    return {};
}

const char* const oneStays = "only one value stays after trimming: no interval and no test";

}  // namespace

TrimmedMean trimmedMean(const Differences& differences, double alpha, double trim) {
    assert(alpha > 0.0 && alpha < 1.0);
    TrimmedMean result;
    result.absentBecause = tooFew(result, differences.value.size(), trim);
    if (!result.absentBecause.empty()) {
        return result;
    }
    const auto scaled = scaledNearOne(differences.value);
    if (!scaled) {
        result.absentBecause = "a difference is not a finite number";
        return result;
    }
    const Ends ends = endsOf(scaled->value, result.cutEachEnd);
    result.estimate = scaledBack(ends.trimmedMean, scaled->exponent);
    if (result.n - 2 * result.cutEachEnd < 2) {
        result.absentBecause = oneStays;
        return result;
    }
    if (ends.high - ends.low <= std::ldexp(differences.resolution, -scaled->exponent)) {
        result.se = 0.0;
        result.absentBecause = "all differences that stay are equal: no interval and no test";
        return result;
    }
    finish(result, ends.trimmedMean, winsorised(scaled->value, ends), scaled->exponent, alpha);
    return result;
}

TrimmedMean marginalTrimmedMeans(std::span<const double> food, std::span<const double> comparator,
                                 double alpha, double trim) {
    assert(alpha > 0.0 && alpha < 1.0);
    assert(food.size() == comparator.size());
    TrimmedMean result;
    const std::size_t n = std::min(food.size(), comparator.size());
    result.absentBecause = tooFew(result, n, trim);
    if (!result.absentBecause.empty()) {
        return result;
    }
    // Both sides by one power of two.
    std::vector<double> both(food.begin(), food.begin() + static_cast<std::ptrdiff_t>(n));
    both.insert(both.end(), comparator.begin(), comparator.begin() + static_cast<std::ptrdiff_t>(n));
    const auto scaled = scaledNearOne(both);
    if (!scaled) {
        result.absentBecause = "a value is not a finite number";
        return result;
    }
    const std::span<const double> all = scaled->value;
    const Ends foodEnds = endsOf(all.first(n), result.cutEachEnd);
    const Ends comparatorEnds = endsOf(all.last(n), result.cutEachEnd);
    const double estimate = foodEnds.trimmedMean - comparatorEnds.trimmedMean;
    result.estimate = scaledBack(estimate, scaled->exponent);
    if (result.n - 2 * result.cutEachEnd < 2) {
        result.absentBecause = oneStays;
        return result;
    }
    // SS + SS − 2·SP is the sum of squares of the differences of the Winsorised values.
    const Differences gap =
        pairedDifferences(winsorised(all.first(n), foodEnds), winsorised(all.last(n), comparatorEnds));
    if (allEqual(gap)) {
        result.se = 0.0;
        result.absentBecause = "all differences of the Winsorised values are equal: no interval and no test";
        return result;
    }
    finish(result, estimate, gap.value, scaled->exponent, alpha);
    return result;
}

}  // namespace aftercurve
