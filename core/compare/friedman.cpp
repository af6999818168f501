#include "core/compare/friedman.h"

#include <cassert>
#include <cmath>

#include "core/compare/block_ranks.h"
#include "core/compare/distributions.h"

namespace aftercurve {

namespace {

constexpr std::size_t mostFoods = 100;
constexpr std::size_t mostValues = 1'000'000;
constexpr double relativeResolution = 1e-11;

std::string reasonAgainst(const FoodBlock& block, std::size_t foods) {
    if (block.value.size() != foods) {
        return "has not one value for each food";
    }
    std::size_t missing = 0;
    for (const auto& value : block.value) {
        if (value && !std::isfinite(*value)) {
            return "has a value that is not a finite number";
        }
        missing += value ? 0U : 1U;
    }
    if (missing > 0) {
        return "lacks a value for " + std::to_string(missing) + " of " + std::to_string(foods) + " foods";
    }
    return {};
}

/// Whole numbers, so that ties and perfect agreement are seen exactly: sums over doubled ranks.
struct Sums {
    std::int64_t squares = 0;     ///< 4A
    std::int64_t centred = 0;     ///< Σ(2R − b(k + 1))²
    std::int64_t sumSquares = 0;  ///< 4·ΣR²
};

Sums sumsOf(const BlockRanks& ranks) {
    Sums sums;
    for (const std::int64_t rank : ranks.doubledRank) {
        sums.squares += rank * rank;
    }
    const auto centre = static_cast<std::int64_t>(ranks.blocks() * (ranks.foods + 1));
    for (const std::int64_t sum : ranks.doubledSum) {
        sums.centred += (sum - centre) * (sum - centre);
        sums.sumSquares += sum * sum;
    }
    return sums;
}

void addTests(Friedman& result, const BlockRanks& ranks, const Sums& sums, std::uint64_t exactSteps) {
    const auto b = static_cast<double>(result.subjects);
    const auto k = static_cast<double>(result.foods);
    const auto spread =
        static_cast<std::int64_t>(result.subjects * result.foods * (result.foods + 1) * (result.foods + 1));
    const double withinRanks = static_cast<double>(sums.squares - spread);  // 4(A − C)
    const double t = (k - 1.0) * static_cast<double>(sums.centred) / withinRanks;
    result.chiSquare = t;
    result.df = k - 1.0;
    result.chiSquareP = chiSquareUpperTail(t, k - 1.0);
    result.kendallW = t / (b * (k - 1.0));
    // 4(b(k − 1) − T)(A − C)/(k − 1), as a whole number: 0 where all subjects agree.
    const std::int64_t left =
        static_cast<std::int64_t>(result.subjects) * (sums.squares - spread) - sums.centred;
    if (result.subjects < 2) {
        result.fAbsentBecause = "one subject: no F";
    } else if (left <= 0) {
        result.fAbsentBecause = "all subjects have the foods in one order: F is beyond any number";
    } else {
        result.f = (b - 1.0) * static_cast<double>(sums.centred) / static_cast<double>(left);
        result.denominatorDf = (b - 1.0) * (k - 1.0);
        result.fP = fUpperTail(*result.f, k - 1.0, *result.denominatorDf);
    }
    if (exactSteps > 0) {
        result.exactP = exactRankSumP(ranks, exactSteps);
    }
    if (!result.exactP) {
        result.exactAbsentBecause =
            exactSteps == 0 ? "not asked" : "too many foods or subjects to count all orders";
    }
    result.p = result.exactP ? result.exactP : result.chiSquareP;
    result.method = result.exactP ? "exact" : "chi-square";
}

void adjust(std::vector<FriedmanPair>& family, const MultiplicityMethod* method) {
    if (method == nullptr) {
        return;
    }
    std::vector<std::optional<double>> p;
    for (const FriedmanPair& pair : family) {
        p.push_back(pair.p);
    }
    const auto adjusted = method->adjust(p);
    for (std::size_t i = 0; i < family.size(); ++i) {
        family[i].pAdjusted = adjusted[i];
    }
}

void addPairs(Friedman& result, const BlockRanks& ranks, const Sums& sums, const FriedmanSettings& settings) {
    const auto b = static_cast<double>(result.subjects);
    const double df = (b - 1.0) * static_cast<double>(result.foods - 1);
    const std::int64_t left = static_cast<std::int64_t>(result.subjects) * sums.squares - sums.sumSquares;
    std::optional<double> seOfDoubled;
    std::optional<double> quantile;
    if (result.subjects < 2) {
        result.pairsAbsentBecause = "one subject: pairs of foods have no standard error";
    } else if (left <= 0) {
        result.pairsAbsentBecause =
            "all subjects have the foods in one order: pairs of foods have no standard error";
    } else {
        seOfDoubled = std::sqrt(2.0 * static_cast<double>(left) / df);
        quantile = studentTUpperQuantile(settings.alpha / 2.0, df);
    }
    const auto pairOf = [&](std::size_t foodA, std::size_t foodB) {
        FriedmanPair pair;
        pair.foodA = foodA;
        pair.foodB = foodB;
        const auto doubled = static_cast<double>(ranks.doubledSum[foodA] - ranks.doubledSum[foodB]);
        pair.meanRankDifference = doubled / (2.0 * b);
        if (seOfDoubled) {
            pair.t = doubled / *seOfDoubled;
            pair.p = studentTTwoSidedP(*pair.t, df);
            if (quantile) {
                const double half = *quantile * *seOfDoubled / (2.0 * b);
                pair.ciLow = pair.meanRankDifference - half;
                pair.ciHigh = pair.meanRankDifference + half;
            }
        }
        return pair;
    };
    for (std::size_t i = 0; i < result.foods; ++i) {
        for (std::size_t j = i + 1; j < result.foods; ++j) {
            result.allPairs.push_back(pairOf(i, j));
        }
    }
    if (settings.comparator && *settings.comparator < result.foods) {
        for (std::size_t i = 0; i < result.foods; ++i) {
            if (i != *settings.comparator) {
                result.againstComparator.push_back(pairOf(i, *settings.comparator));
            }
        }
    } else if (settings.comparator && result.pairsAbsentBecause.empty()) {
        result.pairsAbsentBecause = "the comparator is none of the foods";
    }
    const MultiplicityMethod* method = multiplicityMethod(settings.multiplicity);
    if (method == nullptr && result.pairsAbsentBecause.empty()) {
        result.pairsAbsentBecause = "unknown way to adjust p: no adjusted p";
    }
    adjust(result.allPairs, method);
    adjust(result.againstComparator, method);
}

}  // namespace

Friedman friedman(std::span<const FoodBlock> blocks, std::size_t foods, const FriedmanSettings& settings) {
    assert(settings.alpha > 0.0 && settings.alpha < 1.0);
    Friedman result;
    result.foods = foods;
    std::vector<double> value;
    for (const FoodBlock& block : blocks) {
        std::string reason = reasonAgainst(block, foods);
        if (!reason.empty()) {
            result.leftOut.push_back({block.subject, std::move(reason)});
            continue;
        }
        ++result.subjects;
        for (const auto& x : block.value) {
            value.push_back(*x);
        }
    }
    if (foods < 2) {
        result.absentBecause = "fewer than two foods";
    } else if (foods > mostFoods) {
        result.absentBecause = "more than 100 foods are not ranked";
    } else if (result.subjects == 0) {
        result.absentBecause =
            blocks.empty() ? "there is no subject" : "no subject has a value for every food";
    } else if (value.size() > mostValues) {
        result.absentBecause = "more than 1000000 values are not ranked";
    }
    if (!result.absentBecause.empty()) {
        return result;
    }
    const BlockRanks ranks = blockRanks(value, foods, relativeResolution);
    result.ties = ranks.ties;
    for (const std::int64_t sum : ranks.doubledSum) {
        result.rankSums.push_back(static_cast<double>(sum) / 2.0);
        result.meanRanks.push_back(result.rankSums.back() / static_cast<double>(result.subjects));
    }
    const Sums sums = sumsOf(ranks);
    if (sums.squares == static_cast<std::int64_t>(result.subjects * foods * (foods + 1) * (foods + 1))) {
        result.absentBecause = "the values of every subject are all tied";
        return result;
    }
    addTests(result, ranks, sums, settings.exactSteps);
    addPairs(result, ranks, sums, settings);
    return result;
}

}  // namespace aftercurve
