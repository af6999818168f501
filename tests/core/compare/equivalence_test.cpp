#include "core/compare/equivalence.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <string>
#include <vector>

#include "core/compare/distributions.h"
#include "core/compare/one_sided_margin.h"
#include "core/compare/paired_t.h"
#include "core/compare/ratio_of_means.h"
#include "tests/core/compare/hostile_pairs.h"
#include "tests/support/close.h"

namespace aftercurve {
namespace {

using test::isClose;

constexpr double alpha = 0.05;
const std::vector<double> food = {5.1, 7.4, 6.0, 9.3, 8.8, 4.9};
const std::vector<double> comparator = {5.0, 7.1, 6.2, 9.0, 8.9, 4.7};
const std::vector<double> zero(4, 0.0);

// By hand: differences 0 2 2 4 have mean 2, sd √(8/3), sem √(2/3); against −1 and 5 both t are ±3/√(2/3), 3
// df.
TEST(Equivalence, ByHand) {
    const Equivalence r =
        equivalence(MarginScale::meanDifference, std::vector{0.0, 2.0, 2.0, 4.0}, zero, {-1.0, 5.0}, alpha);
    const double t = 3.0 / std::sqrt(2.0 / 3.0);
    EXPECT_TRUE(isClose(r.tLow, t, {.relative = 1e-14}));
    EXPECT_TRUE(isClose(r.tHigh, -t, {.relative = 1e-14}));
    EXPECT_EQ(r.df, 3.0);
    EXPECT_EQ(r.n, 4U);
    EXPECT_TRUE(isClose(r.pLow, *studentTTwoSidedP(t, 3.0) / 2.0, {.relative = 1e-13}));
    EXPECT_EQ(r.p, std::max(*r.pLow, *r.pHigh));
    EXPECT_EQ(r.verdict, EquivalenceVerdict::equivalent);
    // t(0.95, 3) = 2.353363434801825 (R 4.2.2, qt).
    EXPECT_TRUE(isClose(r.ciLow, 2.0 - 2.353363434801825 * std::sqrt(2.0 / 3.0), {.relative = 1e-13}));
}

TEST(Equivalence, VerdictsOnEveryScale) {
    const Equivalence d = equivalence(MarginScale::meanDifference, food, comparator, {-1.0, 1.0}, alpha);
    const Equivalence g = equivalence(MarginScale::geometricMeanRatio, food, comparator, {0.8, 1.25}, alpha);
    const Equivalence m = equivalence(MarginScale::ratioOfMeans, food, comparator, {0.8, 1.25}, alpha);
    for (const auto* r : {&d, &g, &m}) {
        EXPECT_EQ(r->verdict, EquivalenceVerdict::equivalent);
        EXPECT_TRUE(r->absentBecause.empty());
    }
    EXPECT_EQ(equivalence(MarginScale::meanDifference, food, comparator, {-0.01, 0.1}, alpha).verdict,
              EquivalenceVerdict::notShown);
    std::vector<double> doubled = comparator;
    for (double& x : doubled) {
        x = 2.0 * x + (x > 6.0 ? 0.1 : -0.1);
    }
    for (const MarginScale scale : {MarginScale::geometricMeanRatio, MarginScale::ratioOfMeans}) {
        EXPECT_EQ(equivalence(scale, doubled, comparator, {0.8, 1.25}, alpha).verdict,
                  EquivalenceVerdict::outside);
        EXPECT_EQ(equivalence(scale, comparator, doubled, {0.8, 1.25}, alpha).verdict,
                  EquivalenceVerdict::outside);
    }
}

// The interval of confidence 1 − 2·alpha is Fieller's; each end as a margin gives p = alpha on its side.
TEST(Equivalence, IntervalAndTestsAgree) {
    for (const MarginScale scale :
         {MarginScale::meanDifference, MarginScale::geometricMeanRatio, MarginScale::ratioOfMeans}) {
        const MarginEstimate r = marginEstimate(scale, food, comparator, alpha);
        EXPECT_TRUE(isClose(pAbove(r, *r.ciLow), alpha, {.relative = 1e-9}));
        EXPECT_TRUE(isClose(pBelow(r, *r.ciHigh), alpha, {.relative = 1e-9}));
        EXPECT_TRUE(isClose(pAbove(r, *r.estimate), 0.5, {.absolute = 1e-9}));
    }
    const RatioOfMeans fieller = ratioOfMeans(food, comparator, 2.0 * alpha);
    EXPECT_EQ(equivalence(MarginScale::ratioOfMeans, food, comparator, {0.8, 1.25}, alpha).ciLow,
              fieller.low);
}

// Foods changed over and margins turned into reciprocals: the same p on the ratio scales.
TEST(Equivalence, TurnedRound) {
    for (const MarginScale scale : {MarginScale::geometricMeanRatio, MarginScale::ratioOfMeans}) {
        const Equivalence r = equivalence(scale, food, comparator, {0.8, 1.25}, alpha);
        const Equivalence turned = equivalence(scale, comparator, food, {0.8, 1.25}, alpha);
        EXPECT_TRUE(isClose(turned.pLow, *r.pHigh, {.relative = 1e-10}));
        EXPECT_TRUE(isClose(turned.pHigh, *r.pLow, {.relative = 1e-10}));
    }
}

TEST(Equivalence, OfAModelsDifference) {
    const PairedT t = pairedT(pairedDifferences(food, comparator), alpha);
    const Equivalence direct = equivalence(MarginScale::meanDifference, food, comparator, {-0.3, 0.4}, alpha);
    const Equivalence given =
        equivalenceOfDifference(*t.meanDifference, *t.semDifference, *t.df, {-0.3, 0.4}, alpha);
    EXPECT_TRUE(isClose(given.p, *direct.p, {.relative = 1e-12}));
    EXPECT_TRUE(isClose(given.ciHigh, *direct.ciHigh, {.relative = 1e-12}));
    EXPECT_EQ(given.verdict, direct.verdict);
    constexpr double nan = std::numeric_limits<double>::quiet_NaN();
    for (const Equivalence& r : {equivalenceOfDifference(1.0, 0.0, 5.0, {-1.0, 1.0}, alpha),
                                 equivalenceOfDifference(nan, 1.0, 5.0, {-1.0, 1.0}, alpha),
                                 equivalenceOfDifference(1.0, 1.0, 0.0, {-1.0, 1.0}, alpha)}) {
        EXPECT_EQ(r.verdict, EquivalenceVerdict::notTested);
        EXPECT_FALSE(r.p);
        EXPECT_FALSE(r.absentBecause.empty());
    }
}

TEST(Equivalence, MarginsAreChecked) {
    constexpr double infinity = std::numeric_limits<double>::infinity();
    for (const Margins& margins :
         {Margins{1.0, -1.0}, Margins{0.0, 1.0}, Margins{0.5, 1.0}, Margins{-infinity, 1.0},
          Margins{-1.0, std::nan("")}, Margins{-1.0, 0.0}}) {
        EXPECT_FALSE(problemWithMargins(margins, MarginScale::meanDifference).empty());
        const Equivalence r = equivalence(MarginScale::meanDifference, food, comparator, margins, alpha);
        EXPECT_EQ(r.verdict, EquivalenceVerdict::notTested);
        EXPECT_FALSE(r.p || r.pLow || r.tLow);
        EXPECT_TRUE(r.ciLow) << "the interval needs no margin";
    }
    for (const Margins& margins :
         {Margins{-0.2, 1.25}, Margins{0.0, 1.25}, Margins{1.0, 1.25}, Margins{0.8, 0.9}}) {
        EXPECT_FALSE(problemWithMargins(margins, MarginScale::ratioOfMeans).empty());
    }
    EXPECT_EQ(problemWithMargins({0.8, 1.25}, MarginScale::geometricMeanRatio), "");
    EXPECT_EQ(problemWithMargins({-2.0, 0.5}, MarginScale::meanDifference), "");
}

TEST(Equivalence, RatioNeedsAComparatorAboveZero) {
    std::vector<double> negative = comparator;
    for (double& x : negative) {
        x = -x;
    }
    const Equivalence r = equivalence(MarginScale::ratioOfMeans, food, negative, {0.8, 1.25}, alpha);
    EXPECT_EQ(r.verdict, EquivalenceVerdict::notTested);
    EXPECT_EQ(r.absentBecause, "the mean of the comparator is not above 0: a ratio has no margin");
    const std::vector<double> nearZero = {1.0, -2.0, 3.0, -1.5, 2.0, 0.5};
    const Equivalence wide = equivalence(MarginScale::ratioOfMeans, food, nearZero, {0.8, 1.25}, alpha);
    EXPECT_FALSE(wide.ciLow || wide.ciHigh);
    EXPECT_FALSE(wide.intervalAbsentBecause.empty());
    EXPECT_NE(wide.verdict, EquivalenceVerdict::equivalent);
}

TEST(Equivalence, WordsNeverSayThereIsNoDifference) {
    for (const EquivalenceVerdict verdict : {EquivalenceVerdict::notTested, EquivalenceVerdict::equivalent,
                                             EquivalenceVerdict::notShown, EquivalenceVerdict::outside}) {
        EXPECT_EQ(verdictWords(verdict).find("no difference"), std::string_view::npos);
        EXPECT_EQ(verdictWords(verdict).find("same"), std::string_view::npos);
    }
    EXPECT_EQ(verdictWords(EquivalenceVerdict::notShown), "equivalence not shown");
    EXPECT_EQ(verdictWords(MarginVerdict::notShown, MarginClaim::nonInferiority),
              "non-inferiority not shown");
    EXPECT_EQ(verdictWords(MarginVerdict::shown, MarginClaim::superiority), "superiority shown");
    EXPECT_EQ(verdictWords(MarginVerdict::notTested, MarginClaim::superiority), "not tested");
}

TEST(Equivalence, HostileSets) {
    for (const auto& pairs : test::hostilePairs()) {
        for (const MarginScale scale :
             {MarginScale::meanDifference, MarginScale::geometricMeanRatio, MarginScale::ratioOfMeans}) {
            const Margins margins =
                scale == MarginScale::meanDifference ? Margins{-1.0, 1.0} : Margins{0.8, 1.25};
            const Equivalence r = equivalence(scale, pairs.food, pairs.comparator, margins, alpha);
            for (const auto& value : {r.estimate, r.ciLow, r.ciHigh, r.tLow, r.tHigh, r.pLow, r.pHigh, r.p}) {
                EXPECT_TRUE(!value || std::isfinite(*value)) << pairs.name;
            }
            EXPECT_EQ(r.p.has_value(), r.verdict != EquivalenceVerdict::notTested) << pairs.name;
            EXPECT_EQ(r.p.has_value(), r.absentBecause.empty())
                << pairs.name << ' ' << static_cast<int>(scale);
        }
    }
}

// By hand: differences 0 2 2 4, mean 2, sem √(2/3), 3 df; the limits of each claim and direction.
TEST(OneSidedMargin, LimitsAndDirections) {
    const std::vector<double> d = {0.0, 2.0, 2.0, 4.0};
    struct Row {
        MarginClaim claim;
        BetterDirection direction;
        double margin;
        double limit;
        double towards;  ///< estimate − limit, in the better direction
    };
    const std::vector<Row> rows = {
        {MarginClaim::nonInferiority, BetterDirection::higherIsBetter, 1.0, -1.0, 3.0},
        {MarginClaim::nonInferiority, BetterDirection::lowerIsBetter, 5.0, 5.0, 3.0},
        {MarginClaim::superiority, BetterDirection::higherIsBetter, 0.5, 0.5, 1.5},
        {MarginClaim::superiority, BetterDirection::lowerIsBetter, 0.5, -0.5, -2.5},
        {MarginClaim::superiority, BetterDirection::higherIsBetter, 0.0, 0.0, 2.0},
    };
    for (const Row& row : rows) {
        const OneSidedMargin r = oneSidedMargin(
            {MarginScale::meanDifference, row.claim, row.direction, row.margin}, d, zero, 0.025);
        EXPECT_EQ(r.limit, row.limit);
        const double t = row.towards / std::sqrt(2.0 / 3.0);
        EXPECT_TRUE(isClose(r.p, *studentTUpperTail(t, 3.0), {.relative = 1e-12})) << row.limit;
        EXPECT_EQ(r.verdict, *r.p < 0.025 ? MarginVerdict::shown : MarginVerdict::notShown);
        const bool higher = row.direction == BetterDirection::higherIsBetter;
        EXPECT_EQ(r.bound, higher ? r.ciLow : r.ciHigh);
        EXPECT_EQ(r.verdict == MarginVerdict::shown, higher ? *r.bound > row.limit : *r.bound < row.limit);
    }
}

TEST(OneSidedMargin, RatiosTakeAFactor) {
    const MarginQuestion lower{MarginScale::geometricMeanRatio, MarginClaim::nonInferiority,
                               BetterDirection::lowerIsBetter, 1.25};
    MarginQuestion higher = lower;
    higher.direction = BetterDirection::higherIsBetter;
    const OneSidedMargin a = oneSidedMargin(lower, food, comparator, 0.025);
    const OneSidedMargin b = oneSidedMargin(higher, comparator, food, 0.025);
    EXPECT_EQ(a.limit, 1.25);
    EXPECT_EQ(b.limit, 0.8);
    EXPECT_TRUE(isClose(a.p, *b.p, {.relative = 1e-11})) << "foods and direction both changed over";
    const Equivalence both =
        equivalence(MarginScale::geometricMeanRatio, food, comparator, {0.8, 1.25}, 0.025);
    EXPECT_EQ(a.p, both.pHigh);
}

TEST(OneSidedMargin, AbsentWithReason) {
    MarginQuestion question;
    for (const double margin : {0.0, -1.0, std::nan(""), std::numeric_limits<double>::infinity()}) {
        question.margin = margin;
        const OneSidedMargin r = oneSidedMargin(question, food, comparator, 0.025);
        EXPECT_EQ(r.verdict, MarginVerdict::notTested);
        EXPECT_FALSE(r.p || r.limit);
        EXPECT_FALSE(r.absentBecause.empty());
    }
    question = {MarginScale::ratioOfMeans, MarginClaim::superiority, BetterDirection::higherIsBetter, 0.8};
    EXPECT_FALSE(problemWithMargin(question).empty());
    question.margin = 1.0;
    EXPECT_EQ(problemWithMargin(question), "");
    EXPECT_FALSE(oneSidedMarginOfDifference(question, 1.0, 1.0, 5.0, 0.025).absentBecause.empty());
    question = {MarginScale::meanDifference, MarginClaim::nonInferiority, BetterDirection::lowerIsBetter,
                1.0};
    const OneSidedMargin given = oneSidedMarginOfDifference(question, 0.2, 0.25, 20.0, 0.025);
    EXPECT_TRUE(isClose(given.t, -3.2, {.relative = 1e-14}));
    EXPECT_EQ(given.verdict, MarginVerdict::shown);
    for (const auto& pairs : test::hostilePairs()) {
        const OneSidedMargin r = oneSidedMargin(question, pairs.food, pairs.comparator, 0.025);
        EXPECT_TRUE(!r.p || (std::isfinite(*r.p) && *r.p > 0.0)) << pairs.name;
        EXPECT_EQ(r.p.has_value(), r.absentBecause.empty()) << pairs.name;
    }
}

}  // namespace
}  // namespace aftercurve
