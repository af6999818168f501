#include "core/compare/agreement.h"

#include <cmath>

#include "core/compare/distributions.h"

namespace aftercurve {

namespace {

std::optional<double> ifFinite(double value) {
    return std::isfinite(value) ? std::optional{value} : std::nullopt;
}

}  // namespace

Agreement agreementOf(const PairedT& t, double alpha) {
    Agreement agreement;
    agreement.n = t.n;
    agreement.meanDifference = t.meanDifference;
    agreement.sdDifference = t.sdDifference;
    agreement.meanLow = t.ciLow;
    agreement.meanHigh = t.ciHigh;
    agreement.absentBecause = t.absentBecause;
    if (!t.meanDifference || !t.sdDifference) {
        if (agreement.absentBecause.empty()) {
            agreement.absentBecause = "limits need at least two pairs";
        }
        return agreement;
    }
    const double sd = *t.sdDifference;
    agreement.lowerLimit = ifFinite(*t.meanDifference - agreementSpread * sd);
    agreement.upperLimit = ifFinite(*t.meanDifference + agreementSpread * sd);
    const double n = static_cast<double>(t.n);
    const auto quantile = t.n > 1 && sd > 0.0 ? studentTUpperQuantile(alpha / 2.0, n - 1.0) : std::nullopt;
    if (!quantile) {
        return agreement;
    }
    const double half = *quantile * std::sqrt(3.0 / n) * sd;
    if (agreement.lowerLimit) {
        agreement.lowerLimitLow = ifFinite(*agreement.lowerLimit - half);
        agreement.lowerLimitHigh = ifFinite(*agreement.lowerLimit + half);
    }
    if (agreement.upperLimit) {
        agreement.upperLimitLow = ifFinite(*agreement.upperLimit - half);
        agreement.upperLimitHigh = ifFinite(*agreement.upperLimit + half);
    }
    if (agreement.absentBecause.empty() && !(agreement.lowerLimitLow && agreement.upperLimitHigh)) {
        agreement.absentBecause = "the limits are too large for a number";
    }
    return agreement;
}

}  // namespace aftercurve
