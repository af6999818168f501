#include "core/compare/log_ratio.h"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "core/compare/distributions.h"
#include "tests/core/compare/hostile_pairs.h"
#include "tests/support/close.h"

namespace aftercurve {
namespace {

using test::isClose;

// By hand: ratios 2 and 8, geometric mean 4; logarithms ln 2 and 3 ln 2, sd √2·ln 2, sem ln 2, t = 2 with 1
// df, whose p is 2·arctan(1/2)/π.
TEST(LogRatio, ByHand) {
    const LogRatio r = logRatio(std::vector{2.0, 24.0}, std::vector{1.0, 3.0}, 0.05);
    EXPECT_TRUE(isClose(r.ratio, 4.0, {.relative = 1e-14}));
    EXPECT_TRUE(isClose(r.sdLog, std::sqrt(2.0) * std::log(2.0), {.relative = 1e-13}));
    EXPECT_TRUE(isClose(r.t, 2.0, {.relative = 1e-13}));
    EXPECT_TRUE(isClose(r.p, 2.0 * std::atan(0.5) / std::acos(-1.0), {.relative = 1e-12}));
    const double q = *studentTUpperQuantile(0.025, 1.0);
    EXPECT_TRUE(isClose(r.ciLow, 4.0 * std::exp(-q * std::log(2.0)), {.relative = 1e-11}));
}

TEST(LogRatio, TurnedRoundItIsTheReciprocal) {
    const std::vector<double> food = {3.0, 5.5, 2.2, 9.1, 4.0};
    const std::vector<double> comparator = {2.0, 5.0, 2.5, 7.0, 3.9};
    const LogRatio r = logRatio(food, comparator, 0.1);
    const LogRatio turned = logRatio(comparator, food, 0.1);
    EXPECT_TRUE(isClose(*turned.ratio * *r.ratio, 1.0, {.relative = 1e-13}));
    EXPECT_TRUE(isClose(*turned.ciLow * *r.ciHigh, 1.0, {.relative = 1e-12}));
    EXPECT_EQ(turned.p, r.p);
}

TEST(LogRatio, NoConstantIsAddedForZeros) {
    const LogRatio r = logRatio(std::vector{0.0, 2.0, 3.0}, std::vector{1.0, 2.0, -1.0}, 0.05);
    EXPECT_EQ(r.notPositive, 2U);
    EXPECT_FALSE(r.ratio || r.ciLow || r.p || r.t);
    EXPECT_EQ(r.absentBecause, "2 of 3 pairs hold a value that is not above 0, which has no logarithm");
}

TEST(LogRatio, EqualRatiosInDecimals) {
    const LogRatio r = logRatio(std::vector{0.3, 0.6, 1.5}, std::vector{0.1, 0.2, 0.5}, 0.05);
    EXPECT_TRUE(isClose(r.ratio, 3.0, {.relative = 1e-14}));
    EXPECT_EQ(r.sdLog, 0.0);
    EXPECT_FALSE(r.p || r.ciLow);
    EXPECT_EQ(r.absentBecause, "all ratios are equal: no interval and no test");
    const LogRatio one = logRatio(std::vector{6.0}, std::vector{3.0}, 0.05);
    EXPECT_TRUE(isClose(one.ratio, 2.0, {.relative = 1e-14}));
    EXPECT_FALSE(one.p);
    EXPECT_FALSE(one.absentBecause.empty());
}

TEST(LogRatio, HostileSets) {
    for (const auto& pairs : test::hostilePairs()) {
        const LogRatio r = logRatio(pairs.food, pairs.comparator, 0.05);
        for (const auto& value : {r.ratio, r.ciLow, r.ciHigh, r.t, r.p}) {
            EXPECT_TRUE(!value || std::isfinite(*value)) << pairs.name;
        }
        EXPECT_EQ(r.ciLow.has_value(), r.absentBecause.empty()) << pairs.name;
    }
    // A ratio of 10^600 has no double.
    const LogRatio far = logRatio(std::vector{1e300, 1e300}, std::vector{1e-300, 2e-300}, 0.05);
    EXPECT_FALSE(far.ratio || far.ciLow);
    EXPECT_EQ(far.absentBecause, "a ratio is outside the range of the number format");
}

}  // namespace
}  // namespace aftercurve
