#include "core/compare/trimmed_mean.h"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "core/compare/distributions.h"
#include "core/compare/paired_t.h"
#include "tests/core/compare/classic_data.h"
#include "tests/core/compare/hostile_pairs.h"
#include "tests/support/close.h"

namespace aftercurve {
namespace {

using test::isClose;

const Differences oneFarOut = asDifferences(std::vector{1.0, 2.0, 3.0, 4.0, 100.0});

// By hand: one cut at each end leaves 2, 3, 4: mean 3. Winsorised 2 2 3 4 4: sum of squares 4, se =
// √(4/(3·2)).
TEST(TrimmedMean, ByHand) {
    const TrimmedMean r = trimmedMean(oneFarOut, 0.05);
    EXPECT_EQ(r.n, 5U);
    EXPECT_EQ(r.cutEachEnd, 1U);
    EXPECT_EQ(r.estimate, 3.0);
    EXPECT_EQ(r.df, 2.0);
    EXPECT_TRUE(isClose(r.se, std::sqrt(2.0 / 3.0), {.relative = 1e-14}));
    EXPECT_TRUE(isClose(r.t, 3.0 / std::sqrt(2.0 / 3.0), {.relative = 1e-14}));
    EXPECT_TRUE(isClose(r.p, *studentTTwoSidedP(3.0 / std::sqrt(2.0 / 3.0), 2.0), {.relative = 1e-13}));
    // t(0.975, 2) = 4.302652729749464 (closed form of 2 df: 0.95·√(2/(1 − 0.9025))).
    const double q = 0.95 * std::sqrt(2.0 / (1.0 - 0.9025));
    EXPECT_TRUE(isClose(r.ciLow, 3.0 - q * std::sqrt(2.0 / 3.0), {.relative = 1e-12}));
}

TEST(TrimmedMean, HowFarOutDoesNotMatter) {
    const TrimmedMean near = trimmedMean(asDifferences(std::vector{1.0, 2.0, 3.0, 4.0, 5.0}), 0.05);
    EXPECT_EQ(trimmedMean(oneFarOut, 0.05).p, near.p);
}

TEST(TrimmedMean, WithoutTrimItIsThePairedT) {
    const Differences sleep = pairedDifferences(test::sleepFirst, test::sleepSecond);
    const PairedT t = pairedT(sleep, 0.05);
    for (const TrimmedMean& r : {trimmedMean(sleep, 0.05, 0.0),
                                 marginalTrimmedMeans(test::sleepFirst, test::sleepSecond, 0.05, 0.0)}) {
        EXPECT_TRUE(isClose(r.estimate, *t.meanDifference, {.relative = 1e-13}));
        EXPECT_TRUE(isClose(r.p, *t.p, {.relative = 1e-12}));
        EXPECT_TRUE(isClose(r.ciHigh, *t.ciHigh, {.relative = 1e-12}));
    }
}

// By hand, 20 %: food 1 2 3 4 50 keeps 3, comparator 0 0 1 2 2 keeps 1; Winsorised 2 2 3 4 4 − 0 0 1 2 2:
// all 2.
TEST(TrimmedMean, MarginalMeansByHand) {
    const std::vector<double> food = {1.0, 2.0, 3.0, 4.0, 50.0};
    const std::vector<double> comparator = {0.0, 0.0, 1.0, 2.0, 2.0};
    const TrimmedMean flat = marginalTrimmedMeans(food, comparator, 0.05);
    EXPECT_EQ(flat.estimate, 2.0);
    EXPECT_EQ(flat.se, 0.0);
    EXPECT_FALSE(flat.t || flat.p || flat.ciLow);
    EXPECT_FALSE(flat.absentBecause.empty());
    // Turned round: Winsorised differences 2 − 2, 2 − 2, 3 − 1, 4 − 0, 4 − 0: mean 2, squares 4 + 4 + 0 + 4
    // + 4.
    const TrimmedMean turned = marginalTrimmedMeans(food, std::vector{2.0, 2.0, 1.0, 0.0, 0.0}, 0.05);
    EXPECT_EQ(turned.estimate, 2.0);
    EXPECT_TRUE(isClose(turned.se, std::sqrt(16.0 / 6.0), {.relative = 1e-14}));
}

TEST(TrimmedMean, CutsByTheDecimalShare) {
    std::vector<double> d(100);
    for (std::size_t i = 0; i < d.size(); ++i) {
        d[i] = static_cast<double>(i * i);
    }
    EXPECT_EQ(trimmedMean(asDifferences(d), 0.05, 0.29).cutEachEnd, 29U)
        << "0.29 · 100 is below 29 in doubles";
    EXPECT_EQ(trimmedMean(asDifferences(std::vector{1.0, 2.0, 4.0, 8.0}), 0.05).cutEachEnd, 0U);
}

TEST(TrimmedMean, ScaleAndShift) {
    const TrimmedMean base = trimmedMean(oneFarOut, 0.05);
    for (const double unit : {1e-300, 1e-3, 1e6, 1e300}) {
        std::vector<double> d = oneFarOut.value;
        for (double& x : d) {
            x *= unit;
        }
        const TrimmedMean r = trimmedMean(asDifferences(d), 0.05);
        EXPECT_TRUE(isClose(r.p, *base.p, {.relative = 1e-12})) << unit;
        EXPECT_TRUE(isClose(r.ciHigh, *base.ciHigh * unit, {.relative = 1e-12})) << unit;
    }
}

TEST(TrimmedMean, AbsentWithReason) {
    for (const double trim : {-0.1, 0.5, 0.7, std::nan("")}) {
        const TrimmedMean r = trimmedMean(oneFarOut, 0.05, trim);
        EXPECT_FALSE(r.estimate || r.p);
        EXPECT_FALSE(r.absentBecause.empty());
    }
    const TrimmedMean one = trimmedMean(asDifferences(std::vector{1.0, 2.0, 4.0}), 0.05, 0.4);
    EXPECT_EQ(one.estimate, 2.0);
    EXPECT_FALSE(one.p || one.ciLow);
    EXPECT_EQ(one.absentBecause, "only one value stays after trimming: no interval and no test");
    const TrimmedMean middle = trimmedMean(asDifferences(std::vector{-9.0, 2.0, 2.0, 2.0, 9.0}), 0.05);
    EXPECT_EQ(middle.estimate, 2.0);
    EXPECT_EQ(middle.se, 0.0);
    EXPECT_FALSE(middle.p);
    for (const auto& pairs : test::hostilePairs()) {
        const Differences d = pairedDifferences(pairs.food, pairs.comparator);
        for (const TrimmedMean& r : {trimmedMean(d, 0.05), trimmedMean(d, 0.05, 0.3),
                                     marginalTrimmedMeans(pairs.food, pairs.comparator, 0.05, 0.3)}) {
            for (const auto& value : {r.estimate, r.se, r.ciLow, r.ciHigh, r.t, r.p}) {
                EXPECT_TRUE(!value || std::isfinite(*value)) << pairs.name;
            }
            EXPECT_EQ(r.ciLow.has_value(), r.absentBecause.empty()) << pairs.name;
        }
    }
}

}  // namespace
}  // namespace aftercurve
