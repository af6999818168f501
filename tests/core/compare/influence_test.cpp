#include "core/compare/influence.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>
#include <vector>

#include "core/compare/distributions.h"
#include "core/compare/paired_t.h"
#include "tests/core/compare/hostile_pairs.h"
#include "tests/support/close.h"

namespace aftercurve {
namespace {

using test::isClose;

// By hand: 1 2 3 and 12. Without 12: mean 2, sd 1, n = 3, t = 2·√3. Mean of all 4.5, change −2.5. Its
// residual: (12 − 2)·√(3/4)/1 = 8.660254 with 2 df.
TEST(Influence, ByHand) {
    const Influence r = influence(asDifferences(std::vector{1.0, 2.0, 3.0, 12.0}), 0.05);
    ASSERT_EQ(r.subjects.size(), 4U);
    const LeftOutSubject& far = r.subjects[3];
    EXPECT_EQ(far.index, 3U);
    EXPECT_EQ(far.meanDifference, 2.0);
    EXPECT_EQ(far.change, -2.5);
    EXPECT_TRUE(isClose(far.p, *studentTTwoSidedP(2.0 * std::sqrt(3.0), 2.0), {.relative = 1e-13}));
    EXPECT_TRUE(isClose(far.studentised, 10.0 * std::sqrt(0.75), {.relative = 1e-13}));
    EXPECT_TRUE(isClose(far.residualP, *studentTTwoSidedP(10.0 * std::sqrt(0.75), 2.0), {.relative = 1e-13}));
    EXPECT_TRUE(isClose(far.residualPAdjusted, 4.0 * *far.residualP, {.relative = 1e-14}));
    EXPECT_FALSE(far.flagged) << "p 0.0131, four times that is 0.0523: above 5 %, below 6 %";
    EXPECT_EQ(influence(asDifferences(std::vector{1.0, 2.0, 3.0, 12.0}), 0.06).flagged,
              std::vector<std::size_t>{3});
    EXPECT_EQ(r.largestChange, 3U);
}

TEST(Influence, OneSubjectCarriesTheResult) {
    // Without the last the mean turns its sign; with all, p is far above alpha.
    const Influence sign = influence(asDifferences(std::vector{-1.0, -2.0, -1.5, -0.5, 9.0}), 0.05);
    EXPECT_TRUE(sign.anyTurnsSign);
    EXPECT_TRUE(sign.subjects[4].turnsSign);
    EXPECT_TRUE(sign.subjects[4].crossesAlpha) << "the four others lie below 0";
    EXPECT_TRUE(sign.subjects[4].movesInterval);
    EXPECT_FALSE(sign.subjects[0].turnsSign);
    EXPECT_TRUE(sign.anyTurns());
    EXPECT_EQ(sign.largestChange, 4U);
    // No subject turns a result that all share.
    const Influence firm = influence(asDifferences(std::vector{2.0, 2.1, 1.9, 2.2, 1.8, 2.05}), 0.05);
    EXPECT_FALSE(firm.anyTurns());
    EXPECT_TRUE(firm.flagged.empty());
}

TEST(Influence, AgreesWithThePairedTOfTheRest) {
    std::mt19937 random(3);
    std::vector<double> d(20);
    for (double& x : d) {
        x = static_cast<double>(random() % 2000) / 100.0 - 8.0;
    }
    const Influence r = influence(asDifferences(d), 0.05);
    const PairedT all = pairedT(asDifferences(d), 0.05);
    double changes = 0.0;
    for (std::size_t i = 0; i < d.size(); ++i) {
        std::vector<double> rest = d;
        rest.erase(rest.begin() + static_cast<std::ptrdiff_t>(i));
        const PairedT without = pairedT(asDifferences(rest), 0.05);
        EXPECT_TRUE(isClose(r.subjects[i].p, *without.p, {.relative = 1e-12}));
        EXPECT_TRUE(isClose(r.subjects[i].ciLow, *without.ciLow, {.relative = 1e-12}));
        EXPECT_EQ(r.subjects[i].crossesAlpha, (*without.p < 0.05) != (*all.p < 0.05));
        changes += *r.subjects[i].change;
    }
    EXPECT_NEAR(changes, 0.0, 1e-12) << "the means without each average to the mean";
}

TEST(Influence, FlagsNothingInMostNormalSets) {
    std::mt19937 random(17);
    std::normal_distribution<double> normal;
    int flagged = 0;
    for (int round = 0; round < 400; ++round) {
        std::vector<double> d(12);
        for (double& x : d) {
            x = normal(random);
        }
        flagged += influence(asDifferences(d), 0.05).flagged.empty() ? 0 : 1;
    }
    EXPECT_GT(flagged, 4) << "Bonferroni holds 5 % of the sets: 20, sd 4.4";
    EXPECT_LT(flagged, 38);
}

TEST(Influence, OthersAllEqual) {
    const Influence r = influence(asDifferences(std::vector{2.0, 2.0, 2.0, 5.0}), 0.05);
    const LeftOutSubject& odd = r.subjects[3];
    EXPECT_EQ(odd.meanDifference, 2.0);
    EXPECT_FALSE(odd.p || odd.studentised || odd.residualP);
    EXPECT_FALSE(odd.flagged);
    EXPECT_FALSE(odd.absentBecause.empty());
    EXPECT_TRUE(r.subjects[0].studentised);
}

TEST(Influence, HostileSets) {
    for (const auto& pairs : test::hostilePairs()) {
        const Influence r = influence(pairedDifferences(pairs.food, pairs.comparator), 0.05);
        EXPECT_EQ(r.subjects.empty(), !r.absentBecause.empty()) << pairs.name;
        for (const LeftOutSubject& s : r.subjects) {
            for (const auto& value :
                 {s.meanDifference, s.ciLow, s.ciHigh, s.p, s.change, s.studentised, s.residualP}) {
                EXPECT_TRUE(!value || std::isfinite(*value)) << pairs.name;
            }
        }
    }
    EXPECT_EQ(influence({}, 0.05).absentBecause, "there is no pair");
    std::vector<double> many(5001, 1.0);
    many[0] = 2.0;
    EXPECT_EQ(influence(asDifferences(many), 0.05).absentBecause,
              "more than 5000 pairs are not left out one by one");
}

}  // namespace
}  // namespace aftercurve
