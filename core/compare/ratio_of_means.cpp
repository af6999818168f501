#include "core/compare/ratio_of_means.h"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "core/compare/bootstrap_pairs.h"
#include "core/compare/descriptive.h"
#include "core/compare/distributions.h"
#include "core/compare/paired_moments.h"
#include "core/compare/paired_t.h"
#include "core/compare/scaled.h"

namespace aftercurve {

namespace {

/// A set in scaled units.
struct Set {
    FiellerSet kind = FiellerSet::none;
    std::optional<double> low;
    std::optional<double> high;
};

/// q·θ² − 2h·θ + z ≤ 0, with the discriminant h² − qz.
Set solved(double q, double h, double z, double discriminant) {
    if (q == 0.0) {
        if (h == 0.0) {
            return {FiellerSet::wholeLine, {}, {}};
        }
        const double end = z / (2.0 * h);
        return h > 0.0 ? Set{FiellerSet::halfLine, end, {}} : Set{FiellerSet::halfLine, {}, end};
    }
    if (q < 0.0 && discriminant <= 0.0) {
        return {FiellerSet::wholeLine, {}, {}};
    }
    // The root further from 0 first; the other from the product of both, z/q.
    const double root = std::sqrt(std::max(0.0, discriminant));
    const double sum = h >= 0.0 ? h + root : h - root;
    const double first = sum / q;
    const double second = sum == 0.0 ? 0.0 : z / sum;
    const auto [low, high] = std::minmax(first, second);
    return {q > 0.0 ? FiellerSet::bounded : FiellerSet::outside, low, high};
}

Set fieller(const PairedMoments& m, double t) {
    const double t2 = t * t;
    const double q = m.comparator * m.comparator - t2 * m.varianceComparator;
    const double h = m.food * m.comparator - t2 * m.covariance;
    const double z = m.food * m.food - t2 * m.varianceFood;
    // h² − qz without its cancellation.
    const double discriminant =
        t2 * (m.varianceOfContrast - t2 * m.varianceComparator * m.varianceGivenComparator);
    return solved(q, h, z, discriminant);
}

void addSet(RatioOfMeans& result, const PairedMoments& moments, double quantile) {
    const Set set = fieller(moments, quantile);
    result.set = set.kind;
    if (set.low) {
        result.low = scaledBack(*set.low, moments.exponent);
    }
    if (set.high) {
        result.high = scaledBack(*set.high, moments.exponent);
    }
    if (result.low.has_value() != set.low.has_value() || result.high.has_value() != set.high.has_value()) {
        result.set = FiellerSet::none;
        result.low.reset();
        result.high.reset();
        result.absentBecause = "a result is too large for the number format";
    }
}

}  // namespace

RatioOfMeans ratioOfMeans(std::span<const double> food, std::span<const double> comparator, double alpha) {
    assert(alpha > 0.0 && alpha < 1.0);
    RatioOfMeans result;
    result.n = std::min(food.size(), comparator.size());
    result.meanFood = mean(food);
    result.meanComparator = mean(comparator);
    const PairedMomentsResult found = pairedMoments(food, comparator);
    result.absentBecause = found.absentBecause;
    if (!found.moments) {
        return result;
    }
    const PairedMoments& m = *found.moments;
    result.ratio = scaledBack(m.food / m.comparator, m.exponent);
    if (!result.ratio) {
        result.absentBecause = "the ratio is too large for the number format";
        return result;
    }
    if (result.n == 1) {
        result.absentBecause = "one pair: its spread cannot be estimated, no interval and no test";
        return result;
    }
    const PairedT test = pairedT(pairedDifferences(food, comparator), alpha);
    result.t = test.t;
    result.df = test.df;
    result.p = test.p;
    if (found.proportional || m.varianceOfContrast == 0.0) {
        result.deltaSe = 0.0;
        result.absentBecause = "all pairs have the same ratio: no interval";
        return result;
    }
    const double df = static_cast<double>(result.n) - 1.0;
    const double b2 = m.comparator * m.comparator;
    result.deltaSe = scaledBack(std::sqrt(m.varianceOfContrast) / b2, m.exponent);
    if (const auto quantile = studentTUpperQuantile(alpha / 2.0, df)) {
        result.g = *quantile * *quantile * m.varianceComparator / b2;
        addSet(result, m, *quantile);
    } else {
        result.absentBecause = "the quantile of t could not be computed";
    }
    if (!result.p && result.absentBecause.empty()) {
        result.absentBecause = "no test of the ratio 1: " + test.absentBecause;
    }
    return result;
}

Bootstrap bootstrapRatioOfMeans(std::span<const double> food, std::span<const double> comparator,
                                double alpha, const BootstrapSettings& settings, const Progress& progress) {
    const PairedMomentsResult found = pairedMoments(food, comparator);
    if (!found.moments || found.proportional) {
        Bootstrap none;
        none.n = std::min(food.size(), comparator.size());
        if (found.moments) {
            none.estimate =
                scaledBack(found.moments->food / found.moments->comparator, found.moments->exponent);
        }
        none.absentBecause = !found.moments ? found.absentBecause
                             : none.n == 1
                                 ? "one pair: resamples cannot vary, no interval"
                                 : "all pairs have the same ratio: resamples cannot vary, no interval";
        return none;
    }
    const auto scaledFood = scaledNearOne(food);
    const auto scaledComparator = scaledNearOne(comparator);
    const PairStatistic ratio = [](std::span<const double> f,
                                   std::span<const double> c) -> std::optional<double> {
        double sumFood = 0.0;
        double sumComparator = 0.0;
        double absolute = 0.0;
        for (std::size_t i = 0; i < f.size(); ++i) {
            sumFood += f[i];
            sumComparator += c[i];
            absolute += std::abs(c[i]);
        }
        if (std::abs(sumComparator) <= 1e-11 * absolute) {
            return std::nullopt;
        }
        return sumFood / sumComparator;
    };
    const double estimate = found.moments->food / found.moments->comparator;
    Bootstrap result = bootstrapPairs(scaledFood->value, scaledComparator->value, ratio, alpha,
                                      1e-11 * std::abs(estimate), settings, progress);
    for (auto* value : {&result.estimate, &result.standardError, &result.bias, &result.percentileLow,
                        &result.percentileHigh, &result.bcaLow, &result.bcaHigh}) {
        if (*value) {
            *value = scaledBack(**value, found.moments->exponent);
        }
    }
    return result;
}

}  // namespace aftercurve
