// Edges of the measures of shape; every value is by hand.
#include <gtest/gtest.h>

#include <cmath>
#include <optional>
#include <vector>

#include "core/curve/half_height.h"
#include "core/curve/late_dip.h"
#include "core/curve/mean_level.h"
#include "core/curve/measures.h"
#include "core/curve/rates.h"
#include "core/curve/time_above.h"

namespace aftercurve {
namespace {

using Values = std::vector<double>;

const Values time4{0.0, 30.0, 60.0, 120.0};

TEST(ShapeMeasures, ACurveThatNeverRises) {
    const Values v{5.0, 5.0, 4.0, 4.5};
    EXPECT_EQ(timeAbove(time4, v, 5.0), 0.0);
    EXPECT_EQ(rateOfRise(time4, v, 5.0), std::nullopt);
    EXPECT_EQ(rateOfFall(time4, v, 5.0), std::nullopt);
    EXPECT_EQ(halfHeightWidth(time4, v, 5.0), std::nullopt);
    EXPECT_DOUBLE_EQ(steepestRise(time4, v).value(), 0.5 / 60.0);
    ASSERT_TRUE(lateDip(time4, v, 5.0));
    EXPECT_EQ(lateDip(time4, v, 5.0)->depth, 1.0);
    EXPECT_EQ(lateDip(time4, v, 5.0)->timeMin, 60.0);
}

TEST(ShapeMeasures, AFlatCurve) {
    const Values v{5.0, 5.0, 5.0, 5.0};
    EXPECT_EQ(timeAbove(time4, v, 5.0), 0.0);
    EXPECT_EQ(timeAbove(time4, v, 4.0), 120.0);
    EXPECT_EQ(lateDip(time4, v, 5.0), std::nullopt);
    EXPECT_EQ(steepestRise(time4, v), std::nullopt);
    EXPECT_EQ(meanIncrement(time4, v, 5.0), 0.0);
    EXPECT_EQ(timeWeightedMean(time4, v), 5.0);
}

TEST(ShapeMeasures, PeakAtTheEnd) {
    const Values v{5.0, 6.0, 7.0, 9.0};
    EXPECT_DOUBLE_EQ(rateOfRise(time4, v, 5.0).value(), 4.0 / 120.0);
    EXPECT_EQ(rateOfFall(time4, v, 5.0), std::nullopt);
    EXPECT_EQ(lateDip(time4, v, 5.0), std::nullopt);
    EXPECT_EQ(halfHeightWidth(time4, v, 5.0), std::nullopt);
}

TEST(ShapeMeasures, FallToTheEndWhereItDoesNotReturn) {
    const Values v{5.0, 9.0, 8.0, 6.0};
    EXPECT_DOUBLE_EQ(rateOfFall(time4, v, 5.0).value(), 3.0 / 90.0);
    // Down under 7 between 60 min (8) and 120 min (6): at 90; up at 15.
    EXPECT_DOUBLE_EQ(halfHeightWidth(time4, v, 5.0).value(), 75.0);
}

TEST(ShapeMeasures, ATouchOfTheHalfHeightDoesNotEndTheWidth) {
    // Half height 1.0 over 4.3; 5.3 at 60 min lies on it, whatever the rounding of decimals.
    const Values t{0.0, 30.0, 60.0, 90.0, 120.0};
    const Values v{4.3, 6.3, 5.3, 5.8, 4.3};
    EXPECT_NEAR(halfHeightWidth(t, v, 4.3).value(), 90.0 + 30.0 * 0.5 / 1.5 - 15.0, 1e-9);
}

TEST(ShapeMeasures, ValuesAtTheLevelByRoundingAreNotAboveIt) {
    // 0.1 + 0.2 is above 0.3 in binary.
    const Values v{0.3, 0.1 + 0.2, 0.1 + 0.2, 0.3};
    EXPECT_EQ(timeAbove(time4, v, 0.3), 0.0);
    EXPECT_EQ(lateDip(time4, Values{0.1 + 0.2, 0.3, 0.3, 0.3}, 0.1 + 0.2), std::nullopt);
}

TEST(ShapeMeasures, OnePoint) {
    const Values t{0.0};
    const Values v{5.0};
    EXPECT_EQ(meanIncrement(t, v, 5.0), std::nullopt);
    EXPECT_EQ(timeWeightedMean(t, v), std::nullopt);
    EXPECT_EQ(timeAbove(t, v, 5.0), 0.0);
    EXPECT_EQ(lateDip(t, v, 5.0), std::nullopt);
    EXPECT_EQ(rateOfRise(t, v, 5.0), std::nullopt);
    EXPECT_EQ(steepestRise(t, v), std::nullopt);
    EXPECT_EQ(rateOfFall(t, v, 5.0), std::nullopt);
    EXPECT_EQ(halfHeightWidth(t, v, 5.0), std::nullopt);
}

TEST(ShapeMeasures, VerySmallAndVeryLargeValues) {
    for (const double k : {1e-300, 1e300}) {
        const Values v{1.0 * k, 3.0 * k, 2.0 * k, 0.5 * k};
        EXPECT_NEAR(timeAbove(time4, v, k), 60.0 + 40.0, 1e-9) << k;
        EXPECT_DOUBLE_EQ(lateDip(time4, v, k)->depth / k, 0.5);
        // Half height is 2: up at 15 min, at it at 60 min and under it from there on.
        EXPECT_NEAR(halfHeightWidth(time4, v, k).value(), 45.0, 1e-9) << k;
        EXPECT_DOUBLE_EQ(steepestRise(time4, v).value() / k, 2.0 / 30.0);
        EXPECT_DOUBLE_EQ(rateOfFall(time4, v, k).value() / k, 2.0 / 70.0);
    }
}

TEST(ShapeMeasures, UnitsOfTheList) {
    const auto unit = [](std::string_view key) {
        return unitOf(measureList()[measureIndex(key).value()], "mmol/L");
    };
    EXPECT_EQ(unit("mean_increment"), "mmol/L");
    EXPECT_EQ(unit("time_above_limit_min"), "min");
    EXPECT_EQ(unit("late_dip"), "mmol/L");
    EXPECT_EQ(unit("rate_of_fall"), "mmol/L/min");
}

}  // namespace
}  // namespace aftercurve
