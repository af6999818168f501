#include "core/compare/one_way.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <limits>
#include <map>

#include "tests/support/close.h"
#include "tests/support/reference_csv.h"

namespace aftercurve {
namespace {

using test::isClose;

std::map<std::string, std::vector<OneWayRow>> referenceRows() {
    std::map<std::string, std::vector<OneWayRow>> cases;
    for (const auto& row : test::readReference("digestion_rows.csv")) {
        cases[row.text("case")].push_back({static_cast<std::size_t>(*row.number("group")),
                                           static_cast<std::size_t>(*row.number("run")),
                                           *row.number("value")});
    }
    return cases;
}

// tests/reference/digestion.R: drop1 of lm, ptukey and qtukey of the contrasts, checked there against aov and
// TukeyHSD.
TEST(OneWay, AgreesWithR) {
    const auto cases = referenceRows();
    std::size_t tests = 0;
    for (const auto& expected : test::readReference("digestion_tests.csv")) {
        const OneWay result = oneWay(cases.at(expected.text("case")));
        ASSERT_EQ(result.absentBecause, "");
        EXPECT_TRUE(isClose(result.f, *expected.number("f"), {.relative = 1e-10}));
        EXPECT_TRUE(isClose(result.p, *expected.number("p"), {.relative = 1e-10}));
        EXPECT_TRUE(isClose(result.residualSd, *expected.number("residual_sd"), {.relative = 1e-11}));
        EXPECT_EQ(result.denominatorDf, expected.number("den_df"));
        EXPECT_EQ(result.numeratorDf, expected.number("num_df"));
        ++tests;
    }
    EXPECT_EQ(tests, 8U);
}

TEST(OneWay, PairsAgreeWithR) {
    const auto cases = referenceRows();
    std::size_t pairs = 0;
    for (const auto& expected : test::readReference("digestion_pairs.csv")) {
        const OneWay result = oneWay(cases.at(expected.text("case")));
        const auto pair = std::find_if(result.differences.begin(), result.differences.end(),
                                       [&](const OneWayDifference& d) {
                                           return static_cast<double>(d.group) == *expected.number("group") &&
                                                  static_cast<double>(d.minus) == *expected.number("minus");
                                       });
        ASSERT_NE(pair, result.differences.end());
        EXPECT_TRUE(isClose(pair->estimate, *expected.number("estimate"), {.relative = 1e-10}));
        EXPECT_TRUE(isClose(pair->se, *expected.number("se"), {.relative = 1e-10}));
        EXPECT_TRUE(isClose(pair->p, *expected.number("p"), {.relative = 1e-9}));
        // R's ptukey is off by up to 1e-7, its qtukey by some 1e-4 (where two groups make p that of F, ours
        // has all digits).
        EXPECT_TRUE(
            isClose(pair->pAdjusted, *expected.number("p_tukey"), {.absolute = 2e-7, .relative = 0.0}));
        EXPECT_TRUE(isClose(pair->ciLow, *expected.number("low"), {.absolute = 1e-3}));
        EXPECT_TRUE(isClose(pair->ciHigh, *expected.number("high"), {.absolute = 1e-3}));
        ++pairs;
    }
    EXPECT_GT(pairs, 40U);
}

TEST(OneWay, WorkedByHand) {
    // Groups {1, 3} and {5, 7}: means 2 and 6, residual SS 4 on 2 df, between SS 16: F = 8, t = √8.
    const std::vector<OneWayRow> rows{{0, 0, 1.0}, {0, 0, 3.0}, {1, 0, 5.0}, {1, 0, 7.0}};
    const OneWay result = oneWay(rows);
    EXPECT_TRUE(isClose(result.f, 8.0, {.relative = 1e-14}));
    ASSERT_EQ(result.differences.size(), 1U);
    EXPECT_TRUE(isClose(result.differences[0].estimate, 4.0, {.relative = 1e-14}));
    // Of two groups Tukey's p is that of t, which is that of F.
    EXPECT_TRUE(isClose(result.differences[0].pAdjusted, *result.p, {.relative = 1e-9}));
}

TEST(OneWay, DunnettOfOnePairIsItsT) {
    const std::vector<OneWayRow> rows{{0, 0, 1.0}, {0, 0, 3.0}, {1, 0, 5.0}, {1, 0, 8.0}};
    OneWayOptions options;
    options.family = OneWayFamily::dunnett;
    options.control = 0;
    const OneWay result = oneWay(rows, options);
    ASSERT_EQ(result.differences.size(), 1U);
    EXPECT_TRUE(isClose(result.differences[0].pAdjusted, *result.differences[0].p, {.relative = 1e-9}));
}

// tests/reference/digestion_dunnett.R: contrasts of lm, judged by mvtnorm; with and without runs as blocks,
// and with values missing.
TEST(OneWay, DunnettAgreesWithR) {
    const auto cases = referenceRows();
    OneWayOptions options;
    options.family = OneWayFamily::dunnett;
    options.control = 0;
    std::size_t pairs = 0;
    for (const auto& expected : test::readReference("digestion_dunnett.csv")) {
        const OneWay result = oneWay(cases.at(expected.text("case")), options);
        const auto pair = std::find_if(
            result.differences.begin(), result.differences.end(),
            [&](const auto& d) { return static_cast<double>(d.group) == *expected.number("group"); });
        ASSERT_NE(pair, result.differences.end());
        EXPECT_EQ(pair->minus, 0U);
        EXPECT_TRUE(isClose(pair->estimate, *expected.number("estimate"), {.relative = 1e-6}));
        EXPECT_TRUE(
            isClose(pair->pAdjusted, *expected.number("p_dunnett"), {.absolute = 3e-6, .relative = 0.0}))
            << expected.text("case");
        const double half = 0.5 * (*expected.number("high") - *expected.number("low"));
        EXPECT_TRUE(isClose(pair->ciLow, *expected.number("low"), {.absolute = 1e-5 * half, .relative = 0.0}))
            << expected.text("case");
        EXPECT_TRUE(
            isClose(pair->ciHigh, *expected.number("high"), {.absolute = 1e-5 * half, .relative = 0.0}));
        ++pairs;
    }
    EXPECT_EQ(pairs, 23U);
}

TEST(OneWay, DunnettLiesBetweenThePairAloneAndBonferroni) {
    OneWayOptions options;
    options.family = OneWayFamily::dunnett;
    options.control = 0;
    const OneWay result = oneWay(referenceRows().at("3"), options);
    ASSERT_EQ(result.differences.size(), 3U);
    for (const OneWayDifference& pair : result.differences) {
        EXPECT_EQ(pair.minus, 0U);
        ASSERT_TRUE(pair.pAdjusted) << pair.absentBecause;
        EXPECT_GE(*pair.pAdjusted, *pair.p);
        EXPECT_LE(*pair.pAdjusted, 3.0 * *pair.p * (1.0 + 1e-9));
        // The interval and the test say the same.
        EXPECT_EQ(*pair.ciLow > 0.0 || *pair.ciHigh < 0.0, *pair.pAdjusted < 0.05);
    }
}

TEST(OneWay, ScaleShiftAndOrderDoNotMatter) {
    const std::vector<OneWayRow> rows = referenceRows().at("7");
    const OneWay plain = oneWay(rows);
    std::vector<OneWayRow> moved(rows.rbegin(), rows.rend());
    for (OneWayRow& row : moved) {
        row.value = row.value * 1e150 + 1e151;
        row.group = 10 + 3 * row.group;
    }
    const OneWay result = oneWay(moved);
    EXPECT_TRUE(isClose(result.f, *plain.f, {.relative = 1e-9}));
    ASSERT_EQ(result.differences.size(), plain.differences.size());
    for (std::size_t i = 0; i < result.differences.size(); ++i) {
        EXPECT_TRUE(isClose(result.differences[i].pAdjusted, *plain.differences[i].pAdjusted,
                            {.absolute = 1e-12, .relative = 1e-8}));
        EXPECT_TRUE(isClose(*result.differences[i].estimate / 1e150, *plain.differences[i].estimate,
                            {.absolute = 1e-9, .relative = 1e-9}));
    }
}

TEST(OneWay, WhatCannotBeTestedSaysWhy) {
    const auto why = [](const std::vector<OneWayRow>& rows) {
        const OneWay result = oneWay(rows);
        EXPECT_FALSE(result.f);
        EXPECT_FALSE(result.p);
        for (const OneWayDifference& pair : result.differences) {
            EXPECT_FALSE(pair.p);
            EXPECT_NE(pair.absentBecause, "");
        }
        return result.absentBecause;
    };
    EXPECT_EQ(why({}), "there is no value");
    EXPECT_EQ(why({{0, 0, 1.0}, {0, 0, 2.0}}), "there is one group only");
    EXPECT_NE(why({{0, 0, 1.0}, {1, 0, 2.0}}).find("nothing is left"), std::string::npos);
    EXPECT_NE(why({{0, 0, 0.1}, {0, 0, 0.1}, {1, 0, 0.3}, {1, 0, 0.3}}).find("no scatter"),
              std::string::npos);
    EXPECT_NE(why({{0, 0, 5.0}, {0, 0, 5.0}, {1, 0, 5.0}, {1, 0, 5.0}}).find("no scatter"),
              std::string::npos);
    EXPECT_NE(why({{0, 0, 1.0}, {0, 0, 2.0}, {1, 1, 3.0}, {1, 1, 5.0}}).find("cannot be told apart"),
              std::string::npos);
    EXPECT_NE(
        why({{0, 0, 1.0}, {0, 0, std::numeric_limits<double>::infinity()}, {1, 0, 2.0}}).find("not a finite"),
        std::string::npos);
}

TEST(OneWay, WithoutScatterTheDifferenceIsStillTold) {
    const OneWay result = oneWay(std::vector<OneWayRow>{{0, 0, 1.0}, {0, 0, 1.0}, {1, 0, 3.0}, {1, 0, 3.0}});
    ASSERT_EQ(result.differences.size(), 1U);
    EXPECT_TRUE(isClose(result.differences[0].estimate, 2.0, {.relative = 1e-12}));
}

}  // namespace
}  // namespace aftercurve
