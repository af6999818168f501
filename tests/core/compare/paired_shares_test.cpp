// Exact shares, McNemar's test and paired superiority. Reference values: tests/reference/tolerance.R.
#include <gtest/gtest.h>

#include <array>

#include "core/compare/exact_share.h"
#include "core/compare/mcnemar.h"
#include "core/compare/paired_superiority.h"
#include "tests/support/close.h"
#include "tests/support/reference_csv.h"

namespace aftercurve {
namespace {

using test::isClose;
constexpr test::Tolerance eightDigits{.absolute = 1e-14, .relative = 1e-9};

TEST(ExactShare, AgreesWithR) {
    auto r = test::readReferenceValues("tolerance.csv");
    const std::array<std::array<std::size_t, 2>, 6> cases{
        {{0, 10}, {3, 12}, {7, 12}, {10, 10}, {1, 1}, {40, 250}}};
    for (const auto& [yes, n] : cases) {
        const std::string name = "share_" + std::to_string(yes) + "_" + std::to_string(n);
        ASSERT_TRUE(r.contains(name + "_low")) << name;
        const ExactShare share = exactShare(yes, n, 0.05);
        EXPECT_TRUE(isClose(share.ciLow, r[name + "_low"], eightDigits)) << name;
        EXPECT_TRUE(isClose(share.ciHigh, r[name + "_high"], eightDigits)) << name;
    }
}

TEST(ExactShare, NoneOfNoneIsAbsentAndTheOtherAnswerMirrors) {
    const ExactShare none = exactShare(0, 0, 0.05);
    EXPECT_FALSE(none.share || none.ciLow || none.ciHigh);
    for (std::size_t yes = 0; yes <= 9; ++yes) {  // analytic: the interval of n − x is 1 − that of x
        const ExactShare one = exactShare(yes, 9, 0.1);
        const ExactShare other = exactShare(9 - yes, 9, 0.1);
        EXPECT_TRUE(isClose(one.ciLow, 1.0 - *other.ciHigh, {.absolute = 1e-12}));
        EXPECT_LE(*one.ciLow, *one.share);
        EXPECT_GE(*one.ciHigh, *one.share);
    }
}

TEST(McNemar, AgreesWithR) {
    auto r = test::readReferenceValues("tolerance.csv");
    const std::array<std::array<std::size_t, 4>, 5> cases{
        {{2, 6, 1, 3}, {0, 5, 0, 7}, {4, 3, 3, 2}, {1, 0, 1, 0}, {30, 25, 10, 35}}};
    for (const auto& [both, food, comparator, neither] : cases) {
        const std::string name = std::to_string(both) + "_" + std::to_string(food) + "_" +
                                 std::to_string(comparator) + "_" + std::to_string(neither);
        ASSERT_TRUE(r.contains("mcnemar_p_" + name)) << name;
        const McNemar result = mcNemar({both, food, comparator, neither}, 0.05);
        EXPECT_TRUE(isClose(result.p, r["mcnemar_p_" + name], eightDigits)) << name;
        EXPECT_TRUE(isClose(result.midP, r["mcnemar_midp_" + name], eightDigits)) << name;
        EXPECT_TRUE(isClose(result.ciLow, r["mcnemar_low_" + name], eightDigits)) << name;
        EXPECT_TRUE(isClose(result.ciHigh, r["mcnemar_high_" + name], eightDigits)) << name;
    }
}

TEST(McNemar, WithoutPairsOrUnlikeAnswersThereIsNoTest) {
    const McNemar empty = mcNemar({}, 0.05);
    EXPECT_FALSE(empty.p || empty.midP || empty.difference || empty.ciLow);
    EXPECT_EQ(empty.absentBecause, "there is no pair");
    const McNemar alike = mcNemar({3, 0, 0, 4}, 0.05);
    EXPECT_FALSE(alike.p || alike.midP);
    EXPECT_EQ(alike.difference, 0.0);
    EXPECT_LT(*alike.ciLow, 0.0);
    EXPECT_GT(*alike.ciHigh, 0.0);
    EXPECT_FALSE(alike.absentBecause.empty());
}

TEST(McNemar, SwappingTheFoodsTurnsTheSignAndKeepsP) {
    const McNemar one = mcNemar({2, 6, 1, 3}, 0.05);
    const McNemar other = mcNemar({2, 1, 6, 3}, 0.05);
    EXPECT_EQ(one.p, other.p);
    EXPECT_EQ(one.midP, other.midP);
    EXPECT_EQ(*one.difference, -*other.difference);
    EXPECT_TRUE(isClose(one.ciLow, -*other.ciHigh, {.absolute = 1e-15}));
}

TEST(PairedSuperiority, AgreesWithR) {
    auto r = test::readReferenceValues("tolerance.csv");
    const std::vector<double> food{2, 1, 3, 0, 2, 1, 2, 3, 0, 1};
    const std::vector<double> comparator{1, 1, 1, 0, 0, 2, 1, 1, 0, 1};
    const PairedSuperiority s = pairedSuperiority(pairedDifferences(food, comparator), 0.05);
    EXPECT_EQ(s.higher, 5U);
    EXPECT_EQ(s.equal, 4U);
    EXPECT_EQ(s.lower, 1U);
    EXPECT_TRUE(isClose(s.probability, r.at("superiority"), eightDigits));
    EXPECT_TRUE(isClose(s.ciLow, r.at("superiority_low"), eightDigits));
    EXPECT_TRUE(isClose(s.ciHigh, r.at("superiority_high"), eightDigits));
    EXPECT_TRUE(isClose(s.winOdds, r.at("win_odds"), eightDigits));
    EXPECT_TRUE(isClose(s.winOddsLow, r.at("win_odds_low"), eightDigits));
    EXPECT_TRUE(isClose(s.winOddsHigh, r.at("win_odds_high"), eightDigits));
}

TEST(PairedSuperiority, DegeneratePairsHaveNoIntervalAndSayWhy) {
    const auto of = [](std::vector<double> d) { return pairedSuperiority(asDifferences(d), 0.05); };
    EXPECT_FALSE(of({}).probability);
    const PairedSuperiority one = of({1.0});
    EXPECT_EQ(one.probability, 1.0);
    EXPECT_FALSE(one.winOdds || one.ciLow);
    const PairedSuperiority equal = of({0.0, 0.0, 0.0});
    EXPECT_EQ(equal.probability, 0.5);
    EXPECT_EQ(equal.winOdds, 1.0);
    EXPECT_FALSE(equal.ciLow);
    EXPECT_FALSE(equal.intervalAbsentBecause.empty());
    const PairedSuperiority up = of({1.0, 2.0, 3.0});
    EXPECT_EQ(up.probability, 1.0);
    EXPECT_FALSE(up.ciHigh);
    EXPECT_FALSE(up.intervalAbsentBecause.empty());
}

}  // namespace
}  // namespace aftercurve
