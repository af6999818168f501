#include "core/compare/equivalence.h"

#include <algorithm>
#include <cmath>

namespace aftercurve {

namespace {

EquivalenceVerdict verdictOf(const MarginEstimate& found, const Margins& margins, double p, double alpha) {
    if (p < alpha) {
        return EquivalenceVerdict::equivalent;
    }
    const auto belowLow = pBelow(found, margins.low);
    const auto aboveHigh = pAbove(found, margins.high);
    if ((belowLow && *belowLow < alpha) || (aboveHigh && *aboveHigh < alpha)) {
        return EquivalenceVerdict::outside;
    }
    return EquivalenceVerdict::notShown;
}

Equivalence tested(const MarginEstimate& found, const Margins& margins, MarginScale scale, double alpha) {
    Equivalence result;
    result.n = found.n;
    result.estimate = found.estimate;
    result.ciLow = found.ciLow;
    result.ciHigh = found.ciHigh;
    result.df = found.df;
    result.absentBecause = found.absentBecause;
    result.intervalAbsentBecause = found.intervalAbsentBecause;
    if (std::string problem = problemWithMargins(margins, scale); !problem.empty()) {
        result.absentBecause = std::move(problem);
        return result;
    }
    if (!found.t) {
        return result;
    }
    result.tLow = found.t(margins.low);
    result.tHigh = found.t(margins.high);
    result.pLow = pAbove(found, margins.low);
    result.pHigh = pBelow(found, margins.high);
    if (!result.pLow || !result.pHigh) {
        result.absentBecause = "a t against a margin could not be computed";
        return result;
    }
    result.p = std::max(*result.pLow, *result.pHigh);
    result.verdict = verdictOf(found, margins, *result.p, alpha);
    return result;
}

}  // namespace

std::string problemWithMargins(const Margins& margins, MarginScale scale) {
    if (!std::isfinite(margins.low) || !std::isfinite(margins.high)) {
        return "a margin is not a finite number";
    }
    if (!(margins.low < margins.high)) {
        return "the low margin must lie below the high one";
    }
    if (scale != MarginScale::meanDifference && !(margins.low > 0.0)) {
        return "a margin of a ratio must lie above 0";
    }
    const double same = sameValue(scale);
    if (!(margins.low < same && same < margins.high)) {
        return scale == MarginScale::meanDifference ? "the margins must have 0 between them"
                                                    : "the margins of a ratio must have 1 between them";
    }
    return {};
}

std::string_view verdictWords(EquivalenceVerdict verdict) {
    switch (verdict) {
        case EquivalenceVerdict::notTested:
            return "not tested";
        case EquivalenceVerdict::equivalent:
            return "equivalent within the margins";
        case EquivalenceVerdict::notShown:
            return "equivalence not shown";
        case EquivalenceVerdict::outside:
            break;
    }
    return "outside the margins";
}

Equivalence equivalence(MarginScale scale, std::span<const double> food, std::span<const double> comparator,
                        const Margins& margins, double alpha) {
    return tested(marginEstimate(scale, food, comparator, alpha), margins, scale, alpha);
}

Equivalence equivalenceOfDifference(double difference, double standardError, double df,
                                    const Margins& margins, double alpha) {
    return tested(marginEstimateOf(difference, standardError, df, alpha), margins,
                  MarginScale::meanDifference, alpha);
}

}  // namespace aftercurve
