#include "core/compare/correlation.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <cstdint>
#include <numeric>
#include <vector>

#include "core/compare/block_ranks.h"
#include "core/compare/descriptive.h"
#include "core/compare/distributions.h"
#include "core/compare/scaled.h"

namespace aftercurve {

namespace {

constexpr double relativeResolution = 1e-12;

/// Why the pairs have no correlation; empty where they have one.
std::string faultOf(std::span<const double> x, std::span<const double> y) {
    if (x.size() < 3) {
        return "fewer than 3 pairs";
    }
    if (!allFinite(x) || !allFinite(y)) {
        return "a value is not a finite number";
    }
    for (const auto& [side, name] : {std::pair{x, "x"}, std::pair{y, "y"}}) {
        const auto [low, high] = std::minmax_element(side.begin(), side.end());
        const double largest = std::max(std::abs(*low), std::abs(*high));
        // Halves, so that the difference of two far ends stays finite.
        if (0.5 * *high - 0.5 * *low <= 0.5 * relativeResolution * largest) {
            return std::string{"all values of "} + name + " are equal";
        }
    }
    return {};
}

/// Deviations from the mean, scaled to a largest size of 1.
std::vector<double> deviations(std::span<const double> value) {
    const auto scaled = scaledNearOne(value);
    std::vector<double> out = scaled->value;
    const double centre = mean(out).value_or(0.0);
    double largest = 0.0;
    for (double& one : out) {
        one -= centre;
        largest = std::max(largest, std::abs(one));
    }
    for (double& one : out) {
        one /= largest;
    }
    return out;
}

double correlationOf(std::span<const double> x, std::span<const double> y) {
    const std::vector<double> dx = deviations(x);
    const std::vector<double> dy = deviations(y);
    const double sxy = std::inner_product(dx.begin(), dx.end(), dy.begin(), 0.0);
    const double sxx = std::inner_product(dx.begin(), dx.end(), dx.begin(), 0.0);
    const double syy = std::inner_product(dy.begin(), dy.end(), dy.begin(), 0.0);
    return std::clamp(sxy / std::sqrt(sxx * syy), -1.0, 1.0);
}

bool isOne(double r) {
    return 1.0 - std::abs(r) <= 1e-14;
}

std::optional<double> tailOf(double r, std::size_t n) {
    const auto df = static_cast<double>(n - 2);
    return studentTTwoSidedP(r * std::sqrt(df / ((1.0 - r) * (1.0 + r))), df);
}

using Ranks = std::vector<std::int64_t>;

/// Share of all orders of the ranks of y with a |rho| at least as large. Whole numbers: Σ of products of
/// doubled ranks decides, since the rest of rho does not change with the order.
double exactP(const Ranks& x, Ranks y) {
    constexpr std::int64_t none = 0;
    const auto n = static_cast<std::int64_t>(x.size());
    const std::int64_t expected =
        std::accumulate(x.begin(), x.end(), none) * std::accumulate(y.begin(), y.end(), none);
    const auto distance = [&] {
        return std::abs(n * std::inner_product(x.begin(), x.end(), y.begin(), none) - expected);
    };
    const std::int64_t seen = distance();
    // Orders that look alike because of ties are equally many for each, so distinct orders suffice.
    std::sort(y.begin(), y.end());
    std::size_t all = 0;
    std::size_t asFar = 0;
    do {
        ++all;
        asFar += distance() >= seen ? 1U : 0U;
    } while (std::next_permutation(y.begin(), y.end()));
    return static_cast<double>(asFar) / static_cast<double>(all);
}

}  // namespace

PearsonCorrelation pearsonCorrelation(std::span<const double> x, std::span<const double> y, double alpha) {
    assert(x.size() == y.size() && alpha > 0.0 && alpha < 1.0);
    PearsonCorrelation result;
    result.n = x.size();
    result.absentBecause = faultOf(x, y);
    if (!result.absentBecause.empty()) {
        result.pAbsentBecause = result.absentBecause;
        result.intervalAbsentBecause = result.absentBecause;
        return result;
    }
    const double r = correlationOf(x, y);
    result.r = r;
    if (isOne(r)) {
        result.r = r < 0.0 ? -1.0 : 1.0;
        result.pAbsentBecause = "all points lie on one line: t has no finite value";
        result.intervalAbsentBecause = "all points lie on one line";
        return result;
    }
    result.p = tailOf(r, result.n);
    if (result.n == 3) {
        result.intervalAbsentBecause = "3 pairs: Fisher's interval needs 4";
        return result;
    }
    if (const auto z = normalUpperQuantile(0.5 * alpha)) {
        const double half = *z / std::sqrt(static_cast<double>(result.n - 3));
        result.ciLow = std::tanh(std::atanh(r) - half);
        result.ciHigh = std::tanh(std::atanh(r) + half);
    }
    return result;
}

SpearmanCorrelation spearmanCorrelation(std::span<const double> x, std::span<const double> y) {
    assert(x.size() == y.size());
    SpearmanCorrelation result;
    result.n = x.size();
    result.absentBecause = faultOf(x, y);
    if (!result.absentBecause.empty()) {
        result.pAbsentBecause = result.absentBecause;
        return result;
    }
    const BlockRanks rankX = blockRanks(x, x.size(), relativeResolution);
    const BlockRanks rankY = blockRanks(y, y.size(), relativeResolution);
    result.ties = rankX.ties || rankY.ties;
    const std::vector<double> realX(rankX.doubledRank.begin(), rankX.doubledRank.end());
    const std::vector<double> realY(rankY.doubledRank.begin(), rankY.doubledRank.end());
    // Values that differ may still tie in a chain, each with its neighbour.
    result.absentBecause = faultOf(realX, realY);
    if (!result.absentBecause.empty()) {
        result.pAbsentBecause = result.absentBecause;
        return result;
    }
    const double rho = correlationOf(realX, realY);
    result.rho = isOne(rho) ? (rho < 0.0 ? -1.0 : 1.0) : rho;
    if (result.n <= mostCountedOrders) {
        result.method = "exact";
        result.p = exactP(rankX.doubledRank, rankY.doubledRank);
        return result;
    }
    if (isOne(rho)) {
        result.pAbsentBecause = "the ranks agree in full: t has no finite value";
        return result;
    }
    result.method = "t";
    result.p = tailOf(rho, result.n);
    return result;
}

}  // namespace aftercurve
