#include "core/compare/one_sided_margin.h"

#include <cmath>

namespace aftercurve {

namespace {

/// The limit lies on the low side: what is asked is that the value is above it or at least not below by much.
bool higherIsBetter(const MarginQuestion& question) {
    return question.direction == BetterDirection::higherIsBetter;
}

double limitOf(const MarginQuestion& question) {
    const bool upwards = higherIsBetter(question) == (question.claim == MarginClaim::superiority);
    if (question.scale == MarginScale::meanDifference) {
        return upwards ? question.margin : 0.0 - question.margin;
    }
    return upwards ? question.margin : 1.0 / question.margin;
}

OneSidedMargin tested(const MarginEstimate& found, const MarginQuestion& question, double alpha) {
    OneSidedMargin result;
    result.n = found.n;
    result.estimate = found.estimate;
    result.ciLow = found.ciLow;
    result.ciHigh = found.ciHigh;
    result.bound = higherIsBetter(question) ? found.ciLow : found.ciHigh;
    result.df = found.df;
    result.absentBecause = found.absentBecause;
    result.intervalAbsentBecause = found.intervalAbsentBecause;
    if (std::string problem = problemWithMargin(question); !problem.empty()) {
        result.absentBecause = std::move(problem);
        return result;
    }
    result.limit = limitOf(question);
    if (!found.t) {
        return result;
    }
    result.t = found.t(*result.limit);
    result.p = higherIsBetter(question) ? pAbove(found, *result.limit) : pBelow(found, *result.limit);
    if (!result.p) {
        result.absentBecause = "the t against the margin could not be computed";
        return result;
    }
    result.verdict = *result.p < alpha ? MarginVerdict::shown : MarginVerdict::notShown;
    return result;
}

}  // namespace

std::string problemWithMargin(const MarginQuestion& question) {
    const double margin = question.margin;
    if (!std::isfinite(margin)) {
        return "the margin is not a finite number";
    }
    const bool strict = question.claim == MarginClaim::nonInferiority;
    const double same = sameValue(question.scale);
    if (margin < same || (strict && margin == same)) {
        if (question.scale == MarginScale::meanDifference) {
            return strict ? "the margin of non-inferiority must be above 0"
                          : "the margin of superiority must not be below 0";
        }
        return strict ? "the margin of non-inferiority, a factor, must be above 1"
                      : "the margin of superiority, a factor, must not be below 1";
    }
    return {};
}

std::string_view verdictWords(MarginVerdict verdict, MarginClaim claim) {
    const bool superiority = claim == MarginClaim::superiority;
    switch (verdict) {
        case MarginVerdict::notTested:
            return "not tested";
        case MarginVerdict::shown:
            return superiority ? "superiority shown" : "non-inferiority shown";
        case MarginVerdict::notShown:
            break;
    }
    return superiority ? "superiority not shown" : "non-inferiority not shown";
}

OneSidedMargin oneSidedMargin(const MarginQuestion& question, std::span<const double> food,
                              std::span<const double> comparator, double alpha) {
    return tested(marginEstimate(question.scale, food, comparator, alpha), question, alpha);
}

OneSidedMargin oneSidedMarginOfDifference(const MarginQuestion& question, double difference,
                                          double standardError, double df, double alpha) {
    if (question.scale != MarginScale::meanDifference) {
        OneSidedMargin result;
        result.absentBecause = "a difference has no margin that is a ratio";
        return result;
    }
    return tested(marginEstimateOf(difference, standardError, df, alpha), question, alpha);
}

}  // namespace aftercurve
