#include "core/compare/normal_quantiles.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

#include "tests/support/close.h"

namespace aftercurve {
namespace {

using test::isClose;

// R 4.2.2: qnorm((1:3 - 3/8)/(3 + 1/4)) = ∓0.8694238 around 0.
TEST(NormalQuantiles, ThreeValues) {
    const NormalQuantiles r = normalQuantiles(std::vector{7.0, 1.0, 4.0});
    ASSERT_EQ(r.points.size(), 3U);
    EXPECT_TRUE(isClose(r.points[0].normal, -0.8694238, {.relative = 1e-7}));
    EXPECT_EQ(r.points[1].normal, 0.0);
    EXPECT_EQ(r.points[2].normal, -r.points[0].normal);
    EXPECT_EQ(r.points[0].value, 1.0);
    EXPECT_EQ(r.points[0].index, 1U);
    EXPECT_EQ(r.points[2].index, 0U);
    // Quartiles of type 7: 2.5 and 5.5; z of 0.75 is 0.6744897501960817.
    EXPECT_EQ(r.intercept, 4.0);
    EXPECT_TRUE(isClose(r.slope, 3.0 / (2.0 * 0.6744897501960817), {.relative = 1e-13}));
}

TEST(NormalQuantiles, LineOfMeanAndSd) {
    const NormalQuantiles r = normalQuantiles(std::vector{1.0, 2.0, 3.0, 100.0}, QuantileLine::meanAndSd);
    EXPECT_EQ(r.line, QuantileLine::meanAndSd);
    EXPECT_EQ(r.intercept, 26.5);
    EXPECT_TRUE(isClose(r.slope, std::sqrt((25.5 * 25.5 + 24.5 * 24.5 + 23.5 * 23.5 + 73.5 * 73.5) / 3.0),
                        {.relative = 1e-14}));
    EXPECT_LT(*normalQuantiles(std::vector{1.0, 2.0, 3.0, 100.0}).intercept, 20.0)
        << "the far value counts less";
}

TEST(NormalQuantiles, ValuesOnTheLine) {
    // Values that are their own quantiles, shifted and scaled, lie on a line of that slope.
    const NormalQuantiles z = normalQuantiles(std::vector<double>{1, 2, 3, 4, 5, 6, 7, 8, 9});
    std::vector<double> value;
    for (const QuantilePoint& point : z.points) {
        value.push_back(10.0 + 2.0 * point.normal);
    }
    const NormalQuantiles r = normalQuantiles(value);
    EXPECT_TRUE(isClose(r.intercept, 10.0, {.relative = 1e-14}));
    for (const QuantilePoint& point : r.points) {
        EXPECT_TRUE(isClose(point.value, 10.0 + 2.0 * point.normal, {.relative = 1e-14}));
    }
}

TEST(NormalQuantiles, FewEqualAndHostileValues) {
    EXPECT_EQ(normalQuantiles({}).absentBecause, "there is no value");
    const NormalQuantiles one = normalQuantiles(std::vector{3.0});
    ASSERT_EQ(one.points.size(), 1U);
    EXPECT_EQ(one.points[0].normal, 0.0);
    EXPECT_FALSE(one.slope);
    EXPECT_FALSE(one.absentBecause.empty());
    const NormalQuantiles equal = normalQuantiles(std::vector{3.0, 3.0, 3.0});
    EXPECT_EQ(equal.slope, 0.0);
    EXPECT_EQ(equal.intercept, 3.0);
    EXPECT_EQ(equal.points[0].index, 0U) << "equal values keep their order";
    EXPECT_TRUE(normalQuantiles(std::vector{1.0, std::nan("")}).points.empty());
    constexpr double largest = std::numeric_limits<double>::max();
    const NormalQuantiles steep = normalQuantiles(std::vector{-largest, largest}, QuantileLine::meanAndSd);
    EXPECT_EQ(steep.points.size(), 2U);
    EXPECT_FALSE(steep.slope || steep.intercept) << "the SD is √2 times the largest double";
    EXPECT_FALSE(steep.absentBecause.empty());
    const NormalQuantiles tiny = normalQuantiles(std::vector{1e-300, 2e-300, 4e-300});
    EXPECT_TRUE(isClose(tiny.intercept, 2.25e-300, {.relative = 1e-14}));
}

}  // namespace
}  // namespace aftercurve
