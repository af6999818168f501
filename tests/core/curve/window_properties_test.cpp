#include <gtest/gtest.h>

#include <cstddef>
#include <optional>
#include <vector>

#include "core/curve/area.h"
#include "core/curve/baseline.h"
#include "core/curve/window.h"
#include "core/study/plan.h"
#include "tests/support/close.h"

namespace aftercurve {
namespace {

using test::isClose;

constexpr test::Tolerance rounding{.absolute = 1e-12, .relative = 1e-13};

Plan planTo(double end, BaselineRule rule = BaselineRule::fastingMean) {
    Plan plan;
    plan.windowEndMin = end;
    plan.baseline = rule;
    return plan;
}

double positive(const WindowPoints& p) {
    return areaPositiveIncremental(p.timeMin, p.value, p.baseline);
}

TEST(Baseline, RulesByHand) {
    const std::vector<double> time = {-10.0, -5.0, 0.0, 15.0};
    const std::vector<double> value = {4.0, 4.5, 5.75, 9.0};
    EXPECT_EQ(baselineOf(time, value, BaselineRule::fastingMean), 4.75);
    EXPECT_EQ(baselineOf(time, value, BaselineRule::timeZero), 5.75);
    const std::vector<double> noZeroTime = {-10.0, -5.0, 15.0};
    const std::vector<double> noZeroValue = {4.0, 4.5, 9.0};
    EXPECT_EQ(baselineOf(noZeroTime, noZeroValue, BaselineRule::fastingMean), 4.25);
    EXPECT_EQ(baselineOf(noZeroTime, noZeroValue, BaselineRule::timeZero), std::nullopt);
    const std::vector<double> lateTime = {15.0, 30.0};
    const std::vector<double> lateValue = {6.0, 7.0};
    EXPECT_EQ(baselineOf(lateTime, lateValue, BaselineRule::fastingMean), std::nullopt);
    EXPECT_EQ(baselineOf({}, {}, BaselineRule::fastingMean), std::nullopt);
}

// A triangle of height 4 from 0 to 80 min (top at 40), sampled at its corners and at 20, cut by windows that
// fall on samples and between them. Truth: the integral of the line itself.
TEST(Window, CutsAPiecewiseLinearCurveExactly) {
    const std::vector<double> time = {-5.0, 0.0, 20.0, 40.0, 80.0};
    const std::vector<double> value = {5.0, 5.0, 7.0, 9.0, 5.0};
    for (const double end : {1.0, 13.0, 20.0, 37.5, 40.0, 47.0, 79.0, 80.0}) {
        const WindowPoints p = windowPoints(time, value, planTo(end));
        ASSERT_TRUE(p.usable()) << end;
        const double fallen = end > 40.0 ? end - 40.0 : 0.0;
        const double truth = end <= 40.0 ? 0.05 * end * end : 80.0 + 4.0 * fallen - 0.05 * fallen * fallen;
        EXPECT_TRUE(isClose(positive(p), truth, rounding)) << end;
        EXPECT_EQ(p.timeMin.front(), 0.0);
        EXPECT_EQ(p.timeMin.back(), end);
        EXPECT_EQ(p.value.front(), 5.0);
        EXPECT_EQ(p.endInterpolated, end != 20.0 && end != 40.0 && end != 80.0) << end;
    }
}

TEST(Window, BaselineStandsAtZeroWhateverWasMeasuredThere) {
    const std::vector<double> time = {-10.0, 0.0, 60.0, 120.0};
    const std::vector<double> value = {4.0, 6.0, 8.0, 5.0};
    const WindowPoints p = windowPoints(time, value, planTo(120.0));
    EXPECT_EQ(p.timeMin, (std::vector<double>{0.0, 60.0, 120.0}));
    EXPECT_EQ(p.value, (std::vector<double>{5.0, 8.0, 5.0}));
    EXPECT_TRUE(isClose(positive(p), 180.0, rounding));
    const WindowPoints zero = windowPoints(time, value, planTo(120.0, BaselineRule::timeZero));
    EXPECT_EQ(zero.value, (std::vector<double>{6.0, 8.0, 5.0}));
}

TEST(Window, InterpolatesFromTheBaselineWhereNoSampleLiesInside) {
    const std::vector<double> time = {-10.0, 0.0, 60.0};
    const std::vector<double> value = {4.0, 6.0, 8.0};
    const WindowPoints p = windowPoints(time, value, planTo(20.0));
    ASSERT_TRUE(p.usable());
    EXPECT_EQ(p.timeMin, (std::vector<double>{0.0, 20.0}));
    EXPECT_EQ(p.value[0], 5.0);
    EXPECT_TRUE(isClose(p.value[1], 6.0, rounding));
}

TEST(Window, WhatLiesPastTheNextSampleDoesNotMatter) {
    const std::vector<double> time = {0.0, 30.0, 60.0, 90.0};
    const std::vector<double> value = {5.0, 8.0, 6.0, 20.0};
    const WindowPoints all = windowPoints(time, value, planTo(50.0));
    const WindowPoints cut = windowPoints(std::vector<double>(time.begin(), time.end() - 1),
                                          std::vector<double>(value.begin(), value.end() - 1), planTo(50.0));
    EXPECT_EQ(all.timeMin, cut.timeMin);
    EXPECT_EQ(all.value, cut.value);
}

TEST(Window, NeverExtrapolates) {
    const std::vector<double> time = {-5.0, 0.0, 30.0, 119.0};
    const std::vector<double> value = {5.0, 5.0, 8.0, 5.5};
    EXPECT_TRUE(windowPoints(time, value, planTo(119.0)).usable());
    const WindowPoints p = windowPoints(time, value, planTo(120.0));
    EXPECT_FALSE(p.usable());
    EXPECT_TRUE(p.timeMin.empty());
}

TEST(Window, NotEstimableWithoutBaselineOrWithoutASampleAfterZero) {
    const Plan plan = planTo(60.0);
    EXPECT_FALSE(windowPoints(std::vector{15.0, 60.0}, std::vector{6.0, 5.0}, plan).usable());
    EXPECT_FALSE(
        windowPoints(std::vector{-5.0, 60.0}, std::vector{6.0, 5.0}, planTo(60.0, BaselineRule::timeZero))
            .usable());
    EXPECT_FALSE(windowPoints(std::vector{-5.0, 0.0}, std::vector{5.0, 5.0}, plan).usable());
    EXPECT_FALSE(windowPoints({}, {}, plan).usable());
}

TEST(Window, LongerWindowNeverHasLessIncrementalArea) {
    const std::vector<double> time = {-5.0, 0.0, 15.0, 30.0, 45.0, 60.0, 90.0, 120.0, 180.0};
    const std::vector<double> value = {4.9, 4.7, 6.6, 7.9, 6.1, 4.4, 4.2, 5.3, 4.6};
    double last = 0.0;
    for (int end = 1; end <= 180; ++end) {
        const WindowPoints p = windowPoints(time, value, planTo(end));
        ASSERT_TRUE(p.usable());
        EXPECT_GE(positive(p), last - 1e-12) << end;
        last = positive(p);
    }
    EXPECT_GT(last, 0.0);
}

}  // namespace
}  // namespace aftercurve
