#include "core/compare/signed_rank.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <span>
#include <vector>

#include "core/compare/distributions.h"
#include "core/compare/scaled.h"
#include "core/compare/sign_patterns.h"

namespace aftercurve {

namespace {

/// Mid-ranks come in halves; twice a mid-rank is a whole number, so that sums of ranks are exact.
struct DoubledRanks {
    std::vector<std::size_t> rank;  ///< of every non-zero difference
    std::size_t positiveSum = 0;    ///< twice V
    double tieTerm = 0.0;           ///< Σ(t³ − t) over groups of t tied
};

DoubledRanks doubledRanks(std::vector<double> nonZero, double resolution) {
    std::sort(nonZero.begin(), nonZero.end(), [](double a, double b) { return std::abs(a) < std::abs(b); });
    DoubledRanks ranks;
    const std::size_t n = nonZero.size();
    std::size_t begin = 0;
    while (begin < n) {
        std::size_t end = begin + 1;
        while (end < n && std::abs(nonZero[end]) - std::abs(nonZero[end - 1]) <= resolution) {
            ++end;
        }
        const std::size_t doubled = begin + 1 + end;  // first rank of the group + last one
        for (std::size_t i = begin; i < end; ++i) {
            ranks.rank.push_back(doubled);
            ranks.positiveSum += nonZero[i] > 0.0 ? doubled : 0;
        }
        const auto t = static_cast<double>(end - begin);
        ranks.tieTerm += t * t * t - t;
        begin = end;
    }
    return ranks;
}

double exactP(const DoubledRanks& ranks) {
    const std::vector<double> count = signPatternCounts(ranks.rank);
    double atMost = 0.0;
    double atLeast = 0.0;
    for (std::size_t s = 0; s < count.size(); ++s) {
        atMost += s <= ranks.positiveSum ? count[s] : 0.0;
        atLeast += s >= ranks.positiveSum ? count[s] : 0.0;
    }
    const double tail = std::ldexp(std::min(atMost, atLeast), -static_cast<int>(ranks.rank.size()));
    return std::min(1.0, 2.0 * tail);
}

std::optional<double> normalP(const DoubledRanks& ranks, double v) {
    const auto n = static_cast<double>(ranks.rank.size());
    const double sigma = std::sqrt(n * (n + 1.0) * (2.0 * n + 1.0) / 24.0 - ranks.tieTerm / 48.0);
    // v and its mean are multiples of 1/2: beyond 0, the distance is at least the correction.
    const double distance = std::max(0.0, std::abs(v - n * (n + 1.0) / 4.0) - 0.5);
    const auto tail = normalUpperTail(distance / sigma);
    if (!tail) {
        return std::nullopt;
    }
    return std::min(1.0, 2.0 * *tail);
}

}  // namespace

SignedRank signedRank(const Differences& differences) {
    SignedRank result;
    if (!allFinite(differences.value)) {
        result.absentBecause = "a difference is not a finite number";
        return result;
    }
    std::vector<double> nonZero;
    for (const double d : differences.value) {
        if (std::abs(d) > differences.resolution) {
            nonZero.push_back(d);
        }
    }
    result.nonZero = nonZero.size();
    result.zeros = differences.value.size() - nonZero.size();
    if (nonZero.empty()) {
        result.absentBecause = differences.value.empty() ? "there is no pair" : "all differences are zero";
        return result;
    }

    const DoubledRanks ranks = doubledRanks(std::move(nonZero), differences.resolution);
    const double v = static_cast<double>(ranks.positiveSum) / 2.0;
    result.ties = ranks.tieTerm > 0.0;
    result.v = v;
    if (result.nonZero <= mostCountedSigns) {
        result.method = "exact";
        result.p = exactP(ranks);
    } else {
        result.method = "normal-continuity";
        result.p = normalP(ranks, v);
    }
    return result;
}

}  // namespace aftercurve
