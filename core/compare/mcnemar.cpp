#include "core/compare/mcnemar.h"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "core/compare/distributions.h"

namespace aftercurve {

namespace {

void addDifference(McNemar& result, double alpha) {
    const auto n = static_cast<double>(result.pairs.n());
    const auto b = static_cast<double>(result.pairs.foodOnly);
    const auto c = static_cast<double>(result.pairs.comparatorOnly);
    result.difference = (b - c) / n;
    const double p12 = (b + 1.0) / (n + 2.0);
    const double p21 = (c + 1.0) / (n + 2.0);
    const double centre = p12 - p21;
    if (const auto z = normalUpperQuantile(0.5 * alpha)) {
        const double half = *z * std::sqrt((p12 + p21 - centre * centre) / (n + 2.0));
        result.ciLow = std::max(-1.0, centre - half);
        result.ciHigh = std::min(1.0, centre + half);
    }
}

}  // namespace

McNemar mcNemar(const YesNoPairs& pairs, double alpha) {
    assert(alpha > 0.0 && alpha < 1.0);
    McNemar result;
    result.pairs = pairs;
    if (pairs.n() == 0) {
        result.absentBecause = "there is no pair";
        return result;
    }
    addDifference(result, alpha);
    const std::size_t unlike = pairs.foodOnly + pairs.comparatorOnly;
    if (unlike == 0) {
        result.absentBecause = "no subject answers differently with the two foods";
        return result;
    }
    const std::size_t least = std::min(pairs.foodOnly, pairs.comparatorOnly);
    const auto tail = binomialLowerTail(least, unlike, 0.5);
    const auto below = least == 0 ? std::optional{0.0} : binomialLowerTail(least - 1, unlike, 0.5);
    if (!tail || !below) {
        result.absentBecause = "the binomial tail could not be computed";
        return result;
    }
    result.p = std::min(1.0, 2.0 * *tail);
    result.midP = std::min(1.0, *tail + *below);
    return result;
}

}  // namespace aftercurve
