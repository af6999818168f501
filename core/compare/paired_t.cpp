#include "core/compare/paired_t.h"

#include <cassert>
#include <cmath>

#include "core/compare/descriptive.h"
#include "core/compare/distributions.h"
#include "core/compare/scaled.h"

namespace aftercurve {

PairedT pairedT(const Differences& differences, double alpha) {
    assert(alpha > 0.0 && alpha < 1.0);
    PairedT result;
    result.n = differences.value.size();
    if (result.n == 0) {
        result.absentBecause = "there is no pair";
        return result;
    }
    const auto scaled = scaledNearOne(differences.value);
    if (!scaled) {
        result.absentBecause = "a difference is not a finite number";
        return result;
    }
    result.meanDifference = mean(differences.value);
    if (result.n == 1) {
        result.absentBecause = "one pair: its spread cannot be estimated, no interval and no test";
        return result;
    }
    const double sd = *sampleSd(scaled->value);
    if (allEqual(differences) || sd == 0.0) {
        result.sdDifference = 0.0;
        result.semDifference = 0.0;
        result.absentBecause = "all differences are equal: no interval and no test";
        return result;
    }

    const auto n = static_cast<double>(result.n);
    const double df = n - 1.0;
    const double m = *mean(scaled->value);
    const double sem = sd / std::sqrt(n);
    result.df = df;
    result.t = m / sem;
    result.p = studentTTwoSidedP(*result.t, df);
    result.sdDifference = scaledBack(sd, scaled->exponent);
    result.semDifference = scaledBack(sem, scaled->exponent);
    if (const auto quantile = studentTUpperQuantile(alpha / 2.0, df)) {
        result.ciLow = scaledBack(m - *quantile * sem, scaled->exponent);
        result.ciHigh = scaledBack(m + *quantile * sem, scaled->exponent);
    }
    if (!result.ciLow || !result.ciHigh) {
        result.ciLow.reset();
        result.ciHigh.reset();
    }
    if (!result.sdDifference || !result.ciLow) {
        result.absentBecause = "a result is too large for the number format";
    }
    return result;
}

}  // namespace aftercurve
