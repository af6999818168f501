#include "core/compare/margin_estimate.h"

#include <cassert>
#include <cmath>

#include "core/compare/descriptive.h"
#include "core/compare/distributions.h"
#include "core/compare/log_ratio.h"
#include "core/compare/paired_moments.h"
#include "core/compare/paired_t.h"
#include "core/compare/ratio_of_means.h"
#include "core/compare/scaled.h"

namespace aftercurve {

namespace {

std::optional<double> finiteOnly(double t) {
    return std::isfinite(t) ? std::optional(t) : std::nullopt;
}

MarginEstimate ofDifference(std::span<const double> food, std::span<const double> comparator, double alpha) {
    const PairedT test = pairedT(pairedDifferences(food, comparator), 2.0 * alpha);
    MarginEstimate result;
    result.n = test.n;
    result.estimate = test.meanDifference;
    result.ciLow = test.ciLow;
    result.ciHigh = test.ciHigh;
    result.df = test.df;
    result.absentBecause = test.absentBecause;
    if (test.p && test.meanDifference && test.semDifference && *test.semDifference > 0.0) {
        result.t = [m = *test.meanDifference, sem = *test.semDifference](double limit) {
            return finiteOnly((m - limit) / sem);
        };
    } else if (result.absentBecause.empty()) {
        result.absentBecause = "the standard error is too small for the number format";
    }
    return result;
}

MarginEstimate ofLogRatio(std::span<const double> food, std::span<const double> comparator, double alpha) {
    const LogRatio test = logRatio(food, comparator, 2.0 * alpha);
    MarginEstimate result;
    result.n = test.n;
    result.estimate = test.ratio;
    result.ciLow = test.ciLow;
    result.ciHigh = test.ciHigh;
    result.df = test.df;
    result.absentBecause = test.absentBecause;
    if (test.p && test.ciLow) {
        const Differences logs = logDifferences(food, comparator);
        const double m = *mean(logs.value);
        const double sem = *sampleSd(logs.value) / std::sqrt(static_cast<double>(test.n));
        result.t = [m, sem](double limit) { return finiteOnly((m - std::log(limit)) / sem); };
    }
    return result;
}

MarginEstimate ofMeans(std::span<const double> food, std::span<const double> comparator, double alpha) {
    const RatioOfMeans found = ratioOfMeans(food, comparator, 2.0 * alpha);
    MarginEstimate result;
    result.n = found.n;
    result.estimate = found.ratio;
    if (found.set == FiellerSet::none) {
        result.absentBecause = found.absentBecause;
        return result;
    }
    const PairedMomentsResult moments = pairedMoments(food, comparator);
    if (!moments.moments || !(moments.moments->comparator > 0.0)) {
        result.absentBecause = "the mean of the comparator is not above 0: a ratio has no margin";
        return result;
    }
    result.df = static_cast<double>(found.n) - 1.0;
    if (found.set == FiellerSet::bounded) {
        result.ciLow = found.low;
        result.ciHigh = found.high;
    } else {
        result.intervalAbsentBecause =
            "the mean of the comparator is not clearly above 0: the interval has no bounds";
    }
    result.t = [m = *moments.moments](double limit) -> std::optional<double> {
        const double theta = std::ldexp(limit, -m.exponent);
        const double variance = varianceAt(m, theta);
        if (!std::isfinite(theta) || !(variance > 0.0)) {
            return std::nullopt;
        }
        return finiteOnly((m.food - theta * m.comparator) / std::sqrt(variance));
    };
    return result;
}

}  // namespace

double sameValue(MarginScale scale) {
    return scale == MarginScale::meanDifference ? 0.0 : 1.0;
}

MarginEstimate marginEstimate(MarginScale scale, std::span<const double> food,
                              std::span<const double> comparator, double alpha) {
    assert(alpha > 0.0 && alpha < 0.5);
    switch (scale) {
        case MarginScale::meanDifference:
            return ofDifference(food, comparator, alpha);
        case MarginScale::geometricMeanRatio:
            return ofLogRatio(food, comparator, alpha);
        case MarginScale::ratioOfMeans:
            break;
    }
    return ofMeans(food, comparator, alpha);
}

MarginEstimate marginEstimateOf(double difference, double standardError, double df, double alpha) {
    assert(alpha > 0.0 && alpha < 0.5);
    MarginEstimate result;
    if (!std::isfinite(difference) || !std::isfinite(standardError) || !(standardError > 0.0)) {
        result.absentBecause = "no estimate with a standard error above 0";
        return result;
    }
    result.estimate = difference;
    const auto quantile = studentTUpperQuantile(alpha, df);
    if (!quantile) {
        result.absentBecause = "the degrees of freedom are not a number above 0";
        return result;
    }
    result.df = df;
    result.ciLow = finiteOnly(difference - *quantile * standardError);
    result.ciHigh = finiteOnly(difference + *quantile * standardError);
    if (!result.ciLow || !result.ciHigh) {
        result.ciLow.reset();
        result.ciHigh.reset();
        result.intervalAbsentBecause = "an end is too large for the number format";
    }
    result.t = [difference, standardError](double limit) {
        return finiteOnly((difference - limit) / standardError);
    };
    return result;
}

std::optional<double> pAbove(const MarginEstimate& estimate, double limit) {
    const auto t = estimate.t ? estimate.t(limit) : std::nullopt;
    return t && estimate.df ? studentTUpperTail(*t, *estimate.df) : std::nullopt;
}

std::optional<double> pBelow(const MarginEstimate& estimate, double limit) {
    const auto t = estimate.t ? estimate.t(limit) : std::nullopt;
    return t && estimate.df ? studentTUpperTail(-*t, *estimate.df) : std::nullopt;
}

}  // namespace aftercurve
