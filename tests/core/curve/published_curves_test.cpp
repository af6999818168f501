#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/curve/area.h"
#include "core/curve/measures.h"
#include "core/curve/window.h"
#include "core/study/plan.h"
#include "tests/support/close.h"

namespace aftercurve {
namespace {

using test::isClose;

// FAO/WHO, Carbohydrates in human nutrition, FAO Food and Nutrition Paper 66, Rome 1998, chapter 4, Table 1
// (glucose, mmol/L, after 50 g carbohydrate) and Figure 2 (areas). The rows are from memory; the printed
// areas, also from memory, come out of them exactly, which makes a wrong digit unlikely. Baseline is the
// single value at 0.
struct FaoCurve {
    const char* name;
    std::array<double, 7> value;
    double printedArea;
};

constexpr std::array<double, 7> faoTimeMin = {0, 15, 30, 45, 60, 90, 120};
constexpr std::array<FaoCurve, 4> faoCurves = {{
    {"Standard #1", {4.3, 6.3, 7.9, 5.3, 4.1, 4.6, 4.9}, 114},
    {"Standard #2", {4.0, 6.0, 6.7, 5.5, 5.3, 5.0, 4.2}, 155},
    {"Standard #3", {4.1, 5.8, 8.0, 6.5, 5.9, 4.8, 3.9}, 179},
    {"Test food", {4.0, 5.0, 5.8, 5.4, 4.8, 4.2, 4.4}, 93},
}};

// Rounding of seven decimals in binary; the areas are sums of six terms.
constexpr test::Tolerance rounding{.relative = 1e-13};

WindowPoints faoPoints(const FaoCurve& curve) {
    Plan plan;
    plan.windowEndMin = 120.0;
    plan.baseline = BaselineRule::timeZero;
    return windowPoints(faoTimeMin, curve.value, plan);
}

std::optional<double> measureOf(const WindowPoints& points, std::string_view key) {
    const std::optional<std::size_t> index = measureIndex(key);
    EXPECT_TRUE(index) << key;
    return index ? measureList()[*index].compute(points) : std::nullopt;
}

TEST(FaoCurves, PrintedIncrementalAreas) {
    for (const FaoCurve& curve : faoCurves) {
        const WindowPoints points = faoPoints(curve);
        ASSERT_TRUE(points.usable()) << curve.name;
        const std::optional<double> area = measureOf(points, "area_positive_incremental");
        ASSERT_TRUE(area) << curve.name;
        EXPECT_EQ(std::round(*area), curve.printedArea) << curve.name;
    }
}

// Worked by hand from the definitions (Wolever 2004, Br J Nutr 91:295, names the variants), not printed by
// FAO. Standard #1 dips below baseline at 60 min and comes back; Standard #3 ends below baseline.
TEST(FaoCurves, EveryAreaByHand) {
    struct Expected {
        double positive;
        double net;
        double untilReturn;
        double aboveMinimum;
        double total;
    };
    constexpr std::array<Expected, 4> expected = {{
        {113.95, 112.5, 97.75, 136.5, 628.5},
        {155.25, 155.25, 155.25, 155.25, 635.25},
        {179.0 + 1.0 / 6.0, 178.5, 179.0 + 1.0 / 6.0, 202.5, 670.5},
        {93.0, 93.0, 93.0, 93.0, 573.0},
    }};
    for (std::size_t i = 0; i < faoCurves.size(); ++i) {
        SCOPED_TRACE(faoCurves[i].name);
        const std::array<double, 7>& v = faoCurves[i].value;
        const Expected& e = expected[i];
        EXPECT_TRUE(isClose(areaPositiveIncremental(faoTimeMin, v, v[0]), e.positive, rounding));
        EXPECT_TRUE(isClose(areaNetIncremental(faoTimeMin, v, v[0]), e.net, rounding));
        EXPECT_TRUE(isClose(areaUntilReturn(faoTimeMin, v, v[0]), e.untilReturn, rounding));
        EXPECT_TRUE(isClose(areaAboveMinimum(faoTimeMin, v), e.aboveMinimum, rounding));
        EXPECT_TRUE(isClose(areaTotal(faoTimeMin, v), e.total, rounding));

        const WindowPoints points = faoPoints(faoCurves[i]);
        EXPECT_TRUE(isClose(measureOf(points, "area_positive_incremental"), e.positive, rounding));
        EXPECT_TRUE(isClose(measureOf(points, "area_net_incremental"), e.net, rounding));
        EXPECT_TRUE(isClose(measureOf(points, "area_until_return"), e.untilReturn, rounding));
        EXPECT_TRUE(isClose(measureOf(points, "area_above_minimum"), e.aboveMinimum, rounding));
        EXPECT_TRUE(isClose(measureOf(points, "area_total"), e.total, rounding));
    }
}

TEST(FaoCurves, PeaksAndTimes) {
    constexpr std::array<double, 4> peaks = {7.9, 6.7, 8.0, 5.8};
    constexpr std::array<double, 4> rises = {3.6, 2.7, 3.9, 1.8};
    // By hand: #1 crosses between 45 min (rise 1.0) and 60 min (-0.2), #3 between 90 min (0.7) and 120 min
    // (-0.2); #2 and the test food stay above baseline.
    const std::array<std::optional<double>, 4> returns = {57.5, std::nullopt, 90.0 + 70.0 / 3.0,
                                                          std::nullopt};
    for (std::size_t i = 0; i < faoCurves.size(); ++i) {
        SCOPED_TRACE(faoCurves[i].name);
        const WindowPoints points = faoPoints(faoCurves[i]);
        EXPECT_EQ(measureOf(points, "peak"), peaks[i]);
        EXPECT_TRUE(isClose(measureOf(points, "peak_rise"), rises[i], rounding));
        EXPECT_EQ(measureOf(points, "time_to_peak_min"), 30.0);
        EXPECT_TRUE(isClose(measureOf(points, "time_to_return_min"), returns[i], rounding));
    }
}

// By hand from the definitions; not printed by FAO.
TEST(FaoCurves, ShapesByHand) {
    struct Expected {
        double meanIncrement;
        double timeWeightedMean;
        double aboveBaseline;
        std::optional<double> dip;
        std::optional<double> dipTime;
        double rise;
        double steepest;
        double fall;
        std::optional<double> width;
    };
    // #1 lies above baseline to 57.5 min and from 72 min on. Half heights over baseline: 1.8, 1.35, 1.95,
    // 0.9. #1: up at 15 · 1.8/2.0, down at 30 + 15 · 1.8/2.6. #2: up at 15 · 1.35/2, down between 45 min
    // (1.5) and 60 min (1.3). #3: up between 15 min (1.7) and 30 min (3.9), down between 45 min (2.4) and 60
    // min (1.8). Test food: up between 0 min and 15 min (1.0), down between 45 min (1.4) and 60 min (0.8).
    const std::array<Expected, 4> expected = {{
        {112.5 / 120.0, 628.5 / 120.0, 105.5, 0.2, 60.0, 3.6 / 30.0, 2.0 / 15.0, 3.6 / 27.5,
         30.0 + 15.0 * 1.8 / 2.6 - 13.5},
        {155.25 / 120.0, 635.25 / 120.0, 120.0, std::nullopt, std::nullopt, 2.7 / 30.0, 2.0 / 15.0,
         2.5 / 90.0, 45.0 + 15.0 * 0.15 / 0.2 - 15.0 * 1.35 / 2.0},
        {178.5 / 120.0, 670.5 / 120.0, 90.0 + 70.0 / 3.0, 0.2, 120.0, 3.9 / 30.0, 2.2 / 15.0,
         3.9 / (60.0 + 70.0 / 3.0), 45.0 + 15.0 * 0.45 / 0.6 - (15.0 + 15.0 * 0.25 / 2.2)},
        {93.0 / 120.0, 573.0 / 120.0, 120.0, std::nullopt, std::nullopt, 1.8 / 30.0, 1.0 / 15.0, 1.4 / 90.0,
         45.0 + 15.0 * 0.5 / 0.6 - 13.5},
    }};
    // Differences of decimals keep some fourteen digits.
    constexpr test::Tolerance decimals{.relative = 1e-12};
    for (std::size_t i = 0; i < faoCurves.size(); ++i) {
        SCOPED_TRACE(faoCurves[i].name);
        const WindowPoints points = faoPoints(faoCurves[i]);
        const Expected& e = expected[i];
        EXPECT_TRUE(isClose(measureOf(points, "mean_increment"), e.meanIncrement, decimals));
        EXPECT_TRUE(isClose(measureOf(points, "time_weighted_mean"), e.timeWeightedMean, decimals));
        EXPECT_TRUE(isClose(measureOf(points, "time_above_baseline_min"), e.aboveBaseline, decimals));
        EXPECT_EQ(measureOf(points, "time_above_limit_min"), std::nullopt) << "no limit is named";
        EXPECT_TRUE(isClose(measureOf(points, "late_dip"), e.dip, decimals));
        EXPECT_EQ(measureOf(points, "time_of_late_dip_min"), e.dipTime);
        EXPECT_TRUE(isClose(measureOf(points, "rate_of_rise"), e.rise, decimals));
        EXPECT_TRUE(isClose(measureOf(points, "steepest_rise"), e.steepest, decimals));
        EXPECT_TRUE(isClose(measureOf(points, "rate_of_fall"), e.fall, decimals));
        EXPECT_TRUE(isClose(measureOf(points, "half_height_width_min"), e.width, decimals));
    }
}

}  // namespace
}  // namespace aftercurve
