#include "core/compare/ratio_of_means.h"

#include <gtest/gtest.h>

#include <cmath>
#include <string_view>
#include <vector>

#include "core/compare/bootstrap_pairs.h"
#include "core/compare/descriptive.h"
#include "core/compare/distributions.h"
#include "core/compare/paired_t.h"
#include "tests/core/compare/hostile_pairs.h"
#include "tests/core/compare/robust_cases.h"
#include "tests/support/close.h"

namespace aftercurve {
namespace {

using test::isClose;
using test::Tolerance;

constexpr double alpha = 0.05;
const std::vector<double> food = {5.1, 7.4, 6.0, 9.3, 8.8, 4.9};
const std::vector<double> comparator = {4.0, 6.1, 5.5, 6.7, 8.0, 4.4};

double pAt(double ratio, const std::vector<double>& f, const std::vector<double>& c) {
    std::vector<double> d;
    for (std::size_t i = 0; i < f.size(); ++i) {
        d.push_back(f[i] - ratio * c[i]);
    }
    return pairedT(asDifferences(d), alpha).p.value();
}

// The definition: at the ends the paired t test of food − ratio·comparator has p = alpha.
TEST(RatioOfMeans, EndsInvertThePairedT) {
    const RatioOfMeans r = ratioOfMeans(food, comparator, alpha);
    ASSERT_EQ(r.set, FiellerSet::bounded);
    EXPECT_LT(*r.g, 1.0);
    EXPECT_TRUE(isClose(pAt(*r.low, food, comparator), alpha, {.relative = 1e-10}));
    EXPECT_TRUE(isClose(pAt(*r.high, food, comparator), alpha, {.relative = 1e-10}));
    EXPECT_TRUE(isClose(r.ratio, 41.5 / 34.7, {.relative = 1e-14}));
    EXPECT_TRUE(isClose(r.p, pAt(1.0, food, comparator), {.relative = 1e-12}));
}

TEST(RatioOfMeans, OutsideAndWholeLine) {
    const std::vector<double> nearZero = {1.0, -2.0, 3.0, -1.5, 2.0};
    const std::vector<double> large = {9.0, 10.0, 11.0, 9.5, 10.2};
    const RatioOfMeans outside = ratioOfMeans(large, nearZero, alpha);
    ASSERT_EQ(outside.set, FiellerSet::outside);
    EXPECT_GT(*outside.g, 1.0);
    EXPECT_LT(*outside.low, *outside.high);
    EXPECT_TRUE(isClose(pAt(*outside.low, large, nearZero), alpha, {.relative = 1e-9}));
    EXPECT_TRUE(isClose(pAt(*outside.high, large, nearZero), alpha, {.relative = 1e-9}));
    EXPECT_LT(pAt((*outside.low + *outside.high) / 2.0, large, nearZero), alpha)
        << "between the ends: rejected";
    EXPECT_GT(pAt(*outside.high * 2.0, large, nearZero), alpha);
    const std::vector<double> noise = {0.4, -1.0, 2.0, -0.5, 0.3};
    const RatioOfMeans whole = ratioOfMeans(noise, nearZero, alpha);
    EXPECT_EQ(whole.set, FiellerSet::wholeLine);
    EXPECT_FALSE(whole.low || whole.high);
    EXPECT_TRUE(whole.ratio && whole.g);
}

// A constant comparator: g = 0, Fieller's interval and delta method are the t interval of the mean divided by
// it.
TEST(RatioOfMeans, ConstantComparator) {
    const std::vector<double> two(food.size(), 2.0);
    const RatioOfMeans r = ratioOfMeans(food, two, alpha);
    const PairedT t = pairedT(asDifferences(food), alpha);
    EXPECT_EQ(r.g, 0.0);
    EXPECT_TRUE(isClose(r.low, *t.ciLow / 2.0, {.relative = 1e-12}));
    EXPECT_TRUE(isClose(r.high, *t.ciHigh / 2.0, {.relative = 1e-12}));
    EXPECT_TRUE(isClose(r.deltaSe, *t.semDifference / 2.0, {.relative = 1e-12}));
}

// Close pairs on a high level: relative width 1e-7, where h² − qz alone would lose all digits.
TEST(RatioOfMeans, NarrowIntervals) {
    std::vector<double> f;
    std::vector<double> c;
    for (std::size_t i = 0; i < food.size(); ++i) {
        c.push_back(1000.0 + comparator[i]);
        f.push_back(2.0 * c[i] + 1e-4 * food[i]);
    }
    const RatioOfMeans r = ratioOfMeans(f, c, alpha);
    ASSERT_EQ(r.set, FiellerSet::bounded);
    EXPECT_TRUE(isClose(pAt(*r.low, f, c), alpha, {.relative = 1e-5}));
    EXPECT_TRUE(isClose(pAt(*r.high, f, c), alpha, {.relative = 1e-5}));
}

TEST(RatioOfMeans, UnitsOfBothSides) {
    const RatioOfMeans base = ratioOfMeans(food, comparator, alpha);
    for (const double unit : {1e-150, 1e-3, 1e140}) {
        std::vector<double> f = food;
        for (double& x : f) {
            x *= unit;
        }
        const RatioOfMeans r = ratioOfMeans(f, comparator, alpha);
        EXPECT_TRUE(isClose(r.low, *base.low * unit, {.relative = 1e-12})) << unit;
        EXPECT_TRUE(isClose(r.g, *base.g, {.relative = 1e-12})) << unit;
        EXPECT_TRUE(isClose(r.deltaSe, *base.deltaSe * unit, {.relative = 1e-12})) << unit;
    }
    // A negative comparator turns the ends.
    std::vector<double> negative = comparator;
    for (double& x : negative) {
        x = -x;
    }
    const RatioOfMeans turned = ratioOfMeans(food, negative, alpha);
    EXPECT_TRUE(isClose(turned.low, -*base.high, {.relative = 1e-12}));
}

TEST(RatioOfMeans, HostileSets) {
    for (const auto& pairs : test::hostilePairs()) {
        const RatioOfMeans r = ratioOfMeans(pairs.food, pairs.comparator, alpha);
        for (const auto& value : {r.ratio, r.deltaSe, r.low, r.high, r.g, r.t, r.p}) {
            EXPECT_TRUE(!value || std::isfinite(*value)) << pairs.name;
        }
        if (r.set == FiellerSet::none) {
            EXPECT_FALSE(r.low || r.high) << pairs.name;
            EXPECT_FALSE(r.absentBecause.empty()) << pairs.name;
        }
        const Bootstrap b = bootstrapRatioOfMeans(pairs.food, pairs.comparator, alpha, {.replicates = 199});
        for (const auto& value : {b.estimate, b.percentileLow, b.percentileHigh, b.bcaLow, b.bcaHigh}) {
            EXPECT_TRUE(!value || std::isfinite(*value)) << pairs.name;
        }
        EXPECT_EQ(b.percentileLow.has_value(), b.absentBecause.empty()) << pairs.name;
    }
    const RatioOfMeans zero = ratioOfMeans(food, std::vector{1.0, -1.0, 0.3, -0.1, -0.2, 0.0}, alpha);
    EXPECT_FALSE(zero.ratio);
    EXPECT_EQ(zero.absentBecause, "the mean of the comparator is 0: there is no ratio");
    const RatioOfMeans same = ratioOfMeans(std::vector{0.3, 0.6, 1.5}, std::vector{0.1, 0.2, 0.5}, alpha);
    EXPECT_EQ(same.set, FiellerSet::none);
    EXPECT_EQ(same.deltaSe, 0.0);
    EXPECT_TRUE(same.p) << "the test of the ratio 1 is there";
    EXPECT_EQ(same.absentBecause, "all pairs have the same ratio: no interval");
}

// The resamples drawn anew by philox.R, R 4.2.2.
TEST(RatioOfMeans, BootstrapAgainstR) {
    const auto cases = test::readRobustCases();
    const auto expected = test::readReference("bootstrap_ratio.csv");
    ASSERT_EQ(expected.size(), 220U);
    int withBca = 0;
    for (const auto& row : expected) {
        const std::string name = row.text("case");
        const auto& one = cases.at(name);
        const Bootstrap r =
            bootstrapRatioOfMeans(one.food, one.comparator, alpha, {.replicates = 999, .seed = 12345678901});
        const double spread = row.number("se").value_or(0.0);
        const Tolerance close{.absolute = 1e-9 * spread, .relative = 1e-10};
        EXPECT_TRUE(isClose(r.standardError, row.number("se"), close)) << name;
        EXPECT_TRUE(isClose(r.bias, row.number("bias"), close)) << name;
        EXPECT_TRUE(isClose(r.percentileLow, row.number("percentile_low"), close)) << name;
        EXPECT_TRUE(isClose(r.percentileHigh, row.number("percentile_high"), close)) << name;
        EXPECT_TRUE(isClose(r.bcaLow, row.number("bca_low"), close)) << name;
        EXPECT_TRUE(isClose(r.bcaHigh, row.number("bca_high"), close)) << name;
        EXPECT_TRUE(isClose(r.acceleration, row.number("a"), Tolerance{.absolute = 1e-9, .relative = 1e-9}))
            << name;
        withBca += r.bcaLow ? 1 : 0;
    }
    EXPECT_GT(withBca, 200);
}

TEST(RatioOfMeans, BootstrapIsTheSameOnAnyThreadsAndCanBeStopped) {
    const Bootstrap one = bootstrapRatioOfMeans(food, comparator, alpha, {.replicates = 4000});
    const Bootstrap four = bootstrapRatioOfMeans(food, comparator, alpha, {.replicates = 4000, .threads = 4});
    EXPECT_EQ(one.bcaLow, four.bcaLow);
    EXPECT_EQ(one.bcaHigh, four.bcaHigh);
    EXPECT_EQ(one.standardError, four.standardError);
    EXPECT_NE(one.standardError,
              bootstrapRatioOfMeans(food, comparator, alpha, {.replicates = 4000, .seed = 2}).standardError);
    // First order: close to the delta method at this spread, with the divisor n.
    const RatioOfMeans r = ratioOfMeans(food, comparator, alpha);
    EXPECT_TRUE(isClose(one.standardError, *r.deltaSe * std::sqrt(5.0 / 6.0), {.relative = 0.1}));
    int asked = 0;
    const auto stop = [&](double, std::string_view) { return ++asked < 2; };
    const Bootstrap stopped = bootstrapRatioOfMeans(food, comparator, alpha, {}, stop);
    EXPECT_FALSE(stopped.percentileLow || stopped.bcaLow);
    EXPECT_EQ(stopped.absentBecause, "the resampling was stopped before it was done");
}

// Pairs are kept together, and one seed draws the same subjects as the bootstrap of differences: the mean
// difference as a statistic of pairs gives the same to the last bits.
TEST(BootstrapPairs, MeanDifferenceIsThatOfDifferences) {
    const PairStatistic difference = [](std::span<const double> f, std::span<const double> c) {
        return std::optional(*mean(f) - *mean(c));
    };
    const Differences d = pairedDifferences(food, comparator);
    const Bootstrap pairs =
        bootstrapPairs(food, comparator, difference, alpha, d.resolution, {.replicates = 999});
    const Bootstrap plain = bootstrapMean(d, alpha, {.replicates = 999});
    EXPECT_TRUE(isClose(pairs.percentileLow, *plain.percentileLow, {.relative = 1e-12}));
    EXPECT_TRUE(isClose(pairs.bcaHigh, *plain.bcaHigh, {.relative = 1e-12}));
    EXPECT_TRUE(isClose(pairs.standardError, *plain.standardError, {.relative = 1e-12}));
}

TEST(BootstrapPairs, AbsentWithReason) {
    const PairStatistic none = [](std::span<const double>, std::span<const double>) {
        return std::optional<double>();
    };
    const PairStatistic constant = [](std::span<const double>, std::span<const double>) {
        return std::optional(4.0);
    };
    for (const Bootstrap& r :
         {bootstrapPairs(food, comparator, none, alpha, 0.0),
          bootstrapPairs(food, comparator, constant, alpha, 0.0),
          bootstrapPairs({}, {}, constant, alpha, 0.0),
          bootstrapPairs(std::vector{1.0, 1.0}, std::vector{2.0, 2.0}, constant, alpha, 0.0),
          bootstrapPairs(food, comparator, constant, alpha, 0.0, {.replicates = 100})}) {
        EXPECT_FALSE(r.percentileLow || r.bcaLow);
        EXPECT_FALSE(r.absentBecause.empty());
    }
}

}  // namespace
}  // namespace aftercurve
