#include "core/compare/shapiro_wilk.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <random>
#include <vector>

#include "tests/support/close.h"
#include "tests/support/reference_csv.h"

namespace aftercurve {
namespace {

using test::isClose;

const std::vector<double> weightsOfMen = {148, 154, 158, 160, 161, 162, 166, 170, 182, 195, 236};

// Shapiro & Wilk 1965, weights in pounds of 11 men: W printed as 0.79 (from memory); R 4.2.2 gives the rest.
TEST(ShapiroWilk, WeightsOfElevenMen) {
    const ShapiroWilk r = shapiroWilk(weightsOfMen);
    EXPECT_TRUE(isClose(r.w, 0.79, {.absolute = 0.005}));
    EXPECT_TRUE(isClose(r.w, 0.7888146948354, {.relative = 1e-12}));
    EXPECT_TRUE(isClose(r.p, 0.006703814056503, {.relative = 1e-11}));
}

// R 4.2.2, shapiro.test, tests/reference/compare_classic.csv (13 digits); the sizes are those where the
// algorithm changes. Compared: 12 digits of W, 10 of p (R's p for n = 3 rests on constants of 14 digits).
TEST(ShapiroWilk, SquaresAgreeWithR) {
    const auto values = test::readReferenceValues("compare_classic.csv");
    for (const int n : {3, 4, 5, 6, 7, 11, 12, 20, 50, 500, 5000}) {
        std::vector<double> x;
        for (int i = 1; i <= n; ++i) {
            x.push_back(static_cast<double>(i) * i);
        }
        const ShapiroWilk r = shapiroWilk(x);
        EXPECT_TRUE(isClose(r.w, values.at("squares_w_" + std::to_string(n)), {.relative = 1e-12})) << n;
        EXPECT_TRUE(isClose(r.p, values.at("squares_p_" + std::to_string(n)), {.relative = 1e-10})) << n;
    }
}

// With three values W = (largest − smallest)²/2 / Σ(x − mean)² and p = 6/pi (asin √W − pi/3) exactly
// (Shapiro & Wilk 1965). For 0, 1, 2 W = 1 and p = 1; for 0, 0, 1 W = 3/4 and p = 0.
TEST(ShapiroWilk, ThreeValuesInClosedForm) {
    const ShapiroWilk even = shapiroWilk(std::vector{0.0, 1.0, 2.0});
    EXPECT_EQ(even.w, 1.0);
    EXPECT_TRUE(isClose(even.p, 1.0, {.relative = 1e-12}));
    const ShapiroWilk least = shapiroWilk(std::vector{0.0, 0.0, 1.0});
    EXPECT_TRUE(isClose(least.w, 0.75, {.relative = 1e-15}));
    EXPECT_TRUE(isClose(least.p, 0.0, {.absolute = 1e-14}));
    const ShapiroWilk r = shapiroWilk(std::vector{0.0, 1.0, 3.0});
    const double w = 4.5 / (14.0 / 3.0);
    EXPECT_TRUE(isClose(r.w, w, {.relative = 1e-15}));
    EXPECT_TRUE(isClose(r.p, 6.0 / std::numbers::pi * (std::asin(std::sqrt(w)) - std::numbers::pi / 3.0),
                        {.relative = 1e-13}));
}

TEST(ShapiroWilk, OutsideItsRangeIsAbsentWithAReason) {
    std::vector<double> many(5001);
    for (std::size_t i = 0; i < many.size(); ++i) {
        many[i] = static_cast<double>(i);
    }
    const double nan = std::numeric_limits<double>::quiet_NaN();
    for (const auto& x : {std::vector<double>{}, std::vector{1.0}, std::vector{1.0, 2.0}, std::vector(5, 3.0),
                          std::vector{1.0, nan, 2.0}, many}) {
        const ShapiroWilk r = shapiroWilk(x);
        EXPECT_FALSE(r.w || r.p);
        EXPECT_FALSE(r.absentBecause.empty());
    }
    many.pop_back();
    EXPECT_TRUE(shapiroWilk(many).p);
    EXPECT_FALSE(shapiroWilk(std::vector{1.0, 1.25, 1.5}, 0.5).w);
    EXPECT_TRUE(shapiroWilk(std::vector{1.0, 1.25, 1.5}, 0.49).w);
}

TEST(ShapiroWilk, TwoDistinctValuesAreFarFromNormal) {
    std::vector<double> x(20, 0.0);
    std::fill_n(x.begin(), 10, 1.0);
    const ShapiroWilk r = shapiroWilk(x);
    EXPECT_GT(*r.w, 0.0);
    EXPECT_LT(*r.w, 0.75);
    EXPECT_LT(*r.p, 1e-3);
}

TEST(ShapiroWilk, ShiftScaleSignAndOrderDoNotMatter) {
    const ShapiroWilk r = shapiroWilk(weightsOfMen);
    std::mt19937 random(29);
    for (const double unit : {1e-300, -1.0, 0.37, 1e300}) {
        std::vector<double> other;
        for (const double x : weightsOfMen) {
            other.push_back(unit * (x + 1024.0));
        }
        std::shuffle(other.begin(), other.end(), random);
        const ShapiroWilk moved = shapiroWilk(other);
        EXPECT_TRUE(isClose(moved.w, r.w, {.relative = 1e-12})) << unit;
        EXPECT_TRUE(isClose(moved.p, r.p, {.relative = 1e-10})) << unit;
    }
}

TEST(ShapiroWilk, FromTheSmallestToTheLargest) {
    const ShapiroWilk r = shapiroWilk(std::vector{1e-300, 1e300, 0.0, -1.7e308, 1.7e308});
    ASSERT_TRUE(r.w && r.p);
    EXPECT_TRUE(*r.w > 0.0 && *r.w <= 1.0);
    EXPECT_TRUE(*r.p > 0.0 && *r.p <= 1.0);
}

}  // namespace
}  // namespace aftercurve
