#include "core/compare/bootstrap_pairs.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <string>
#include <vector>

#include "core/compare/bootstrap_intervals.h"
#include "core/compare/scaled.h"

namespace aftercurve {

namespace {

std::string reasonAgainst(std::span<const double> food, std::span<const double> comparator,
                          const BootstrapSettings& settings) {
    if (food.empty()) {
        return "there is no pair";
    }
    if (!allFinite(food) || !allFinite(comparator)) {
        return "a value is not a finite number";
    }
    if (food.size() == 1) {
        return "one pair: resamples cannot vary, no interval";
    }
    const auto same = [](std::span<const double> value) {
        return std::all_of(value.begin(), value.end(), [&](double x) { return x == value.front(); });
    };
    if (same(food) && same(comparator)) {
        return "all pairs are equal: resamples cannot vary, no interval";
    }
    return reasonAgainstBootstrap(food.size(), settings);
}

std::optional<std::vector<double>> jackknifeOf(std::span<const double> food,
                                               std::span<const double> comparator,
                                               const PairStatistic& statistic) {
    std::vector<double> jackknife;
    std::vector<double> restFood(food.begin() + 1, food.end());
    std::vector<double> restComparator(comparator.begin() + 1, comparator.end());
    for (std::size_t i = 0; i < food.size(); ++i) {
        const auto t = statistic(restFood, restComparator);
        if (!t || !std::isfinite(*t)) {
            return std::nullopt;
        }
        jackknife.push_back(*t);
        if (i < restFood.size()) {
            restFood[i] = food[i];
            restComparator[i] = comparator[i];
        }
    }
    return jackknife;
}

}  // namespace

Bootstrap bootstrapPairs(std::span<const double> food, std::span<const double> comparator,
                         const PairStatistic& statistic, double alpha, double resolution,
                         const BootstrapSettings& settings, const Progress& progress) {
    assert(alpha > 0.0 && alpha < 1.0);
    assert(food.size() == comparator.size());
    Bootstrap result;
    result.n = std::min(food.size(), comparator.size());
    food = food.first(result.n);
    comparator = comparator.first(result.n);
    result.absentBecause = reasonAgainst(food, comparator, settings);
    if (result.n > 0 && allFinite(food) && allFinite(comparator)) {
        result.estimate = statistic(food, comparator);
    }
    if (!result.absentBecause.empty()) {
        return result;
    }
    if (!result.estimate || !std::isfinite(*result.estimate)) {
        result.estimate.reset();
        result.absentBecause = "the pairs do not determine the statistic";
        return result;
    }
    const std::size_t n = result.n;
    const OneResample oneResample = [&](ReplicateRandom& random, std::vector<double>& workspace) {
        workspace.resize(2 * n);
        for (std::size_t i = 0; i < n; ++i) {
            const std::uint32_t drawn = random.below(static_cast<std::uint32_t>(n));
            workspace[i] = food[drawn];
            workspace[n + i] = comparator[drawn];
        }
        const std::span<const double> both = workspace;
        return statistic(both.first(n), both.last(n));
    };
    addBootstrapIntervals(
        result, oneResample, [&] { return jackknifeOf(food, comparator, statistic); }, resolution, alpha,
        settings, progress);
    return result;
}

}  // namespace aftercurve
