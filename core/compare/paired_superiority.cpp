#include "core/compare/paired_superiority.h"

#include <cassert>
#include <cmath>
#include <vector>

#include "core/compare/descriptive.h"
#include "core/compare/distributions.h"
#include "core/compare/scaled.h"

namespace aftercurve {

namespace {

double oddsOf(double logit) {
    return std::exp(logit);
}

double shareOf(double logit) {
    return 1.0 / (1.0 + std::exp(-logit));
}

void addInterval(PairedSuperiority& result, std::span<const double> counts, double alpha) {
    const double share = *result.probability;
    if (result.n == 1) {
        result.intervalAbsentBecause = "one pair: its spread cannot be estimated";
        return;
    }
    if (share == 0.0 || share == 1.0) {
        result.intervalAbsentBecause =
            "all pairs point the same way: the interval on the log-odds has no end";
        return;
    }
    if (result.equal == result.n) {
        result.intervalAbsentBecause = "all pairs are equal: no spread";
        return;
    }
    const auto sd = sampleSd(counts);
    const auto z = normalUpperQuantile(0.5 * alpha);
    if (!sd || !z) {
        result.intervalAbsentBecause = "the spread could not be computed";
        return;
    }
    const double se = *sd / std::sqrt(static_cast<double>(result.n));
    const double half = *z * se / (share * (1.0 - share));
    const double logit = std::log(share / (1.0 - share));
    result.ciLow = shareOf(logit - half);
    result.ciHigh = shareOf(logit + half);
    result.winOddsLow = oddsOf(logit - half);
    result.winOddsHigh = oddsOf(logit + half);
}

}  // namespace

PairedSuperiority pairedSuperiority(const Differences& differences, double alpha) {
    assert(alpha > 0.0 && alpha < 1.0);
    PairedSuperiority result;
    result.n = differences.value.size();
    if (result.n == 0 || !allFinite(differences.value)) {
        result.absentBecause = result.n == 0 ? "there is no pair" : "a difference is not a finite number";
        result.intervalAbsentBecause = result.absentBecause;
        return result;
    }
    std::vector<double> counts;
    for (const double d : differences.value) {
        const bool equal = std::abs(d) <= differences.resolution;
        ++(equal ? result.equal : d > 0.0 ? result.higher : result.lower);
        counts.push_back(equal ? 0.5 : d > 0.0 ? 1.0 : 0.0);
    }
    const auto halves = static_cast<double>(2 * result.higher + result.equal);
    const double share = halves / static_cast<double>(2 * result.n);
    result.probability = share;
    if (share < 1.0) {
        result.winOdds = share / (1.0 - share);
    }
    addInterval(result, counts, alpha);
    return result;
}

}  // namespace aftercurve
