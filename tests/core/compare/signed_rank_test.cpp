#include "core/compare/signed_rank.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numeric>
#include <random>
#include <vector>

#include "core/compare/sign_patterns.h"
#include "tests/core/compare/classic_data.h"
#include "tests/support/close.h"

namespace aftercurve {
namespace {

using test::isClose;

struct Enumerated {
    double v = 0.0;
    double p = 1.0;
};

/// Every one of the 2^n patterns in turn; the mid-rank by counting who is smaller and who is equal. `unit` is
/// a whole number, so that nothing is rounded here.
Enumerated enumerated(const std::vector<int>& unit) {
    std::vector<int> d;
    std::copy_if(unit.begin(), unit.end(), std::back_inserter(d), [](int x) { return x != 0; });
    const std::size_t n = d.size();
    std::vector<int> doubledRank(n);
    int v = 0;
    for (std::size_t i = 0; i < n; ++i) {
        int smaller = 0;
        int equal = 0;
        for (const int other : d) {
            smaller += std::abs(other) < std::abs(d[i]) ? 1 : 0;
            equal += std::abs(other) == std::abs(d[i]) ? 1 : 0;
        }
        doubledRank[i] = 2 * smaller + equal + 1;
        v += d[i] > 0 ? doubledRank[i] : 0;
    }
    int atMost = 0;
    int atLeast = 0;
    for (unsigned pattern = 0; pattern < (1U << n); ++pattern) {
        int sum = 0;
        for (std::size_t i = 0; i < n; ++i) {
            sum += (pattern >> i & 1U) != 0 ? doubledRank[i] : 0;
        }
        atMost += sum <= v ? 1 : 0;
        atLeast += sum >= v ? 1 : 0;
    }
    return {v / 2.0, std::min(1.0, 2.0 * std::min(atMost, atLeast) / static_cast<double>(1U << n))};
}

// Hollander & Wolfe 1973, p. 29 (from memory): V = 40, one-sided exact p 0.01953125.
TEST(SignedRank, DepressionData) {
    const SignedRank r = signedRank(pairedDifferences(test::depressionBefore, test::depressionAfter));
    EXPECT_EQ(r.v, 40.0);
    EXPECT_EQ(r.p, 0.0390625);
    EXPECT_EQ(r.method, "exact");
    EXPECT_EQ(r.zeros, 0U);
    EXPECT_FALSE(r.ties);
}

// Student 1908: one zero, two ties of 2 (in decimals, not in bits), all others negative: V = 0 and of the 2^9
// patterns only one on each side is as extreme, p = 2/512. R's wilcox.test prints 0.009090698, its normal
// approximation; compare_classic.R enumerates and gives 0.00390625.
TEST(SignedRank, SleepDataIsExactInSpiteOfZeroAndTies) {
    const SignedRank r = signedRank(pairedDifferences(test::sleepFirst, test::sleepSecond));
    std::vector<int> tenths;
    for (std::size_t i = 0; i < test::sleepFirst.size(); ++i) {
        tenths.push_back(static_cast<int>(std::lround(10.0 * (test::sleepFirst[i] - test::sleepSecond[i]))));
    }
    const Enumerated truth = enumerated(tenths);
    EXPECT_EQ(truth.p, 2.0 / 512.0);
    EXPECT_EQ(r.p, truth.p);
    EXPECT_EQ(r.v, 0.0);
    EXPECT_EQ(r.nonZero, 9U);
    EXPECT_EQ(r.zeros, 1U);
    EXPECT_TRUE(r.ties);
    EXPECT_EQ(r.method, "exact");
}

/// Smaller rank sum T with n untied differences: ranks are given to the negative ones from below until T is
/// made up.
SignedRank withRankSum(std::size_t n, std::size_t t) {
    std::vector<double> d(n);
    for (std::size_t rank = n; rank >= 1; --rank) {
        const bool negative = rank <= t;
        d[rank - 1] = negative ? -static_cast<double>(rank) : static_cast<double>(rank);
        t -= negative ? rank : 0;
    }
    return signedRank(asDifferences(d));
}

// Critical values, reject where the smaller rank sum is at most T, two-sided .10/.05/.02/.01; -1: none.
// From the exact distribution in base R (qsignrank), equal to the tables in the handbooks.
TEST(SignedRank, CriticalValues) {
    struct Row {
        std::size_t n;
        std::array<int, 4> t;
    };
    constexpr std::array level = {0.10, 0.05, 0.02, 0.01};
    const std::vector<Row> table = {
        {5, {0, -1, -1, -1}},       {6, {2, 0, -1, -1}},        {7, {3, 2, 0, -1}},
        {8, {5, 3, 1, 0}},          {9, {8, 5, 3, 1}},          {10, {10, 8, 5, 3}},
        {11, {13, 10, 7, 5}},       {12, {17, 13, 9, 7}},       {13, {21, 17, 12, 9}},
        {14, {25, 21, 15, 12}},     {15, {30, 25, 19, 15}},     {16, {35, 29, 23, 19}},
        {17, {41, 34, 27, 23}},     {18, {47, 40, 32, 27}},     {19, {53, 46, 37, 32}},
        {20, {60, 52, 43, 37}},     {21, {67, 58, 49, 42}},     {22, {75, 65, 55, 48}},
        {23, {83, 73, 62, 54}},     {24, {91, 81, 69, 61}},     {25, {100, 89, 76, 68}},
        {26, {110, 98, 84, 75}},    {27, {119, 107, 92, 83}},   {28, {130, 116, 101, 91}},
        {29, {140, 126, 110, 100}}, {30, {151, 137, 120, 109}},
    };
    for (const Row& row : table) {
        for (std::size_t k = 0; k < level.size(); ++k) {
            if (row.t[k] >= 0) {
                const SignedRank at = withRankSum(row.n, static_cast<std::size_t>(row.t[k]));
                EXPECT_EQ(at.v, static_cast<double>(row.n * (row.n + 1)) / 2.0 - row.t[k]);
                EXPECT_LE(at.p, level[k]) << row.n;
            }
            const int above = row.t[k] + 1;
            const SignedRank next = withRankSum(row.n, static_cast<std::size_t>(above));
            EXPECT_GT(next.p, level[k]) << row.n;
        }
    }
}

TEST(SignedRank, AgreesWithEnumerationWithTiesAndZeros) {
    std::mt19937 random(11);
    int withTies = 0;
    int withZeros = 0;
    for (int round = 0; round < 400; ++round) {
        std::vector<int> unit(1 + random() % 10);
        const auto spread = 2 + random() % 20;
        for (int& x : unit) {
            x = static_cast<int>(random() % (2 * spread + 1)) - static_cast<int>(spread);
        }
        // 0.1 · unit on top of a base: equal in decimals, seldom in bits.
        std::vector<double> food;
        std::vector<double> comparator;
        for (std::size_t i = 0; i < unit.size(); ++i) {
            comparator.push_back((43.0 + static_cast<double>(i)) / 10.0);
            food.push_back((43.0 + static_cast<double>(i) + unit[i]) / 10.0);
        }
        const SignedRank r = signedRank(pairedDifferences(food, comparator));
        const auto zeros = std::count(unit.begin(), unit.end(), 0);
        EXPECT_EQ(r.zeros, static_cast<std::size_t>(zeros));
        if (r.nonZero == 0) {
            EXPECT_FALSE(r.p);
            continue;
        }
        const Enumerated truth = enumerated(unit);
        EXPECT_EQ(r.v, truth.v);
        EXPECT_EQ(r.p, truth.p);
        withTies += r.ties ? 1 : 0;
        withZeros += zeros > 0 ? 1 : 0;
    }
    EXPECT_GT(withTies, 100);
    EXPECT_GT(withZeros, 50);
}

TEST(SignedRank, SignPatternsAllCountedUpToFifty) {
    std::vector<std::size_t> rank(mostCountedSigns);
    std::iota(rank.begin(), rank.end(), std::size_t{1});
    const std::vector<double> count = signPatternCounts(rank);
    EXPECT_EQ(count.size(), 1276U);
    EXPECT_EQ(std::accumulate(count.begin(), count.end(), 0.0), std::ldexp(1.0, 50));
    EXPECT_EQ(count[0], 1.0);
    EXPECT_EQ(count[5], 3.0) << "5, 1 + 4, 2 + 3";
    for (std::size_t s = 0; s < count.size(); ++s) {
        EXPECT_EQ(count[s], count[count.size() - 1 - s]);
    }
}

TEST(SignedRank, ExactUpToFiftyNonZeroNormalBeyond) {
    std::vector<double> d(52);
    for (std::size_t i = 0; i < d.size(); ++i) {
        d[i] = (i % 3 == 0 ? -1.0 : 1.0) * static_cast<double>(i);
    }
    const SignedRank beyond = signedRank(asDifferences(d));
    EXPECT_EQ(beyond.nonZero, 51U);
    EXPECT_EQ(beyond.method, "normal-continuity");
    d.pop_back();
    const SignedRank within = signedRank(asDifferences(d));
    EXPECT_EQ(within.nonZero, 50U);
    EXPECT_EQ(within.method, "exact");
    // By hand: V = 1326 − 3 · 153, mean 663, variance 51 · 52 · 103 / 24.
    EXPECT_EQ(beyond.v, 867.0);
    EXPECT_TRUE(
        isClose(beyond.p, std::erfc(203.5 / std::sqrt(11381.5) / std::sqrt(2.0)), {.relative = 1e-13}));
}

// 60 differences of equal size, 40 positive: V = 40 · 30.5, mean 915, variance 60·61·121/24 − (60³ − 60)/48,
// all by hand.
TEST(SignedRank, NormalWithAllTied) {
    std::vector<double> d(60, 2.0);
    std::fill_n(d.begin(), 20, -2.0);
    const SignedRank r = signedRank(asDifferences(d));
    EXPECT_EQ(r.v, 1220.0);
    const double sigma = std::sqrt(60.0 * 61.0 * 121.0 / 24.0 - (216000.0 - 60.0) / 48.0);
    EXPECT_TRUE(isClose(r.p, std::erfc(304.5 / sigma / std::sqrt(2.0)), {.relative = 1e-13}));
}

TEST(SignedRank, BalancedBeyondFiftyIsOne) {
    std::vector<double> d(60, 1.0);
    std::fill_n(d.begin(), 30, -1.0);
    EXPECT_EQ(signedRank(asDifferences(d)).p, 1.0);
}

TEST(SignedRank, DegenerateSets) {
    for (const auto& d : {std::vector<double>{}, std::vector{0.0}, std::vector(60, 0.0)}) {
        const SignedRank r = signedRank(asDifferences(d));
        EXPECT_FALSE(r.v || r.p);
        EXPECT_EQ(r.zeros, d.size());
        EXPECT_TRUE(r.method.empty());
        EXPECT_FALSE(r.absentBecause.empty());
    }
    const SignedRank bad = signedRank({{1.0, std::numeric_limits<double>::quiet_NaN()}, 0.0});
    EXPECT_FALSE(bad.v || bad.p);
    EXPECT_FALSE(bad.absentBecause.empty());

    const SignedRank one = signedRank(asDifferences(std::vector{3.0}));
    EXPECT_EQ(one.v, 1.0);
    EXPECT_EQ(one.p, 1.0);
    const SignedRank equal = signedRank(asDifferences(std::vector(6, -0.5)));
    EXPECT_EQ(equal.v, 0.0);
    EXPECT_EQ(equal.p, 2.0 / 64.0);
}

TEST(SignedRank, AChainOfSmallGapsIsOneGroup) {
    EXPECT_TRUE(signedRank({{1.0, -1.4, 1.8, 5.0}, 0.5}).ties);
    EXPECT_EQ(signedRank({{1.0, -1.4, 1.8, 5.0}, 0.5}).v, 8.0);
    EXPECT_EQ(signedRank({{1.0, -1.4, 1.8, 5.0}, 0.3}).v, 8.0 + 0.0);
    EXPECT_FALSE(signedRank({{1.0, -1.4, 1.8, 5.0}, 0.3}).ties);
    EXPECT_EQ(signedRank({{0.5, 1.0}, 0.5}).zeros, 1U) << "at the resolution: a zero";
}

TEST(SignedRank, ScaleSignAndOrder) {
    std::mt19937 random(3);
    for (const std::size_t n : {9U, 45U, 70U}) {
        std::vector<double> d(n);
        for (double& x : d) {
            x = static_cast<double>(random() % 41) - 15.0;
        }
        const SignedRank r = signedRank(asDifferences(d));
        for (const double unit : {1e-300, 0.1, 1e300}) {
            std::vector<double> other = d;
            for (double& x : other) {
                x *= -unit;
            }
            std::shuffle(other.begin(), other.end(), random);
            const SignedRank turned = signedRank(asDifferences(other));
            const auto nonZero = static_cast<double>(r.nonZero);
            EXPECT_EQ(*turned.v, nonZero * (nonZero + 1.0) / 2.0 - *r.v);
            EXPECT_EQ(turned.p, r.p);
            EXPECT_EQ(turned.zeros, r.zeros);
        }
    }
}

}  // namespace
}  // namespace aftercurve
