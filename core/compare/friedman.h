#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/compare/multiplicity_words.h"

namespace aftercurve {

/// The values of one subject, one a food in the order of the foods; a missing one is absent.
struct FoodBlock {
    std::string subject;
    std::vector<std::optional<double>> value;
};

struct FriedmanLeftOut {
    std::string subject;
    std::string reason;
};

/// One pair of foods by rank sums (Conover): difference = (R_a − R_b)/b in mean ranks, t = (R_a − R_b)/se,
/// se = √(2·(b·A − ΣR²)/((b − 1)(k − 1))), df = (b − 1)(k − 1), two-sided p, interval of the difference of
/// mean ranks by t. A > 0 difference: a has the larger values.
struct FriedmanPair {
    std::size_t foodA = 0;  ///< column of the blocks
    std::size_t foodB = 0;  ///< where a comparator is named, the comparator
    double meanRankDifference = 0.0;
    std::optional<double> ciLow;
    std::optional<double> ciHigh;
    std::optional<double> t;
    std::optional<double> p;
    std::optional<double> pAdjusted;  ///< within its family, by the method asked
};

struct FriedmanSettings {
    double alpha = 0.05;                     ///< 0 < alpha < 1, of the intervals of the pairs
    std::optional<std::size_t> comparator;   ///< column; without it there is no family against it
    std::string_view multiplicity = "holm";  ///< a word of multiplicityMethods()
    std::uint64_t exactSteps = 200'000;  ///< work allowed for the exact p, at most 2·10⁷; 0: no exact p
};

/// Friedman's test of k ≥ 2 foods in b subjects. Hypothesis: within a subject every order of the values is
/// equally likely (no food tends to larger values). Values are ranked 1 … k within each subject, ties get
/// mid-ranks; R_j is the rank sum of a food, A = Σ of all squared ranks, C = b·k·(k + 1)²/4.
///   chi-square  T = (k − 1)·Σ(R_j − b(k + 1)/2)²/(A − C), df k − 1 (corrected for ties by A)
///   F           (b − 1)·T/(b(k − 1) − T), df k − 1 and (b − 1)(k − 1) (Iman & Davenport 1980)
///   exact       share of all k!^b orders within the subjects, given the ranks that occurred, with a T at
///               least as large
/// The exact p adds one subject after another to the distribution of the sorted rank sums. It is there where
/// k ≤ 6 and the work foreseen stays within `exactSteps`: as that is set, and without ties, up to 57 subjects
/// at k = 3, 14 at k = 4, 5 at k = 5, 3 at k = 6; somewhat fewer with ties; at k = 2 up to 255.
/// `p` is the exact one where there is one, else that of chi-square; `method` says which. F is the better of
/// the two approximations. Kendall's W = T/(b(k − 1)) is the estimate that belongs to the test: 0 no, 1 full
/// agreement.
/// Pairs follow Conover 1999 (Practical Nonparametric Statistics, 3rd ed., 5.8), whose rule is to look at
/// them only where the test itself rejects. Two families, each adjusted by itself: all pairs, and each food
/// against the comparator.
/// Missing: a subject who lacks a value (or has one that is not finite) is left out with the reason. Values
/// of one subject closer than 1e-11 of the largest |value| of that subject are tied. k < 2, k > 100, more
/// than 10⁶ values or no complete subject: absent. All values tied within every subject: no T. One subject:
/// no F and no pairs. All subjects in one order (b·A = ΣR²): F and the t of the pairs have no finite value
/// and are absent; `pairsAbsentBecause` and `fAbsentBecause` say so.
/// Source: Friedman 1937, J Am Stat Assoc 32:675; Iman & Davenport 1980, Commun Stat A9:571.
struct Friedman {
    std::size_t subjects = 0;  ///< b, complete ones
    std::size_t foods = 0;     ///< k
    bool ties = false;
    std::vector<double> rankSums;  ///< by food
    std::vector<double> meanRanks;
    std::optional<double> chiSquare;
    std::optional<double> df;
    std::optional<double> chiSquareP;
    std::optional<double> f;
    std::optional<double> denominatorDf;
    std::optional<double> fP;
    std::optional<double> exactP;
    std::optional<double> p;
    std::string method;  ///< "exact" or "chi-square"; empty where there is no test
    std::optional<double> kendallW;
    std::vector<FriedmanPair> allPairs;
    std::vector<FriedmanPair> againstComparator;
    std::vector<FriedmanLeftOut> leftOut;
    std::string absentBecause;
    std::string fAbsentBecause;
    std::string exactAbsentBecause;
    std::string pairsAbsentBecause;
};

/// Every block has one value a food. An unknown word of multiplicity or a comparator that is not a column:
/// the adjusted p, or that family, is absent with the reason.
Friedman friedman(std::span<const FoodBlock> blocks, std::size_t foods,
                  const FriedmanSettings& settings = {});

}  // namespace aftercurve
