#include "core/index/index_scale.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "tests/support/close.h"

namespace aftercurve {
namespace {

using test::isClose;

/// One line of a printed table.
struct PrintedLoad {
    int number;
    double glucose;
    double bread;
    double carbohydrateG;
    double load;
};

// Atkinson, Foster-Powell & Brand-Miller 2008, Diabetes Care 31:2281, Table A2: index on both scales,
// available carbohydrate of a serving, printed load.
constexpr PrintedLoad printed[] = {{1880, 67, 95, 29, 19},  {1881, 39, 55, 29, 11}, {1882, 54, 78, 28, 15},
                                   {1883, 46, 66, 36, 17},  {1884, 67, 96, 26, 17}, {1885, 69, 98, 19, 13},
                                   {1886, 76, 108, 23, 17}, {1887, 65, 93, 48, 31}, {1888, 59, 84, 29, 17},
                                   {1889, 60, 85, 24, 14},  {1890, 62, 88, 32, 20}, {1891, 102, 146, 29, 30},
                                   {1892, 49, 70, 29, 14},  {1893, 69, 98, 35, 24}, {1894, 51, 72, 22, 11},
                                   {1895, 68, 97, 36, 24},  {1896, 59, 84, 26, 15}, {1897, 76, 109, 13, 10}};

TEST(GlycaemicLoad, RoundsToEveryPrintedLoad) {
    for (const PrintedLoad& row : printed) {
        const IndexInterval load = glycaemicLoad({row.glucose, {}, {}}, row.carbohydrateG);
        ASSERT_TRUE(load.estimate);
        EXPECT_EQ(std::round(*load.estimate), row.load) << row.number;
    }
}

// The two scales of the printed table go with 0.70, not with 1/1.4: bread × factor, rounded, is the glucose
// value, or glucose / factor, rounded, the bread value.
TEST(GlucoseScale, ThePrintedTableGoesWith070) {
    const auto agreeing = [](double factor) {
        int agree = 0;
        for (const PrintedLoad& row : printed) {
            const IndexInterval down = onGlucoseScale({row.bread, {}, {}}, factor);
            const IndexInterval up = onGlucoseScale({row.glucose, {}, {}}, 1.0 / factor);
            agree +=
                std::round(*down.estimate) == row.glucose || std::round(*up.estimate) == row.bread ? 1 : 0;
        }
        return agree;
    };
    EXPECT_EQ(agreeing(0.70), 15);
    EXPECT_LT(agreeing(1.0 / 1.4), 15);
}

TEST(GlucoseScale, CarriesTheIntervalThrough) {
    const IndexInterval scaled = onGlucoseScale({80.0, 60.0, 100.0}, 0.7);
    EXPECT_TRUE(isClose(*scaled.estimate, 56.0, {.relative = 1e-15}));
    EXPECT_TRUE(isClose(*scaled.low, 42.0, {.relative = 1e-15}));
    EXPECT_TRUE(isClose(*scaled.high, 70.0, {.relative = 1e-15}));
    const IndexInterval load = glycaemicLoad(scaled, 25.0);
    EXPECT_TRUE(isClose(*load.estimate, 14.0, {.relative = 1e-15}));
    EXPECT_TRUE(isClose(*load.low, 10.5, {.relative = 1e-15}));
    EXPECT_TRUE(isClose(*load.high, 17.5, {.relative = 1e-15}));
}

TEST(GlucoseScale, HostileNumbersAreAbsent) {
    const double nan = std::numeric_limits<double>::quiet_NaN();
    for (const double factor : {0.0, -1.0, nan, std::numeric_limits<double>::infinity()}) {
        EXPECT_FALSE(onGlucoseScale({80.0, 60.0, 100.0}, factor).estimate) << factor;
    }
    EXPECT_FALSE(glycaemicLoad({80.0, {}, {}}, -1.0).estimate);
    EXPECT_FALSE(glycaemicLoad({80.0, {}, {}}, nan).estimate);
    EXPECT_FALSE(glycaemicLoad({{}, {}, {}}, 50.0).estimate);
    EXPECT_FALSE(onGlucoseScale({1e308, {}, {}}, 1e10).estimate);
    // One end too large: no half an interval.
    const IndexInterval half = onGlucoseScale({1.0, 0.0, 1e308}, 1e10);
    EXPECT_TRUE(half.estimate);
    EXPECT_FALSE(half.low || half.high);
    EXPECT_EQ(glycaemicLoad({80.0, {}, {}}, 0.0).estimate, 0.0);
}

TEST(CarbohydrateMismatch, IsAShareOfTheReference) {
    EXPECT_TRUE(isClose(*carbohydrateMismatchPercent(55.0, 50.0), 10.0, {.relative = 1e-14}));
    EXPECT_TRUE(isClose(*carbohydrateMismatchPercent(25.0, 50.0), -50.0, {.relative = 1e-14}));
    EXPECT_FALSE(carbohydrateMismatchPercent(0.0, 50.0));
    EXPECT_FALSE(carbohydrateMismatchPercent(50.0, 0.0));
    EXPECT_FALSE(carbohydrateMismatchPercent(1e300, 1e-300));
    EXPECT_FALSE(carbohydrateMismatchPercent(std::numeric_limits<double>::quiet_NaN(), 50.0));
}

}  // namespace
}  // namespace aftercurve
