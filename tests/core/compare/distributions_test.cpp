#include "core/compare/distributions.h"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>
#include <limits>
#include <numbers>

#include "tests/support/close.h"
#include "tests/support/reference_csv.h"

namespace aftercurve {
namespace {

using test::isClose;

constexpr double nan = std::numeric_limits<double>::quiet_NaN();
constexpr double infinity = std::numeric_limits<double>::infinity();

// With 1 degree of freedom the tail is arctan(1/t)/pi, with 2 it is (1 - t/sqrt(2 + t²))/2.
TEST(Distributions, StudentTInClosedForm) {
    for (const double t : {0.1, 1.0, 3.0, 1e3, 1e8}) {
        EXPECT_TRUE(isClose(studentTTwoSidedP(t, 1.0), 2.0 * std::atan(1.0 / t) / std::numbers::pi,
                            {.relative = 1e-13}));
        const double root = std::sqrt(2.0 + t * t);
        EXPECT_TRUE(isClose(studentTTwoSidedP(t, 2.0), 2.0 / (root * (root + t)), {.relative = 1e-13}));
    }
    EXPECT_TRUE(isClose(studentTUpperQuantile(0.25, 1.0), 1.0, {.relative = 1e-14}));
    EXPECT_TRUE(
        isClose(studentTUpperQuantile(0.1, 2.0), 0.8 * std::sqrt(2.0 / (1.0 - 0.64)), {.relative = 1e-14}));
}

// With 1 numerator degree of freedom F is t²; with 2 the tail is (1 + 2f/m)^(−m/2).
TEST(Distributions, FInClosedForm) {
    for (const double m : {0.7, 1.0, 2.5, 30.0}) {
        for (const double f : {0.0, 0.3, 1.0, 4.2, 900.0}) {
            EXPECT_TRUE(
                isClose(fUpperTail(f, 1.0, m), studentTTwoSidedP(std::sqrt(f), m), {.relative = 1e-11}));
            EXPECT_TRUE(
                isClose(fUpperTail(f, 2.0, m), std::pow(1.0 + 2.0 * f / m, -m / 2.0), {.relative = 1e-11}));
        }
    }
    EXPECT_FALSE(fUpperTail(-1.0, 1.0, 1.0) || fUpperTail(nan, 1.0, 1.0) || fUpperTail(infinity, 1.0, 1.0));
    EXPECT_FALSE(fUpperTail(1.0, 0.0, 1.0) || fUpperTail(1.0, 1.0, nan));
    EXPECT_GT(*fUpperTail(1e300, 2.0, 1000.0), 0.0);
}

// R 4.2.2, pt, qt, pnorm, qnorm: tests/reference/compare_classic.csv, 13 digits. Compared: 11.
TEST(Distributions, AgreeWithR) {
    const auto values = test::readReferenceValues("compare_classic.csv");
    int compared = 0;
    for (const auto& [name, value] : values) {
        double first = 0.0;
        double second = 0.0;
        if (std::sscanf(name.c_str(), "t_p_%lf_%lf", &first, &second) == 2) {
            EXPECT_TRUE(isClose(studentTTwoSidedP(first, second), value, {.relative = 1e-11})) << name;
        } else if (std::sscanf(name.c_str(), "t_q_%lf_%lf", &first, &second) == 2) {
            EXPECT_TRUE(isClose(studentTUpperQuantile(first, second), value, {.relative = 1e-11})) << name;
        } else if (std::sscanf(name.c_str(), "normal_p_%lf", &first) == 1) {
            EXPECT_TRUE(isClose(normalUpperTail(first), value, {.relative = 1e-11})) << name;
        } else if (std::sscanf(name.c_str(), "normal_q_%lf", &first) == 1) {
            EXPECT_TRUE(isClose(normalUpperQuantile(first), value, {.absolute = 1e-15, .relative = 1e-11}))
                << name;
        } else {
            continue;
        }
        ++compared;
    }
    EXPECT_EQ(compared, 64);
}

// With 2 degrees of freedom the chi-square tail is exp(−x/2), with 4 (1 + x/2)·exp(−x/2), with 1 that of the
// normal squared.
TEST(Distributions, ChiSquareInClosedForm) {
    for (const double x : {0.0, 0.3, 2.0, 11.0, 300.0}) {
        EXPECT_TRUE(isClose(chiSquareUpperTail(x, 2.0), std::exp(-x / 2.0), {.relative = 1e-12}));
        EXPECT_TRUE(
            isClose(chiSquareUpperTail(x, 4.0), (1.0 + x / 2.0) * std::exp(-x / 2.0), {.relative = 1e-12}));
        EXPECT_TRUE(
            isClose(chiSquareUpperTail(x, 1.0), 2.0 * *normalUpperTail(std::sqrt(x)), {.relative = 1e-12}));
    }
    EXPECT_FALSE(chiSquareUpperTail(-1.0, 2.0) || chiSquareUpperTail(nan, 2.0) ||
                 chiSquareUpperTail(infinity, 2.0));
    EXPECT_FALSE(chiSquareUpperTail(1.0, 0.0) || chiSquareUpperTail(1.0, nan));
    EXPECT_GT(*chiSquareUpperTail(1e300, 2.0), 0.0);
}

TEST(Distributions, StudentTUpperTail) {
    for (const double t : {0.2, 2.5, 40.0}) {
        EXPECT_TRUE(
            isClose(studentTUpperTail(t, 7.0), *studentTTwoSidedP(t, 7.0) / 2.0, {.relative = 1e-13}));
        EXPECT_TRUE(
            isClose(studentTUpperTail(-t, 7.0), 1.0 - *studentTTwoSidedP(t, 7.0) / 2.0, {.relative = 1e-14}));
    }
    EXPECT_EQ(studentTUpperTail(0.0, 3.0), 0.5);
    EXPECT_FALSE(studentTUpperTail(nan, 5.0) || studentTUpperTail(infinity, 5.0) ||
                 studentTUpperTail(1.0, 0.0));
}

// Counts of Pascal's triangle; beyond 50 trials by symmetry and by the recursion of the binomial from n − 1
// to n.
TEST(Distributions, BinomialLowerTail) {
    EXPECT_EQ(binomialLowerTail(0, 5, 0.5), 1.0 / 32.0);
    EXPECT_EQ(binomialLowerTail(2, 5, 0.5), 16.0 / 32.0);
    EXPECT_EQ(binomialLowerTail(5, 5, 0.5), 1.0);
    EXPECT_EQ(binomialLowerTail(24, 49, 0.5), 0.5);
    EXPECT_TRUE(
        isClose(binomialLowerTail(1, 3, 0.2), 0.8 * 0.8 * 0.8 + 3.0 * 0.2 * 0.64, {.relative = 1e-13}));
    EXPECT_TRUE(isClose(binomialLowerTail(50, 101, 0.5), 0.5, {.relative = 1e-13}));
    for (const std::uint64_t k : {3U, 15U, 25U, 40U}) {
        const double recursion = (*binomialLowerTail(k, 50, 0.5) + *binomialLowerTail(k - 1, 50, 0.5)) / 2.0;
        EXPECT_TRUE(isClose(binomialLowerTail(k, 51, 0.5), recursion, {.relative = 1e-12})) << k;
    }
    EXPECT_EQ(binomialLowerTail(3, 7, 0.0), 1.0);
    EXPECT_FALSE(binomialLowerTail(0, 0, 0.5) || binomialLowerTail(6, 5, 0.5) ||
                 binomialLowerTail(1, 5, nan));
    EXPECT_FALSE(binomialLowerTail(1, 5, 1.5) || binomialLowerTail(1, 5, -0.1));
    EXPECT_GT(*binomialLowerTail(0, 100'000, 0.5), 0.0);
}

TEST(Distributions, SignOfTDoesNotMatter) {
    EXPECT_EQ(studentTTwoSidedP(-2.5, 7.0), studentTTwoSidedP(2.5, 7.0));
    EXPECT_EQ(studentTTwoSidedP(0.0, 7.0), 1.0);
}

// With 2 degrees of freedom the tail is exp(-x/2).
TEST(Distributions, ChiSquareOfTwoIsExponential) {
    for (const double x : {0.0, 0.3, 5.0, 80.0, 600.0}) {
        EXPECT_TRUE(isClose(chiSquareUpperTail(x, 2.0), std::exp(-x / 2.0), {.relative = 1e-13}));
    }
}

TEST(Distributions, WrongArgumentsAreAbsentAndDoNotThrow) {
    EXPECT_FALSE(studentTTwoSidedP(nan, 5.0));
    EXPECT_FALSE(studentTTwoSidedP(infinity, 5.0));
    for (const double df : {0.0, -1.0, nan, infinity}) {
        EXPECT_FALSE(studentTTwoSidedP(1.0, df));
        EXPECT_FALSE(studentTUpperQuantile(0.025, df));
    }
    for (const double tail : {0.0, 1.0, -0.1, 1.1, nan}) {
        EXPECT_FALSE(studentTUpperQuantile(tail, 5.0));
        EXPECT_FALSE(normalUpperQuantile(tail));
    }
    EXPECT_FALSE(chiSquareUpperTail(nan, 2.0) || chiSquareUpperTail(-1.0, 2.0) ||
                 chiSquareUpperTail(1.0, 0.0));
    EXPECT_FALSE(normalUpperTail(nan));
}

TEST(Distributions, NoProbabilityIsZeroOrAboveOne) {
    for (const double p : {studentTTwoSidedP(1e16, 400.0).value(), normalUpperTail(infinity).value(),
                           normalUpperTail(100.0).value()}) {
        EXPECT_EQ(p, std::numeric_limits<double>::min());
    }
    EXPECT_EQ(normalUpperTail(-infinity), 1.0);
    EXPECT_FALSE(studentTUpperQuantile(1e-300, 0.5)) << "larger than any double";
}

}  // namespace
}  // namespace aftercurve
