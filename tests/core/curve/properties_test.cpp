#include <gtest/gtest.h>

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <random>
#include <string>
#include <string_view>
#include <vector>

#include "core/curve/area.h"
#include "core/curve/counted_area.h"
#include "core/curve/measures.h"
#include "core/curve/peak.h"
#include "core/curve/window.h"
#include "core/curve/window_part.h"
#include "tests/support/close.h"
#include "tests/support/curve_measures.h"

namespace aftercurve {
namespace {

using test::isClose;
using test::measureOf;
using test::net;
using test::positive;
using test::untilReturn;

// Sums of at most 16 terms of size up to some 1e3; a sum that cancels to near 0 keeps that absolute error.
constexpr test::Tolerance rounding{.absolute = 1e-10, .relative = 1e-12};

/// A random whole number in [low, high], the same with every standard library.
int pick(std::mt19937_64& engine, int low, int high) {
    return low + static_cast<int>(engine() % static_cast<std::uint64_t>(high - low + 1));
}

/// Points of a window. Times are whole minutes and values multiples of 1/64, so that differences, halves and
/// shifts are exact and a property can be asked for to the last bit. Touching the baseline, ties and flat
/// pieces are frequent on purpose.
WindowPoints randomPoints(std::mt19937_64& engine) {
    WindowPoints points;
    const int spread = pick(engine, 1, 3) == 1 ? 3 : 200;
    points.baseline = (320.0 + pick(engine, -60, 60)) / 64.0;
    points.timeMin = {0.0};
    points.value = {points.baseline};
    points.limit = points.baseline + pick(engine, -spread, spread) / 64.0;
    const int count = pick(engine, 1, 15);
    for (int i = 0; i < count; ++i) {
        points.timeMin.push_back(points.timeMin.back() + pick(engine, 1, 60));
        points.value.push_back(points.baseline + pick(engine, -spread, spread) / 64.0);
    }
    return points;
}

constexpr int rounds = 2000;

template <typename Check>
void forRandomCurves(std::uint64_t seed, const Check& check) {
    std::mt19937_64 engine(seed);
    for (int round = 0; round < rounds && !::testing::Test::HasFailure(); ++round) {
        SCOPED_TRACE("seed " + std::to_string(seed) + ", round " + std::to_string(round));
        check(randomPoints(engine), engine);
    }
}

WindowPoints mapped(WindowPoints points, double timeFactor, double valueFactor, double shift) {
    for (double& t : points.timeMin) {
        t *= timeFactor;
    }
    for (double& v : points.value) {
        v = v * valueFactor + shift;
    }
    points.baseline = points.baseline * valueFactor + shift;
    points.limit = points.limit.value() * valueFactor + shift;
    return points;
}

std::optional<double> times(std::optional<double> x, double factor) {
    return x ? std::optional{*x * factor} : std::nullopt;
}

/// A new measure must be named here, with what it does under a shift of all concentrations.
enum class UnderShift { unchanged, moves, movesRounded, movesByTime };

UnderShift underShift(std::string_view key) {
    if (key == "peak") {
        return UnderShift::moves;
    }
    if (key == "time_weighted_mean") {
        return UnderShift::movesRounded;
    }
    return key == "area_total" ? UnderShift::movesByTime : UnderShift::unchanged;
}

TEST(MeasureProperties, ShiftOfConcentrationLeavesIncrementsUnchanged) {
    forRandomCurves(101, [](const WindowPoints& points, std::mt19937_64& engine) {
        const double shift = pick(engine, -128, 640) / 64.0;
        const WindowPoints shifted = mapped(points, 1.0, 1.0, shift);
        for (const Measure& measure : measureList()) {
            const std::optional<double> before = measure.compute(points);
            const std::optional<double> after = measure.compute(shifted);
            switch (underShift(measure.key)) {
                case UnderShift::unchanged:
                    EXPECT_EQ(after, before) << measure.key;
                    break;
                case UnderShift::moves:
                    EXPECT_EQ(after, before.value() + shift) << measure.key;
                    break;
                case UnderShift::movesRounded:
                    EXPECT_TRUE(isClose(after, before.value() + shift, rounding)) << measure.key;
                    break;
                case UnderShift::movesByTime:
                    EXPECT_TRUE(isClose(after, before.value() + shift * points.timeMin.back(), rounding))
                        << measure.key;
                    break;
            }
        }
    });
}

TEST(MeasureProperties, ScaleOfConcentrationScalesAreasAndPeaks) {
    for (const double k : {0.25, 3.7, 18.016}) {
        forRandomCurves(102, [k](const WindowPoints& points, std::mt19937_64&) {
            const WindowPoints scaled = mapped(points, 1.0, k, 0.0);
            for (const Measure& measure : measureList()) {
                const double factor = measure.unit == MeasureUnit::minutes ? 1.0 : k;
                EXPECT_TRUE(
                    isClose(measure.compute(scaled), times(measure.compute(points), factor), rounding))
                    << measure.key << " times " << k;
            }
        });
    }
}

double timeFactor(MeasureUnit unit, double k) {
    switch (unit) {
        case MeasureUnit::concentration:
            return 1.0;
        case MeasureUnit::concentrationPerMinute:
            return 1.0 / k;
        case MeasureUnit::concentrationMinutes:
        case MeasureUnit::minutes:
            break;
    }
    return k;
}

TEST(MeasureProperties, ScaleOfTimeScalesAreasAndTimes) {
    for (const double k : {1.0 / 60.0, 4.0}) {
        forRandomCurves(103, [k](const WindowPoints& points, std::mt19937_64&) {
            const WindowPoints scaled = mapped(points, k, 1.0, 0.0);
            for (const Measure& measure : measureList()) {
                const double factor = timeFactor(measure.unit, k);
                EXPECT_TRUE(
                    isClose(measure.compute(scaled), times(measure.compute(points), factor), rounding))
                    << measure.key << " times " << k;
            }
        });
    }
}

TEST(MeasureProperties, PointPutOnTheLineChangesNothing) {
    forRandomCurves(104, [](const WindowPoints& points, std::mt19937_64& engine) {
        const auto at =
            static_cast<std::ptrdiff_t>(pick(engine, 1, static_cast<int>(points.value.size()) - 1));
        WindowPoints split = points;
        const auto i = static_cast<std::size_t>(at);
        split.timeMin.insert(split.timeMin.begin() + at, (points.timeMin[i - 1] + points.timeMin[i]) / 2.0);
        split.value.insert(split.value.begin() + at, (points.value[i - 1] + points.value[i]) / 2.0);
        for (const Measure& measure : measureList()) {
            EXPECT_TRUE(isClose(measure.compute(split), measure.compute(points), rounding)) << measure.key;
        }
    });
}

TEST(MeasureProperties, NetIsPartAboveMinusPartUnder) {
    forRandomCurves(105, [](const WindowPoints& points, std::mt19937_64&) {
        const WindowPoints mirrored = mapped(points, 1.0, -1.0, 2.0 * points.baseline);
        ASSERT_EQ(mirrored.baseline, points.baseline);
        EXPECT_TRUE(isClose(net(points), positive(points) - positive(mirrored), rounding));
    });
}

TEST(MeasureProperties, OrderOfTheAreas) {
    forRandomCurves(106, [](const WindowPoints& points, std::mt19937_64&) {
        const double slack = 1e-10;
        EXPECT_GE(untilReturn(points), 0.0);
        EXPECT_LE(untilReturn(points), positive(points) + slack);
        EXPECT_LE(net(points), positive(points) + slack);
        EXPECT_LE(positive(points), areaAboveMinimum(points.timeMin, points.value) + slack);
    });
}

TEST(MeasureProperties, AboveMinimumIsTotalLessTheMinimumOverTheWindow) {
    forRandomCurves(107, [](const WindowPoints& points, std::mt19937_64&) {
        const double lowest = *std::min_element(points.value.begin(), points.value.end());
        EXPECT_TRUE(isClose(areaAboveMinimum(points.timeMin, points.value),
                            areaTotal(points.timeMin, points.value) - lowest * points.timeMin.back(),
                            rounding));
        EXPECT_TRUE(isClose(net(points),
                            areaTotal(points.timeMin, points.value) - points.baseline * points.timeMin.back(),
                            rounding));
    });
}

TEST(MeasureProperties, AreasDoNotDependOnTheDirectionOfTime) {
    forRandomCurves(108, [](const WindowPoints& points, std::mt19937_64&) {
        WindowPoints back = points;
        std::reverse(back.value.begin(), back.value.end());
        std::reverse(back.timeMin.begin(), back.timeMin.end());
        for (double& t : back.timeMin) {
            t = points.timeMin.back() - t;
        }
        EXPECT_TRUE(isClose(positive(back), positive(points), rounding));
        EXPECT_TRUE(isClose(net(back), net(points), rounding));
        EXPECT_TRUE(
            isClose(areaTotal(back.timeMin, back.value), areaTotal(points.timeMin, points.value), rounding));
        EXPECT_TRUE(isClose(areaAboveMinimum(back.timeMin, back.value),
                            areaAboveMinimum(points.timeMin, points.value), rounding));
    });
}

TEST(MeasureProperties, HigherSampleNeverLowersTheIncrementalArea) {
    forRandomCurves(109, [](const WindowPoints& points, std::mt19937_64& engine) {
        WindowPoints raised = points;
        const auto i = static_cast<std::size_t>(pick(engine, 1, static_cast<int>(points.value.size()) - 1));
        raised.value[i] += pick(engine, 1, 100) / 64.0;
        EXPECT_GE(positive(raised), positive(points) - 1e-10);
        EXPECT_GT(net(raised), net(points));
        if (raised.value[i] > points.baseline) {
            EXPECT_GT(positive(raised), positive(points));
        }
    });
}

TEST(MeasureProperties, PeakIsEarliestLargestValueAndReturnComesAfterIt) {
    forRandomCurves(110, [](const WindowPoints& points, std::mt19937_64&) {
        const std::size_t peak = peakIndex(points.value);
        for (std::size_t i = 0; i < points.value.size(); ++i) {
            EXPECT_LE(points.value[i], points.value[peak]);
            EXPECT_TRUE(i >= peak || points.value[i] < points.value[peak]);
        }
        EXPECT_EQ(measureOf(points, "time_to_peak_min"), points.timeMin[peak]);
        const std::optional<double> back = measureOf(points, "time_to_return_min");
        bool returns = false;
        for (std::size_t i = peak + 1; i < points.value.size(); ++i) {
            returns = returns || points.value[i] <= points.baseline;
        }
        EXPECT_EQ(back.has_value(), returns && points.value[peak] > points.baseline);
        if (back) {
            EXPECT_GT(*back, points.timeMin[peak]);
            EXPECT_LE(*back, points.timeMin.back());
            // On the line between its neighbours the curve is at baseline there.
            const auto next = std::lower_bound(points.timeMin.begin(), points.timeMin.end(), *back);
            const auto i = static_cast<std::size_t>(next - points.timeMin.begin());
            const double share =
                (*back - points.timeMin[i - 1]) / (points.timeMin[i] - points.timeMin[i - 1]);
            EXPECT_TRUE(isClose(points.value[i - 1] + share * (points.value[i] - points.value[i - 1]),
                                points.baseline, rounding));
        }
    });
}

TEST(MeasureProperties, OrderOfTimesAndRates) {
    forRandomCurves(112, [](const WindowPoints& points, std::mt19937_64&) {
        const double slack = 1e-9;
        const double end = points.timeMin.back();
        const auto above = measureOf(points, "time_above_baseline_min").value();
        EXPECT_GE(above, 0.0);
        EXPECT_LE(above, end + slack);
        EXPECT_EQ(above > 0.0, positive(points) > 0.0);
        WindowPoints higher = points;
        higher.limit = points.limit.value() + 1.0;
        EXPECT_LE(measureOf(higher, "time_above_limit_min").value(),
                  measureOf(points, "time_above_limit_min").value() + slack);
        WindowPoints atBaseline = points;
        atBaseline.limit = points.baseline;
        EXPECT_EQ(measureOf(atBaseline, "time_above_limit_min"), above);
        if (const auto width = measureOf(points, "half_height_width_min")) {
            EXPECT_GT(*width, 0.0);
            EXPECT_LE(*width, above + slack);
        }
        const auto rise = measureOf(points, "rate_of_rise");
        EXPECT_EQ(rise.has_value(), measureOf(points, "peak_rise").value() > 0.0);
        if (rise) {
            EXPECT_LE(*rise, measureOf(points, "steepest_rise").value() + slack);
        }
        if (const auto fall = measureOf(points, "rate_of_fall")) {
            EXPECT_GE(*fall, 0.0);
        }
        const auto dip = measureOf(points, "late_dip");
        EXPECT_EQ(dip.has_value(), measureOf(points, "time_of_late_dip_min").has_value());
        if (dip) {
            EXPECT_GT(*dip, 0.0);
            EXPECT_GT(measureOf(points, "time_of_late_dip_min").value(),
                      measureOf(points, "time_to_peak_min").value());
        }
    });
}

TEST(MeasureProperties, MeansTimesTheLengthAreTheAreas) {
    forRandomCurves(113, [](const WindowPoints& points, std::mt19937_64&) {
        const double end = points.timeMin.back();
        EXPECT_TRUE(isClose(measureOf(points, "mean_increment").value() * end, net(points), rounding));
        EXPECT_TRUE(isClose(measureOf(points, "time_weighted_mean").value() * end,
                            areaTotal(points.timeMin, points.value), rounding));
        EXPECT_TRUE(isClose(measureOf(points, "time_weighted_mean").value(),
                            measureOf(points, "mean_increment").value() + points.baseline, rounding));
    });
}

TEST(WindowParts, AddUpToTheWindow) {
    forRandomCurves(114, [](const WindowPoints& points, std::mt19937_64& engine) {
        const double end = points.timeMin.back();
        std::vector<double> ends{0.0, end};
        for (int i = pick(engine, 0, 4); i > 0; --i) {
            ends.push_back(end * pick(engine, 1, 99) / 100.0);
        }
        std::sort(ends.begin(), ends.end());
        ends.erase(std::unique(ends.begin(), ends.end()), ends.end());
        double area = 0.0;
        double netArea = 0.0;
        double total = 0.0;
        for (std::size_t p = 1; p < ends.size(); ++p) {
            const WindowPartMeasures part = windowPart(points, ends[p - 1], ends[p]);
            EXPECT_GE(part.area.value(), 0.0);
            EXPECT_LE(part.netArea.value(), part.area.value() + 1e-10);
            EXPECT_TRUE(isClose(part.meanConcentration.value() - part.meanIncrement.value(), points.baseline,
                                rounding));
            area += part.area.value();
            netArea += part.netArea.value();
            total += part.meanConcentration.value() * (ends[p] - ends[p - 1]);
        }
        EXPECT_TRUE(isClose(area, positive(points), rounding));
        EXPECT_TRUE(isClose(netArea, net(points), rounding));
        EXPECT_TRUE(isClose(total, areaTotal(points.timeMin, points.value), rounding));
    });
}

TEST(WindowParts, CutInsideASegmentByHand) {
    WindowPoints points;
    points.timeMin = {0.0, 40.0, 120.0};
    points.value = {5.0, 9.0, 1.0};
    points.baseline = 5.0;
    // Rise 2 at 20 min, 4 at 40, 3 at 50, 0 at 80, −4 at 120.
    const WindowPartMeasures early = windowPart(points, 20.0, 50.0);
    EXPECT_DOUBLE_EQ(early.area.value(), 60.0 + 35.0);
    EXPECT_DOUBLE_EQ(early.netArea.value(), 95.0);
    EXPECT_DOUBLE_EQ(early.meanIncrement.value(), 95.0 / 30.0);
    EXPECT_DOUBLE_EQ(early.meanConcentration.value(), 5.0 + 95.0 / 30.0);
    const WindowPartMeasures late = windowPart(points, 50.0, 120.0);
    EXPECT_DOUBLE_EQ(late.area.value(), 45.0);
    EXPECT_DOUBLE_EQ(late.netArea.value(), 45.0 - 80.0);
}

TEST(WindowParts, TooLargeIsAbsent) {
    WindowPoints points;
    points.timeMin = {0.0, 60.0};
    points.value = {0.0, 1e308};
    points.baseline = 0.0;
    const WindowPartMeasures part = windowPart(points, 0.0, 60.0);
    EXPECT_EQ(part.area, std::nullopt);
    EXPECT_EQ(part.meanIncrement, std::nullopt);
    points.value = {1e-300, 3e-300};
    points.baseline = 1e-300;
    EXPECT_DOUBLE_EQ(windowPart(points, 0.0, 60.0).meanIncrement.value(), 1e-300);
}

TEST(CountedRegions, SignedAreasAddUpToTheMeasure) {
    forRandomCurves(111, [](const WindowPoints& points, std::mt19937_64&) {
        for (const Measure& measure : measureList()) {
            const std::vector<CountedRegion> regions = countedRegions(points, measure.key);
            if (measure.unit != MeasureUnit::concentrationMinutes) {
                EXPECT_TRUE(regions.empty()) << measure.key;
                continue;
            }
            double sum = 0.0;
            double lastEnd = 0.0;
            for (const CountedRegion& region : regions) {
                ASSERT_GE(region.timeMin.size(), 2u) << measure.key;
                ASSERT_EQ(region.lower.size(), region.timeMin.size());
                ASSERT_EQ(region.upper.size(), region.timeMin.size());
                EXPECT_TRUE(region.sign == 1 || (region.sign == -1 && measure.key == "area_net_incremental"));
                EXPECT_GE(region.timeMin.front(), lastEnd) << measure.key << ": regions overlap";
                lastEnd = region.timeMin.back();
                double area = 0.0;
                for (std::size_t i = 0; i < region.timeMin.size(); ++i) {
                    EXPECT_LE(region.lower[i], region.upper[i]) << measure.key;
                    if (i > 0) {
                        EXPECT_GE(region.timeMin[i], region.timeMin[i - 1]) << measure.key;
                        area +=
                            (region.timeMin[i] - region.timeMin[i - 1]) / 2.0 *
                            (region.upper[i] - region.lower[i] + region.upper[i - 1] - region.lower[i - 1]);
                    }
                }
                sum += region.sign * area;
            }
            EXPECT_TRUE(isClose(sum, measure.compute(points).value(), rounding)) << measure.key;
        }
    });
}

TEST(CountedRegions, NothingWhereTheCurveIsNotEstimable) {
    WindowPoints points;
    points.notEstimable = "no baseline";
    for (const Measure& measure : measureList()) {
        EXPECT_TRUE(countedRegions(points, measure.key).empty()) << measure.key;
    }
}

}  // namespace
}  // namespace aftercurve
