#include "core/study/curve_series.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <random>

#include "tests/support/study_builder.h"

namespace aftercurve {

using test::StudyBuilder;
using testing::ElementsAre;

namespace {

StudyBuilder twoFoods() {
    StudyBuilder builder;
    builder.food("bread", FoodRole::control).food("oats", FoodRole::test).analyte("glucose", "mmol/L");
    return builder;
}

}  // namespace

TEST(CurveSeries, RowsMayComeInAnyOrder) {
    StudyBuilder builder = twoFoods();
    builder.curve("01", "bread", 1, {-5, 0, 15, 30}, {4.5, 4.6, 6.0, 7.0});
    builder.curve("01", "oats", 1, {-5, 0, 15, 30}, {4.4, 4.5, 5.0, 5.5});
    builder.curve("02", "bread", 1, {-5, 0, 15, 30}, {5.0, 5.1, 6.5, 7.5});
    const std::vector<CurveSeries> expected = curveSeriesOf(builder.study(), Plan{});
    ASSERT_EQ(expected.size(), 3U);

    std::mt19937_64 random{7};
    for (int round = 0; round < 50; ++round) {
        Study shuffled = builder.study();
        std::vector<std::size_t> order(shuffled.draws.size());
        for (std::size_t i = 0; i < order.size(); ++i) {
            order[i] = i;
        }
        std::shuffle(order.begin(), order.end(), random);
        for (std::size_t i = 0; i < order.size(); ++i) {
            shuffled.draws[i] = builder.study().draws[order[i]];
            shuffled.concentrations[0][i] = builder.study().concentrations[0][order[i]];
        }
        const std::vector<CurveSeries> got = curveSeriesOf(shuffled, shuffled.plan);
        ASSERT_EQ(got.size(), expected.size());
        for (std::size_t i = 0; i < got.size(); ++i) {
            EXPECT_EQ(got[i].timeMin, expected[i].timeMin);
            EXPECT_EQ(got[i].value, expected[i].value);
            EXPECT_EQ(got[i].subject, expected[i].subject);
            EXPECT_EQ(got[i].food, expected[i].food);
        }
    }
}

TEST(CurveSeries, TwoValuesAtOneTimeMakeTheCurveUnusableAndNameBothRows) {
    StudyBuilder builder = twoFoods();
    builder.curve("01", "bread", 1, {0, 15, 15, 30}, {4.5, 6.0, 6.2, 7.0});
    const auto curves = curveSeriesOf(builder.study(), Plan{});
    ASSERT_EQ(curves.size(), 1U);
    EXPECT_EQ(curves[0].flaw, "two glucose values at 15 min (samples.csv:3 and samples.csv:4)");
}

TEST(CurveSeries, AnAnalyteMayStandInRowsOfItsOwn) {
    StudyBuilder builder = twoFoods();
    builder.analyte("insulin", "pmol/L");
    builder.curve("01", "bread", 1, {0, 15}, {4.5, 6.0}, "glucose");
    builder.curve("01", "bread", 1, {0, 15}, {40.0, 180.0}, "insulin");
    const auto curves = curveSeriesOf(builder.study(), Plan{});
    ASSERT_EQ(curves.size(), 2U);
    for (const CurveSeries& curve : curves) {
        EXPECT_EQ(curve.flaw, "");
        EXPECT_THAT(curve.timeMin, ElementsAre(0.0, 15.0));
        EXPECT_TRUE(curve.missingTimeMin.empty());
    }
}

TEST(CurveSeries, EmptyCellsAreGapsAndNeverZero) {
    StudyBuilder builder = twoFoods();
    builder.curve("01", "bread", 1, {0, 15, 30}, {4.5, std::nullopt, 7.0});
    const auto curves = curveSeriesOf(builder.study(), Plan{});
    EXPECT_THAT(curves[0].timeMin, ElementsAre(0.0, 30.0));
    EXPECT_THAT(curves[0].missingTimeMin, ElementsAre(15.0));
}

TEST(CurveSeries, ACellThatCannotBeReadTakesItsOwnCurveOnly) {
    StudyBuilder builder = twoFoods();
    builder.curve("01", "bread", 1, {0, 15}, {4.5, std::nullopt});
    builder.curve("01", "oats", 1, {0, 15}, {4.5, 5.0});
    builder.study().flaws.push_back({1, 0, "'high' is not a number"});
    const auto curves = curveSeriesOf(builder.study(), Plan{});
    EXPECT_EQ(curves[0].flaw, "'high' is not a number (samples.csv:3)");
    EXPECT_EQ(curves[1].flaw, "");
}

TEST(CurveSeries, AnExclusionTakesWhatItNamesAndNoMore) {
    StudyBuilder builder = twoFoods();
    builder.curve("01", "bread", 1, {0, 15}, {4.5, 6.0});
    builder.curve("01", "bread", 2, {0, 15}, {4.5, 6.0});
    builder.curve("01", "oats", 1, {0, 15}, {4.5, 6.0});
    builder.curve("02", "bread", 2, {0, 15}, {4.5, 6.0});
    builder.study().exclusions.push_back(
        {"01", "bread", 2, "", "ate on the way", "study nurse", "2026-03-02"});
    const auto curves = curveSeriesOf(builder.study(), Plan{});
    ASSERT_EQ(curves.size(), 4U);
    EXPECT_FALSE(curves[0].excluded);
    EXPECT_TRUE(curves[1].excluded);
    EXPECT_EQ(curves[1].excludedBecause, "ate on the way");
    EXPECT_FALSE(curves[2].excluded);
    EXPECT_FALSE(curves[3].excluded);

    builder.study().exclusions = {{"01", "", std::nullopt, "", "", "", ""}};
    const auto wholeSubject = curveSeriesOf(builder.study(), Plan{});
    EXPECT_EQ(
        std::count_if(wholeSubject.begin(), wholeSubject.end(), [](const auto& c) { return c.excluded; }), 3);
    EXPECT_EQ(wholeSubject[0].excludedBecause, "no reason given");
}

TEST(CurveSeries, OneVisitWithTwoPeriodsIsTold) {
    StudyBuilder builder = twoFoods();
    builder.curve("01", "bread", 1, {0, 15}, {4.5, 6.0});
    builder.study().draws[0].period = 1;
    builder.study().draws[1].period = 2;
    EXPECT_EQ(curveSeriesOf(builder.study(), Plan{})[0].periodConflict,
              "rows of this visit name periods 1 and 2");
}

TEST(CurveSeries, NoDrawsNoCurves) {
    EXPECT_TRUE(curveSeriesOf(twoFoods().study(), Plan{}).empty());
}

}  // namespace aftercurve
