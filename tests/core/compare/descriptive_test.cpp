#include "core/compare/descriptive.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <limits>
#include <vector>

#include "tests/support/close.h"

namespace aftercurve {
namespace {

using test::isClose;

TEST(Descriptive, SmallSetsByHand) {
    const std::vector<double> x = {4.0, 1.0, 3.0, 2.0};
    EXPECT_EQ(mean(x), 2.5);
    EXPECT_TRUE(isClose(sampleSd(x), std::sqrt(5.0 / 3.0), {.relative = 1e-15}));
    EXPECT_EQ(median(x), 2.5);
    EXPECT_EQ(median(std::array{9.0, 1.0, 5.0}), 5.0);
}

// Hyndman & Fan 1996, type 7: position (n - 1) p, by hand.
TEST(Descriptive, QuantileOfTypeSeven) {
    const std::vector<double> x = {10.0, 20.0, 40.0, 80.0};
    EXPECT_EQ(quantile7(x, 0.0), 10.0);
    EXPECT_EQ(quantile7(x, 1.0), 80.0);
    EXPECT_EQ(quantile7(x, 0.5), 30.0);
    EXPECT_EQ(quantile7(x, 0.25), 17.5);
    EXPECT_EQ(quantile7(x, 0.75), 50.0);
}

TEST(Descriptive, TooFewValuesAreAbsent) {
    const std::vector<double> none;
    const std::vector<double> one = {7.0};
    EXPECT_FALSE(mean(none));
    EXPECT_FALSE(sampleSd(none));
    EXPECT_FALSE(median(none));
    EXPECT_FALSE(quantile7(none, 0.5));
    EXPECT_EQ(mean(one), 7.0);
    EXPECT_FALSE(sampleSd(one));
    EXPECT_EQ(median(one), 7.0);
    EXPECT_EQ(quantile7(one, 0.9), 7.0);
}

TEST(Descriptive, NotANumberNeverComesOut) {
    for (const double bad :
         {std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::infinity()}) {
        const std::vector<double> x = {1.0, bad, 2.0};
        EXPECT_FALSE(mean(x));
        EXPECT_FALSE(sampleSd(x));
        EXPECT_FALSE(median(x));
        EXPECT_FALSE(quantile7(x, 0.5));
    }
    const std::vector<double> fine = {1.0, 2.0};
    EXPECT_FALSE(quantile7(fine, -0.01));
    EXPECT_FALSE(quantile7(fine, 1.01));
    EXPECT_FALSE(quantile7(fine, std::numeric_limits<double>::quiet_NaN()));
}

TEST(Descriptive, EqualValuesHaveNoSpreadAtAnyLength) {
    for (std::size_t n = 2; n < 40; ++n) {
        const std::vector<double> x(n, 0.1);
        EXPECT_EQ(mean(x), 0.1) << n;
        EXPECT_EQ(sampleSd(x), 0.0) << n;
    }
}

// The mean of two neighbouring doubles is not a double; the spread is known all the same.
TEST(Descriptive, SpreadOfNeighbouringDoubles) {
    const double step = std::numeric_limits<double>::epsilon();
    EXPECT_TRUE(isClose(sampleSd(std::array{1.0, 1.0 + step}), step / std::sqrt(2.0), {.relative = 1e-15}));
}

TEST(Descriptive, ExtremesOfTheDoublesAreHandled) {
    for (const double unit : {1e-300, 1.0, 1e300}) {
        const std::vector<double> x = {4.0 * unit, 1.0 * unit, 3.0 * unit, 2.0 * unit};
        EXPECT_TRUE(isClose(mean(x), 2.5 * unit, {.relative = 1e-15}));
        EXPECT_TRUE(isClose(sampleSd(x), std::sqrt(5.0 / 3.0) * unit, {.relative = 1e-15}));
        EXPECT_TRUE(isClose(median(x), 2.5 * unit, {.relative = 1e-15}));
        EXPECT_TRUE(isClose(quantile7(x, 0.25), 1.75 * unit, {.relative = 1e-15}));
    }
    const double most = std::numeric_limits<double>::max();
    const std::vector<double> wide = {-most, most};
    EXPECT_EQ(mean(wide), 0.0);
    EXPECT_EQ(median(wide), 0.0);
    EXPECT_EQ(quantile7(wide, 0.5), 0.0);
    EXPECT_FALSE(sampleSd(wide)) << "larger than any double";
}

// NIST Statistical Reference Datasets, univariate, from memory of the construction, which has a closed form:
// NumAcc3 and NumAcc4 are c + 0.2, then 500 pairs c + 0.1, c + 0.3: mean c + 0.2, sd 0.1.
TEST(Descriptive, LargeCommonPartCostsNoDigitsBeyondThoseOfTheInput) {
    struct Case {
        double common;
        double relative;  ///< what rounding of the input itself leaves
    };
    for (const Case& c : {Case{0.0, 1e-14}, Case{1e6, 1e-9}, Case{1e7, 1e-8}}) {
        std::vector<double> x = {c.common + 0.2};
        for (int i = 0; i < 500; ++i) {
            x.push_back(c.common + 0.1);
            x.push_back(c.common + 0.3);
        }
        EXPECT_TRUE(isClose(mean(x), c.common + 0.2, {.relative = 1e-15}));
        EXPECT_TRUE(isClose(sampleSd(x), 0.1, {.relative = c.relative}));
    }
}

}  // namespace
}  // namespace aftercurve
