#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <optional>
#include <string_view>
#include <vector>

#include "core/curve/area.h"
#include "core/curve/measures.h"
#include "core/curve/window.h"
#include "tests/support/close.h"
#include "tests/support/curve_measures.h"

// Curves whose measures are known in closed form.

namespace aftercurve {
namespace {

using test::isClose;
using test::measureOf;
using test::net;
using test::positive;
using test::untilReturn;

constexpr test::Tolerance rounding{.absolute = 1e-12, .relative = 1e-13};

/// Points of a window; the first value is the baseline.
WindowPoints curveFrom(const std::vector<double>& timeMin, const std::vector<double>& value) {
    WindowPoints points;
    points.timeMin = timeMin;
    points.value = value;
    points.baseline = value.front();
    return points;
}

TEST(AnalyticCurves, Triangle) {
    for (const double h : {0.5, 2.0, 7.25}) {
        for (const double top : {15.0, 40.0, 90.0}) {
            const WindowPoints p = curveFrom({0.0, top, 120.0}, {5.0, 5.0 + h, 5.0});
            EXPECT_TRUE(isClose(positive(p), h * 120.0 / 2.0, rounding));
            EXPECT_TRUE(isClose(net(p), h * 120.0 / 2.0, rounding));
            EXPECT_TRUE(isClose(untilReturn(p), h * 120.0 / 2.0, rounding));
            EXPECT_TRUE(isClose(areaTotal(p.timeMin, p.value), 5.0 * 120.0 + h * 60.0, rounding));
            EXPECT_TRUE(isClose(areaAboveMinimum(p.timeMin, p.value), h * 60.0, rounding));
            EXPECT_EQ(measureOf(p, "peak_rise"), h);
            EXPECT_EQ(measureOf(p, "time_to_peak_min"), top);
            EXPECT_EQ(measureOf(p, "time_to_return_min"), 120.0);
        }
    }
}

// Up by 3 in 30 min, down by 4 in 40 min (crossing at 60), back to baseline at 100, up by 1 at 120.
TEST(AnalyticCurves, DipAndSecondRise) {
    const WindowPoints p = curveFrom({0.0, 30.0, 70.0, 100.0, 120.0}, {5.0, 8.0, 4.0, 5.0, 6.0});
    EXPECT_TRUE(isClose(positive(p), 90.0 + 10.0, rounding));
    EXPECT_TRUE(isClose(net(p), 100.0 - 20.0, rounding));
    EXPECT_TRUE(isClose(untilReturn(p), 90.0, rounding));
    EXPECT_TRUE(isClose(areaTotal(p.timeMin, p.value), 680.0, rounding));
    EXPECT_TRUE(isClose(areaAboveMinimum(p.timeMin, p.value), 200.0, rounding));
    EXPECT_TRUE(isClose(measureOf(p, "time_to_return_min"), 60.0, rounding));
}

TEST(AnalyticCurves, FirstDipsThenRises) {
    const WindowPoints p = curveFrom({0.0, 20.0, 60.0, 120.0}, {5.0, 4.0, 8.0, 5.0});
    // Rises through baseline at 30 min; triangle of base 90 min and height 3.
    EXPECT_TRUE(isClose(positive(p), 135.0, rounding));
    EXPECT_TRUE(isClose(untilReturn(p), 135.0, rounding));
    EXPECT_TRUE(isClose(net(p), 135.0 - 15.0, rounding));
}

TEST(AnalyticCurves, TouchingTheBaselineIsAReturn) {
    const WindowPoints p = curveFrom({0.0, 30.0, 60.0, 90.0, 120.0}, {5.0, 7.0, 5.0, 6.0, 5.5});
    EXPECT_TRUE(isClose(untilReturn(p), 60.0, rounding));
    EXPECT_TRUE(isClose(positive(p), 60.0 + 15.0 + 22.5, rounding));
    EXPECT_EQ(measureOf(p, "time_to_return_min"), 60.0);
}

TEST(AnalyticCurves, NeverAboveBaseline) {
    const WindowPoints p = curveFrom({0.0, 60.0, 120.0}, {5.0, 4.0, 4.5});
    EXPECT_EQ(positive(p), 0.0);
    EXPECT_EQ(untilReturn(p), 0.0);
    EXPECT_TRUE(isClose(net(p), -30.0 - 45.0, rounding));
    EXPECT_EQ(measureOf(p, "peak"), 5.0);
    EXPECT_EQ(measureOf(p, "peak_rise"), 0.0);
    EXPECT_EQ(measureOf(p, "time_to_peak_min"), 0.0);
    EXPECT_EQ(measureOf(p, "time_to_return_min"), std::nullopt);
}

TEST(AnalyticCurves, NeverReturning) {
    const WindowPoints p = curveFrom({0.0, 60.0, 120.0}, {5.0, 8.0, 5.01});
    EXPECT_EQ(measureOf(p, "time_to_return_min"), std::nullopt);
    EXPECT_TRUE(isClose(untilReturn(p), positive(p), rounding));
}

TEST(AnalyticCurves, OnePointHasNoArea) {
    const std::vector<double> time = {0.0};
    const std::vector<double> value = {5.0};
    EXPECT_EQ(areaPositiveIncremental(time, value, 4.0), 0.0);
    EXPECT_EQ(areaNetIncremental(time, value, 4.0), 0.0);
    EXPECT_EQ(areaTotal(time, value), 0.0);
    EXPECT_EQ(areaUntilReturn(time, value, 4.0), 0.0);
    EXPECT_EQ(areaAboveMinimum(time, value), 0.0);
}

// The trapezoid sum of h·sin(πt/T) on n equal pieces is h·(T/n)·cot(π/2n) in closed form; it tends to 2hT/π.
TEST(AnalyticCurves, SineArchHasTheTrapezoidSumInClosedForm) {
    const double h = 3.0;
    const double end = 120.0;
    for (const int n : {2, 8, 12, 240}) {
        WindowPoints p;
        p.baseline = 4.5;
        for (int i = 0; i <= n; ++i) {
            p.timeMin.push_back(end * i / n);
            p.value.push_back(4.5 + (i == 0 || i == n ? 0.0 : h * std::sin(std::numbers::pi * i / n)));
        }
        EXPECT_TRUE(isClose(positive(p), h * end / n / std::tan(std::numbers::pi / (2.0 * n)), rounding))
            << n;
    }
}

}  // namespace
}  // namespace aftercurve
