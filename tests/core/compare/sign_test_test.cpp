#include "core/compare/sign_test.h"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "tests/core/compare/classic_data.h"
#include "tests/core/compare/hostile_pairs.h"
#include "tests/support/close.h"

namespace aftercurve {
namespace {

using test::isClose;

// Student 1908: nine of nine differences that are not zero are negative, p = 2/2^9. Interval by hand: n = 10,
// P(X ≤ 1) = 11/1024, P(X ≤ 2) = 56/1024: k = 2, from the second smallest to the second largest, confidence 1
// − 22/1024.
TEST(SignTest, SleepData) {
    const SignTest r = signTest(pairedDifferences(test::sleepFirst, test::sleepSecond), 0.05);
    EXPECT_EQ(r.n, 10U);
    EXPECT_EQ(r.positive, 0U);
    EXPECT_EQ(r.negative, 9U);
    EXPECT_EQ(r.zeros, 1U);
    EXPECT_EQ(r.p, 2.0 / 512.0);
    EXPECT_TRUE(isClose(r.median, -1.3, {.relative = 1e-14}));
    EXPECT_TRUE(isClose(r.ciLow, -2.4, {.relative = 1e-14}));
    EXPECT_TRUE(isClose(r.ciHigh, -0.8, {.relative = 1e-14}));
    EXPECT_EQ(r.achievedConfidence, 1.0 - 22.0 / 1024.0);
}

// Agresti 1990, p. 350 (from memory): 150 against 86 who changed; exact two-sided p 3.715936e-05 (base R,
// published table of the project's references). Beyond 50 trials, so that the incomplete beta function is
// what counts.
TEST(SignTest, ApprovalData) {
    std::vector<double> d(150, 1.0);
    d.insert(d.end(), 86, -1.0);
    const SignTest r = signTest(asDifferences(d), 0.05);
    EXPECT_TRUE(isClose(r.p, 3.715936e-05, {.relative = 2e-7}));
}

// Critical numbers of the sign test, two-sided 5 % (from the binomial by hand): n = 6: 0; 9: 1; 12: 2; 15: 3.
TEST(SignTest, CriticalNumbers) {
    const std::vector<std::pair<std::size_t, std::size_t>> rows = {{6, 0}, {9, 1}, {12, 2}, {15, 3}};
    for (const auto& [n, fewer] : rows) {
        std::vector<double> d(n, 1.0);
        for (std::size_t i = 0; i < fewer; ++i) {
            d[i] = -2.0;
        }
        EXPECT_LE(*signTest(asDifferences(d), 0.05).p, 0.05) << n;
        d[fewer] = -2.0;
        EXPECT_GT(*signTest(asDifferences(d), 0.05).p, 0.05) << n;
    }
}

TEST(SignTest, FewDifferencesHaveNoInterval) {
    const SignTest r = signTest(asDifferences(std::vector{1.0, 2.0, 3.0, 4.0, 5.0}), 0.05);
    EXPECT_EQ(r.p, 0.0625);
    EXPECT_EQ(r.median, 3.0);
    EXPECT_FALSE(r.ciLow || r.ciHigh || r.achievedConfidence);
    EXPECT_EQ(r.intervalAbsentBecause, "5 differences cannot give an interval of 95 % confidence");
    // At exactly its own level the interval is there: 1 − 2/32.
    const SignTest at = signTest(asDifferences(std::vector{1.0, 2.0, 3.0, 4.0, 5.0}), 0.0625);
    EXPECT_EQ(at.ciLow, 1.0);
    EXPECT_EQ(at.ciHigh, 5.0);
    EXPECT_EQ(at.achievedConfidence, 0.9375);
}

TEST(SignTest, LargeSetsKeepAPositiveP) {
    std::vector<double> d(5000);
    for (std::size_t i = 0; i < d.size(); ++i) {
        d[i] = 1.0 + static_cast<double>(i);
    }
    const SignTest r = signTest(asDifferences(d), 0.05);
    EXPECT_GT(*r.p, 0.0);
    EXPECT_LT(*r.p, 1e-300);
    // Normal approximation of the order: 2500 − 1.96·√1250 = 2430.7.
    EXPECT_NEAR(*r.ciLow, 2431.0, 2.0);
    EXPECT_NEAR(*r.achievedConfidence, 0.95, 0.002);
}

TEST(SignTest, HostileSets) {
    for (const auto& pairs : test::hostilePairs()) {
        const SignTest r = signTest(pairedDifferences(pairs.food, pairs.comparator), 0.05);
        for (const auto& value : {r.p, r.median, r.ciLow, r.ciHigh}) {
            EXPECT_TRUE(!value || std::isfinite(*value)) << pairs.name;
        }
        EXPECT_EQ(r.p.has_value(), r.absentBecause.empty()) << pairs.name;
        EXPECT_EQ(r.ciLow.has_value(), r.intervalAbsentBecause.empty()) << pairs.name;
    }
    EXPECT_EQ(signTest({}, 0.05).absentBecause, "there is no pair");
    EXPECT_EQ(signTest(asDifferences(std::vector{0.0, 0.0}), 0.05).absentBecause, "all differences are zero");
}

}  // namespace
}  // namespace aftercurve
