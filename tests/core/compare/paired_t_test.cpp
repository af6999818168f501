#include "core/compare/paired_t.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <random>
#include <vector>

#include "tests/core/compare/classic_data.h"
#include "tests/support/close.h"

namespace aftercurve {
namespace {

using test::isClose;

constexpr double alpha = 0.05;

void expectNoTest(const PairedT& r) {
    EXPECT_FALSE(r.ciLow || r.ciHigh || r.t || r.df || r.p);
    EXPECT_FALSE(r.absentBecause.empty());
}

// Student 1908; t, p and interval printed by R's t.test for the data set `sleep`.
TEST(PairedT, SleepData) {
    const PairedT r = pairedT(pairedDifferences(test::sleepFirst, test::sleepSecond), alpha);
    EXPECT_EQ(r.n, 10U);
    EXPECT_TRUE(isClose(r.meanDifference, -1.58, {.relative = 1e-15}));
    EXPECT_TRUE(isClose(r.t, -4.062127683382, {.relative = 1e-12}));
    EXPECT_EQ(r.df, 9.0);
    EXPECT_TRUE(isClose(r.p, 0.002832890197384, {.relative = 1e-12}));
    EXPECT_TRUE(isClose(r.ciLow, -2.459885763277, {.relative = 1e-12}));
    EXPECT_TRUE(isClose(r.ciHigh, -0.700114236723, {.relative = 1e-12}));
    EXPECT_TRUE(r.absentBecause.empty());
}

// d = 0, 1: mean 1/2, sd 1/√2, t = 1 with 1 degree of freedom, whose p is 1/2 and whose 97.5 % point is
// tan(0.475 pi).
TEST(PairedT, TwoPairsByHand) {
    const PairedT r = pairedT(asDifferences(std::vector{0.0, 1.0}), alpha);
    EXPECT_TRUE(isClose(r.t, 1.0, {.relative = 1e-15}));
    EXPECT_TRUE(isClose(r.p, 0.5, {.relative = 1e-14}));
    EXPECT_TRUE(isClose(r.sdDifference, std::sqrt(0.5), {.relative = 1e-15}));
    EXPECT_TRUE(isClose(r.semDifference, 0.5, {.relative = 1e-15}));
    const double half = 0.5 * std::tan(0.475 * std::acos(-1.0));
    EXPECT_TRUE(isClose(r.ciLow, 0.5 - half, {.relative = 1e-12}));
    EXPECT_TRUE(isClose(r.ciHigh, 0.5 + half, {.relative = 1e-12}));
}

TEST(PairedT, NoPairAndOnePair) {
    const PairedT none = pairedT(asDifferences(std::vector<double>{}), alpha);
    EXPECT_EQ(none.n, 0U);
    EXPECT_FALSE(none.meanDifference || none.sdDifference || none.semDifference);
    expectNoTest(none);

    const PairedT one = pairedT(asDifferences(std::vector{2.5}), alpha);
    EXPECT_EQ(one.n, 1U);
    EXPECT_EQ(one.meanDifference, 2.5);
    EXPECT_FALSE(one.sdDifference || one.semDifference);
    expectNoTest(one);
}

TEST(PairedT, EqualDifferencesHaveNoTest) {
    for (const double d : {0.0, -2.5}) {
        const PairedT r = pairedT(asDifferences(std::vector(8, d)), alpha);
        EXPECT_EQ(r.meanDifference, d);
        EXPECT_EQ(r.sdDifference, 0.0);
        expectNoTest(r);
    }
    // Constant in decimals, not in bits: without the resolution t would be about 1e16.
    const PairedT r =
        pairedT(pairedDifferences(std::vector{0.3, 0.2, 1.1}, std::vector{0.2, 0.1, 1.0}), alpha);
    EXPECT_TRUE(isClose(r.meanDifference, 0.1, {.relative = 1e-14}));
    EXPECT_EQ(r.sdDifference, 0.0);
    expectNoTest(r);
}

TEST(PairedT, NotFiniteIsAbsentWithAReason) {
    const double infinity = std::numeric_limits<double>::infinity();
    for (const double bad : {std::numeric_limits<double>::quiet_NaN(), infinity, -infinity}) {
        const PairedT r = pairedT({{1.0, bad, 2.0}, 0.0}, alpha);
        EXPECT_FALSE(r.meanDifference || r.sdDifference || r.semDifference);
        expectNoTest(r);
    }
}

TEST(PairedT, AnyScaleGivesTheSameTest) {
    const std::vector<double> d = {4.0, 1.0, -3.0, 2.0, 2.5};
    const PairedT plain = pairedT(asDifferences(d), alpha);
    for (const double unit : {1e-300, 1e-20, 1e20, 1e300}) {
        std::vector<double> scaled;
        for (const double x : d) {
            scaled.push_back(x * unit);
        }
        const PairedT r = pairedT(asDifferences(scaled), alpha);
        EXPECT_TRUE(isClose(r.t, plain.t, {.relative = 1e-14}));
        EXPECT_TRUE(isClose(r.p, plain.p, {.relative = 1e-13}));
        EXPECT_TRUE(isClose(r.sdDifference, *plain.sdDifference * unit, {.relative = 1e-14}));
        EXPECT_TRUE(isClose(r.ciLow, *plain.ciLow * unit, {.relative = 1e-13}));
        EXPECT_TRUE(isClose(r.ciHigh, *plain.ciHigh * unit, {.relative = 1e-13}));
    }
}

TEST(PairedT, FromTheSmallestToTheLargestInOneSet) {
    const PairedT r = pairedT(asDifferences(std::vector{1e-300, 1e300, 1.0}), alpha);
    // As 0, 1, 0 times 1e300: t = 1.
    EXPECT_TRUE(isClose(r.t, 1.0, {.relative = 1e-14}));
    EXPECT_TRUE(r.p && r.ciLow && r.ciHigh);
}

TEST(PairedT, IntervalBeyondTheDoublesIsAbsentTheTestIsNot) {
    const double most = std::numeric_limits<double>::max();
    const PairedT r = pairedT(asDifferences(std::vector{most, -most / 2.0}), alpha);
    EXPECT_TRUE(r.meanDifference && r.t && r.p);
    EXPECT_FALSE(r.ciLow || r.ciHigh);
    EXPECT_FALSE(r.absentBecause.empty());
}

// The spread is a closed form (500 pairs ±0.1 and one 0 about 0.2: sd 0.1); built as the NIST univariate sets
// NumAcc3 and NumAcc4 (from memory). What the input itself has lost sets the tolerance.
TEST(PairedT, LargeCommonPart) {
    for (const double common : {0.0, 1e6, 1e7}) {
        std::vector<double> d = {common + 0.2};
        for (int i = 0; i < 500; ++i) {
            d.push_back(common + 0.1);
            d.push_back(common + 0.3);
        }
        const PairedT r = pairedT({d, 0.0}, alpha);
        EXPECT_TRUE(isClose(r.sdDifference, 0.1, {.relative = 1e-14 + common * 1e-15}));
        EXPECT_TRUE(
            isClose(r.t, (common + 0.2) / (0.1 / std::sqrt(1001.0)), {.relative = 1e-13 + common * 1e-15}));
    }
}

TEST(PairedT, PropertiesOfSignShiftAndOrder) {
    std::mt19937 random(7);
    for (int round = 0; round < 100; ++round) {
        std::vector<double> d(3 + random() % 20);
        for (double& x : d) {
            x = static_cast<double>(random() % 1000) / 8.0 - 50.0;
        }
        d[0] = 1000.0;
        const PairedT r = pairedT(asDifferences(d), alpha);
        // The interval excludes 0 exactly when p < alpha.
        EXPECT_EQ(*r.ciLow > 0.0 || *r.ciHigh < 0.0, *r.p < alpha);

        std::vector<double> other = d;
        for (double& x : other) {
            x = -x;
        }
        const PairedT negated = pairedT(asDifferences(other), alpha);
        EXPECT_EQ(*negated.t, -*r.t);
        EXPECT_EQ(negated.p, r.p);
        EXPECT_EQ(*negated.ciLow, -*r.ciHigh);

        other = d;
        std::shuffle(other.begin(), other.end(), random);
        const PairedT shuffled = pairedT(asDifferences(other), alpha);
        EXPECT_TRUE(isClose(shuffled.t, r.t, {.absolute = 1e-13, .relative = 1e-12}));

        for (double& x : other) {
            x += 256.0;
        }
        const PairedT shifted = pairedT(asDifferences(other), alpha);
        EXPECT_TRUE(isClose(shifted.meanDifference, *r.meanDifference + 256.0, {.relative = 1e-14}));
        EXPECT_TRUE(isClose(shifted.sdDifference, r.sdDifference, {.relative = 1e-13}));
        EXPECT_TRUE(isClose(*shifted.ciHigh - *shifted.ciLow, *r.ciHigh - *r.ciLow, {.relative = 1e-12}));
    }
}

}  // namespace
}  // namespace aftercurve
