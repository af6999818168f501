#include "core/sensor/sensor_smoothing.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <map>

#include "tests/support/close.h"
#include "tests/support/reference_csv.h"

namespace aftercurve {
namespace {

using test::isClose;
using test::readReference;

SensorSmoothingOptions medianOf(int readings) {
    SensorSmoothingOptions options;
    options.kind = SensorSmoothing::median;
    options.readings = readings;
    return options;
}

SensorSmoothingOptions lineOf(double bandwidthMin) {
    SensorSmoothingOptions options;
    options.kind = SensorSmoothing::line;
    options.bandwidthMin = bandwidthMin;
    return options;
}

std::vector<SensorReading> every5(const std::vector<double>& values) {
    std::vector<SensorReading> readings;
    for (std::size_t i = 0; i < values.size(); ++i) {
        readings.push_back(
            {static_cast<std::int64_t>(i) * 300, values[i], static_cast<std::uint32_t>(i + 2)});
    }
    return readings;
}

TEST(SensorSmoothing, AgreesWithR) {
    std::map<std::string, std::vector<test::ReferenceRow>> series;
    for (const auto& row : readReference("sensor_smoothing.csv")) {
        series[row.text("series")].push_back(row);
    }
    ASSERT_EQ(series.size(), 20U);
    for (const auto& [name, rows] : series) {
        std::vector<SensorReading> readings;
        for (const auto& row : rows) {
            readings.push_back({static_cast<std::int64_t>(*row.number("second")), *row.number("value"), 0});
        }
        const auto median =
            smoothedReadings(readings, medianOf(static_cast<int>(*rows[0].number("readings"))));
        const auto line = smoothedReadings(readings, lineOf(*rows[0].number("bandwidth_min")));
        ASSERT_EQ(median.size(), rows.size());
        ASSERT_EQ(line.size(), rows.size());
        for (std::size_t i = 0; i < rows.size(); ++i) {
            EXPECT_EQ(median[i], *rows[i].number("median")) << name << " at " << i;
            EXPECT_TRUE(isClose(line[i], *rows[i].number("line"), {.relative = 1e-9})) << name << " at " << i;
        }
    }
}

TEST(SensorSmoothing, AStraightLineIsReproducedAtUnequalTimes) {
    std::vector<SensorReading> readings;
    for (const std::int64_t minute : {0, 3, 5, 11, 14, 30, 33, 34, 50, 51, 70}) {
        readings.push_back({minute * 60, 4.0 + 0.05 * static_cast<double>(minute), 0});
    }
    for (const auto& options : {medianOf(5), lineOf(17.0), lineOf(120.0)}) {
        const auto smoothed = smoothedReadings(readings, options);
        ASSERT_EQ(smoothed.size(), readings.size());
        for (std::size_t i = 0; i < readings.size(); ++i) {
            EXPECT_TRUE(isClose(smoothed[i], readings[i].value, {.relative = 1e-13})) << i;
        }
    }
}

TEST(SensorSmoothing, ASingleSpikeIsRemovedByTheMedian) {
    std::vector<double> values(21, 5.0);
    values[10] = 19.0;
    for (const double value : smoothedReadings(every5(values), medianOf(3))) {
        EXPECT_EQ(value, 5.0);
    }
    // The line spreads it: by hand at the spike, bandwidth 10 min, neighbours at u = 1/2 weigh (7/8)^3.
    const double w = std::pow(7.0 / 8.0, 3);
    const auto line = smoothedReadings(every5(values), lineOf(10.0));
    EXPECT_TRUE(isClose(line[10], 5.0 + 14.0 / (1.0 + 2.0 * w), {.relative = 1e-14}));
    EXPECT_EQ(line[5], 5.0);
}

TEST(SensorSmoothing, NothingCrossesAGap) {
    auto readings = every5({5, 5, 5, 5, 9, 9, 9, 9});
    for (std::size_t i = 4; i < 8; ++i) {
        readings[i].second += 1200;  // 25 min between the two stretches
    }
    for (const auto& options : {medianOf(5), lineOf(60.0)}) {
        const auto smoothed = smoothedReadings(readings, options);
        for (std::size_t i = 0; i < 8; ++i) {
            EXPECT_TRUE(isClose(smoothed[i], i < 4 ? 5.0 : 9.0, {.relative = 1e-14})) << i;
        }
    }
    auto wide = lineOf(60.0);
    wide.maxGapMin = 25.0;
    EXPECT_GT(smoothedReadings(readings, wide)[3], 5.0) << "a gap of just the limit is no gap";
}

TEST(SensorSmoothing, DegenerateSeries) {
    EXPECT_TRUE(smoothedReadings({}, lineOf(20.0)).empty());
    for (const auto& options : {SensorSmoothingOptions{}, medianOf(301), lineOf(0.001)}) {
        EXPECT_EQ(smoothedReadings(every5({6.5}), options), std::vector<double>{6.5});
        EXPECT_EQ(smoothedReadings(every5({6.5, 2.0}), options), (std::vector<double>{6.5, 2.0}));
    }
    // Two readings within the bandwidth: the line goes through both.
    const auto two = smoothedReadings(every5({6.5, 2.0}), lineOf(60.0));
    EXPECT_TRUE(isClose(two[0], 6.5, {.relative = 1e-13}));
    EXPECT_TRUE(isClose(two[1], 2.0, {.relative = 1e-13}));
    for (const double extreme : {1e-300, 1e9}) {
        for (const double value : smoothedReadings(every5(std::vector<double>(9, extreme)), lineOf(20.0))) {
            EXPECT_EQ(value, extreme);
        }
    }
}

TEST(SensorSmoothing, OptionsAreChecked) {
    const double inf = std::numeric_limits<double>::infinity();
    const double nan = std::numeric_limits<double>::quiet_NaN();
    for (const int readings : {-5, 0, 1, 2, 4, 303}) {
        EXPECT_TRUE(validate(medianOf(readings))) << readings;
    }
    for (const double bandwidth : {-1.0, 0.0, 361.0, inf, nan}) {
        EXPECT_TRUE(validate(lineOf(bandwidth))) << bandwidth;
    }
    for (const double gap : {-1.0, 0.0, inf, nan}) {
        SensorSmoothingOptions options;
        options.maxGapMin = gap;
        EXPECT_TRUE(validate(options)) << gap;
    }
    EXPECT_FALSE(validate(medianOf(3)));
    EXPECT_FALSE(validate(lineOf(360.0)));
    EXPECT_EQ(sensorSmoothingFrom("line"), SensorSmoothing::line);
    EXPECT_FALSE(sensorSmoothingFrom("spline"));
}

TEST(SensorSmoothing, StopsWhereAsked) {
    EXPECT_TRUE(smoothedReadings(every5({5, 6, 7}), medianOf(3), [] { return false; }).empty());
}

}  // namespace
}  // namespace aftercurve
