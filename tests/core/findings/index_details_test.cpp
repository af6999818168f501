// The index in several ways, compared, per portion and for meals. The values of IndexDetailsReference are
// those of tests/reference/index_details.R.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <map>
#include <nlohmann/json.hpp>

#include "core/findings/analyse.h"
#include "core/findings/explain.h"
#include "core/findings/index_pairs.h"
#include "core/findings/index_portions.h"
#include "core/findings/index_sentences.h"
#include "core/findings/index_ways.h"
#include "core/findings/results_json.h"
#include "core/findings/table.h"
#include "tests/support/close.h"
#include "tests/support/reference_table.h"
#include "tests/support/study_builder.h"

namespace aftercurve {
namespace {

using test::isClose;
using test::ReferenceTable;
using testing::HasSubstr;
using testing::Not;

/// A curve with an incremental area of 60 × rise.
void addRise(test::StudyBuilder& builder, const std::string& subject, const std::string& food, int visit,
             const std::optional<double>& rise) {
    if (rise) {
        builder.curve(subject, food, visit, {0, 60, 120}, {5.0, 5.0 + *rise, 5.0});
    }
}

Study threeFoods() {
    test::StudyBuilder builder;
    builder.food("drink", FoodRole::reference)
        .food("barley", FoodRole::test)
        .food("wafer", FoodRole::test)
        .analyte("glucose", "mmol/L");
    builder.study().plan.resamples = 0;
    return builder.study();
}

Study studyOfCases() {
    test::StudyBuilder builder;
    builder.study() = threeFoods();
    const ReferenceTable cases{std::filesystem::path{TEST_REFERENCE} / "index_details_cases.csv"};
    for (std::size_t row = 0; row < cases.rowCount(); ++row) {
        const std::string subject = cases.text(row, "subject");
        addRise(builder, subject, "drink", 1, cases.number(row, "reference_1"));
        addRise(builder, subject, "drink", 2, cases.number(row, "reference_2"));
        addRise(builder, subject, "barley", 1, cases.number(row, "barley"));
        addRise(builder, subject, "wafer", 1, cases.number(row, "wafer"));
    }
    return builder.study();
}

/// Subjects 01, 02, ...; rises of the drink 4, 5, ..., of both foods the shares given.
Study studyOfShares(const std::vector<double>& barley, const std::vector<double>& wafer) {
    test::StudyBuilder builder;
    builder.study() = threeFoods();
    for (std::size_t s = 0; s < barley.size(); ++s) {
        const std::string subject = "0" + std::to_string(s + 1);
        const double rise = 4.0 + static_cast<double>(s);
        addRise(builder, subject, "drink", 1, rise);
        addRise(builder, subject, "barley", 1, rise * barley[s]);
        addRise(builder, subject, "wafer", 1, rise * wafer[s]);
    }
    return builder.study();
}

Findings analysedOf(const Study& study) {
    auto findings = analyse(study, study.plan);
    EXPECT_TRUE(findings.ok());
    return findings.ok() ? std::move(findings).value() : Findings{};
}

std::map<std::string, double> expectedValues() {
    const ReferenceTable table{std::filesystem::path{TEST_REFERENCE} / "index_details.csv"};
    std::map<std::string, double> values;
    for (std::size_t row = 0; row < table.rowCount(); ++row) {
        values[table.text(row, "name")] = table.number(row, "value").value();
    }
    return values;
}

const IndexWay& wayOf(const Findings& findings, const std::string& food, IndexWayKind kind) {
    for (const IndexWay& way : findings.indexWays) {
        if (way.food == food && way.way == kind) {
            return way;
        }
    }
    throw std::runtime_error("no such way");
}

const IndexPair& pairOf(const Findings& findings, const std::string& food, const std::string& comparator) {
    for (const IndexPair& pair : findings.indexPairs) {
        if (pair.food == food && pair.comparator == comparator) {
            return pair;
        }
    }
    throw std::runtime_error("no such pair");
}

constexpr test::Tolerance close{.absolute = 1e-11, .relative = 1e-8};

TEST(IndexDetailsReference, WaysAgreeWithR) {
    const auto expected = expectedValues();
    const Findings findings = analysedOf(studyOfCases());
    ASSERT_EQ(findings.indexWays.size(), 16U);
    for (const std::string food : {"barley", "wafer"}) {
        for (const IndexWayKind kind : {IndexWayKind::meanOfRatios, IndexWayKind::ratioOfMeans,
                                        IndexWayKind::geometricMean, IndexWayKind::median}) {
            const IndexWay& way = wayOf(findings, food, kind);
            const std::string name = food + "_" + keyOf(kind);
            EXPECT_TRUE(isClose(way.estimate, expected.at(name), close)) << name;
            EXPECT_TRUE(isClose(way.ciLow, expected.at(name + "_low"), close)) << name;
            EXPECT_TRUE(isClose(way.ciHigh, expected.at(name + "_high"), close)) << name;
        }
        const IndexWay& means = wayOf(findings, food, IndexWayKind::ratioOfMeans);
        EXPECT_EQ(means.set, "bounded");
        EXPECT_TRUE(isClose(means.covarianceTerm, expected.at(food + "_covariance_term"), close));
        // The identity: the term is the difference.
        EXPECT_TRUE(isClose(means.difference, *means.covarianceTerm, {.absolute = 1e-11}));
    }
}

TEST(IndexDetailsReference, OutlierRulesAgreeWithR) {
    const auto expected = expectedValues();
    const Findings findings = analysedOf(studyOfCases());
    ASSERT_EQ(findings.indexOutliers.size(), 6U);
    for (const IndexOutliers& row : findings.indexOutliers) {
        const std::string rule = row.rule == IndexOutlierRule::none        ? "none"
                                 : row.rule == IndexOutlierRule::twoSdOnce ? "once"
                                                                           : "repeated";
        const std::string name = row.food + "_" + rule;
        EXPECT_EQ(static_cast<double>(row.index.n), expected.at(name + "_n")) << name;
        EXPECT_EQ(static_cast<double>(row.index.outlierPasses), expected.at(name + "_passes")) << name;
        EXPECT_TRUE(isClose(row.index.mean, expected.at(name + "_mean"), close)) << name;
        EXPECT_TRUE(isClose(row.index.sd, expected.at(name + "_sd"), close)) << name;
        EXPECT_TRUE(isClose(row.index.ciLow, expected.at(name + "_low"), close)) << name;
        EXPECT_TRUE(isClose(row.index.ciHigh, expected.at(name + "_high"), close)) << name;
        EXPECT_EQ(row.planned, row.rule == IndexOutlierRule::none);
        EXPECT_EQ(row.leftOut.size() + row.index.n, row.food == "barley" ? 14U : 13U) << name;
    }
}

TEST(IndexDetailsReference, PairsAgreeWithR) {
    const auto expected = expectedValues();
    const Findings findings = analysedOf(studyOfCases());
    ASSERT_EQ(findings.indexPairs.size(), 3U);
    for (const IndexPair& pair : findings.indexPairs) {
        const std::string name = pair.food + "_" + (pair.withReference ? "reference" : pair.comparator) + "_";
        EXPECT_EQ(static_cast<double>(pair.t.n), expected.at(name + "n"));
        EXPECT_TRUE(isClose(pair.t.meanDifference, expected.at(name + "mean"), close)) << name;
        EXPECT_TRUE(isClose(pair.t.ciLow, expected.at(name + "low"), close)) << name;
        EXPECT_TRUE(isClose(pair.t.ciHigh, expected.at(name + "high"), close)) << name;
        EXPECT_TRUE(isClose(pair.t.t, expected.at(name + "t"), close)) << name;
        EXPECT_TRUE(isClose(pair.t.p, expected.at(name + "p"), close)) << name;
        EXPECT_TRUE(isClose(pair.pAdjusted, expected.at(name + "p_adjusted"), close)) << name;
        EXPECT_TRUE(isClose(pair.signedRank.v, expected.at(name + "v"), close)) << name;
        EXPECT_TRUE(isClose(pair.signedRank.p, expected.at(name + "signed_rank_p"), close)) << name;
        EXPECT_TRUE(isClose(pair.hodgesLehmann.estimate, expected.at(name + "hodges_lehmann"), close))
            << name;
        EXPECT_TRUE(isClose(pair.effect.dz, expected.at(name + "dz"), close)) << name;
    }
    EXPECT_THAT(pairOf(findings, "barley", "wafer").subjects[4].leftOutBecause,
                HasSubstr("no visit with wafer"));
}

TEST(IndexWays, NoIndexNoDetails) {
    Study study = studyOfCases();
    study.plan.index = false;
    study.foods[1].parts = {{"a", 10.0, 50.0, IndexScale::glucose, ""}};
    const Findings findings = analysedOf(study);
    EXPECT_TRUE(findings.indexWays.empty() && findings.indexOutliers.empty() && findings.indexPairs.empty() &&
                findings.indexPortions.empty() && findings.meals.empty());
}

TEST(IndexWays, BootstrapIsTheSameInEveryRunAndAbsentWithoutResamples) {
    Study study = studyOfCases();
    const Findings none = analysedOf(study);
    const IndexWay& absent = wayOf(none, "barley", IndexWayKind::ratioOfMeansBca);
    EXPECT_FALSE(absent.ciLow || absent.ciHigh);
    EXPECT_THAT(absent.remark, HasSubstr("resamples: 0"));
    study.plan.resamples = 999;
    const Findings one = analysedOf(study);
    const Findings two = analysedOf(study);
    for (const IndexWayKind kind : {IndexWayKind::meanOfRatiosBca, IndexWayKind::meanOfRatiosPercentile,
                                    IndexWayKind::ratioOfMeansBca, IndexWayKind::ratioOfMeansPercentile}) {
        const IndexWay& way = wayOf(one, "wafer", kind);
        ASSERT_TRUE(way.ciLow && way.ciHigh) << keyOf(kind) << ": " << way.remark;
        EXPECT_LT(*way.ciLow, *way.estimate);
        EXPECT_GT(*way.ciHigh, *way.estimate);
        EXPECT_EQ(way.ciLow, wayOf(two, "wafer", kind).ciLow);
    }
}

// Fieller's set of references that scatter about 0 on a large scale is not bounded: no interval without the
// word.
TEST(IndexWays, AnUnboundedSetSaysSo) {
    test::StudyBuilder builder;
    builder.study() = threeFoods();
    for (const auto& [subject, drink, food] : {std::tuple{"01", 0.1, 2.0}, std::tuple{"02", 20.0, 3.0}}) {
        addRise(builder, subject, "drink", 1, drink);
        addRise(builder, subject, "barley", 1, food);
    }
    const Findings findings = analysedOf(builder.study());
    const IndexWay& means = wayOf(findings, "barley", IndexWayKind::ratioOfMeans);
    EXPECT_TRUE(means.set == "outside" || means.set == "whole-line") << means.set;
    EXPECT_THAT(means.remark, HasSubstr("not bounded"));
}

TEST(IndexWays, AFoodWithoutAnyRiseHasNoGeometricMean) {
    const Findings findings = analysedOf(studyOfShares({0.0, 0.5, 0.6}, {0.7, 0.8, 0.9}));
    const IndexWay& geometric = wayOf(findings, "barley", IndexWayKind::geometricMean);
    EXPECT_FALSE(geometric.estimate || geometric.ciLow);
    EXPECT_FALSE(geometric.remark.empty());
    EXPECT_TRUE(wayOf(findings, "barley", IndexWayKind::meanOfRatios).estimate);
    EXPECT_TRUE(wayOf(findings, "wafer", IndexWayKind::geometricMean).ciLow);
}

TEST(IndexWays, OneSubjectHasEstimatesAndNoIntervals) {
    const Findings findings = analysedOf(studyOfShares({0.5}, {0.7}));
    for (const IndexWay& way : findings.indexWays) {
        ASSERT_TRUE(way.estimate) << keyOf(way.way);
        EXPECT_TRUE(isClose(way.estimate, way.food == "barley" ? 50.0 : 70.0, {.relative = 1e-12}));
        EXPECT_FALSE(way.ciLow || way.ciHigh) << keyOf(way.way);
        EXPECT_FALSE(way.remark.empty()) << keyOf(way.way);
    }
    for (const IndexPair& pair : findings.indexPairs) {
        EXPECT_FALSE(pair.t.p || pair.pAdjusted);
        EXPECT_FALSE(pair.t.absentBecause.empty());
    }
}

TEST(IndexWays, NoSubjectNoNumber) {
    test::StudyBuilder builder;
    builder.study() = threeFoods();
    addRise(builder, "01", "drink", 1, 4.0);
    const Findings findings = analysedOf(builder.study());
    ASSERT_EQ(findings.indexWays.size(), 16U);
    for (const IndexWay& way : findings.indexWays) {
        EXPECT_EQ(way.n, 0U);
        EXPECT_FALSE(way.estimate || way.ciLow || way.difference || way.covarianceTerm);
        EXPECT_FALSE(way.remark.empty()) << keyOf(way.way);
    }
    EXPECT_EQ(pairOf(findings, "barley", "drink").t.n, 0U);
    EXPECT_TRUE(indexWaysSentence(studyOfCases(), findings.indexWays).empty());
}

TEST(IndexPairs, EqualDifferencesHaveNoTest) {
    // Both foods at one share in every subject: every difference is −20.
    const Findings findings = analysedOf(studyOfShares({0.5, 0.5, 0.5}, {0.7, 0.7, 0.7}));
    const IndexPair& pair = pairOf(findings, "barley", "wafer");
    EXPECT_TRUE(isClose(pair.t.meanDifference, -20.0, {.relative = 1e-12}));
    EXPECT_FALSE(pair.t.p || pair.t.ciLow || pair.effect.dz);
    EXPECT_TRUE(pairOf(findings, "barley", "drink").withReference);
    EXPECT_EQ(pairOf(findings, "barley", "drink").subjects[0].comparator, 100.0);
}

TEST(IndexPairs, TheRuleThatLeavesOutASubjectLeavesOutItsPair) {
    Study study = studyOfCases();
    study.plan.indexOutlierRule = IndexOutlierRule::twoSdRepeated;
    const Findings findings = analysedOf(study);
    EXPECT_EQ(pairOf(findings, "barley", "drink").t.n, 11U);
    EXPECT_THAT(pairOf(findings, "barley", "drink").subjects[2].leftOutBecause, HasSubstr("outlier rule"));
}

TEST(IndexPairs, TheSentenceNeverSaysNoDifference) {
    const Study study = studyOfShares({0.5, 0.9, 0.7, 0.6}, {0.6, 0.8, 0.75, 0.61});
    const Findings findings = analysedOf(study);
    const IndexPair& pair = pairOf(findings, "barley", "wafer");
    ASSERT_GT(pair.pAdjusted.value(), 0.05);
    const std::string text = indexPairSentence(study, study.plan, pair);
    EXPECT_THAT(text, HasSubstr("not evidence that they are alike"));
    EXPECT_THAT(text, Not(HasSubstr("no difference")));
}

TEST(IndexPairs, TheWorkingShowsTheValuesOfThisPairAlone) {
    const Study study = studyOfCases();
    const Findings findings = analysedOf(study);
    const Table pairs = buildTable("index_pairs", study, findings);
    const Table values = buildTable("index_pair_subjects", study, findings);
    const std::string text =
        workingOf(pairs, 0, 4, [&](std::string_view key) { return key == values.key ? &values : nullptr; });
    std::size_t count = 0;
    for (std::size_t at = text.find("\n    01: "); at != std::string::npos;
         at = text.find("\n    01: ", at + 1)) {
        ++count;
    }
    EXPECT_EQ(count, 1U) << text;
}

Study matchedStudy() {
    Study study = studyOfShares({0.5, 0.9, 0.7, 0.6}, {0.6, 0.8, 0.75, 0.61});
    study.foods[0].availableCarbohydrateG = 50.0;
    study.foods[1].availableCarbohydrateG = 54.0;
    study.foods[1].portionG = 120.0;
    study.foods[1].composition.servingG = 30.0;
    study.foods[2].availableCarbohydrateG = 25.0;
    return study;
}

const IndexPortion& portionOf(const Findings& findings, const std::string& food) {
    for (const IndexPortion& portion : findings.indexPortions) {
        if (portion.food == food) {
            return portion;
        }
    }
    throw std::runtime_error("no such portion");
}

std::size_t problemsWith(const Findings& findings, const std::string& text) {
    std::size_t count = 0;
    for (const Problem& problem : findings.problems) {
        count += problem.what.find(text) != std::string::npos ? 1U : 0U;
    }
    return count;
}

// Mean of 50, 90, 70, 60 is 67.5; × 0.7 = 47.25; load of 54 g: 25.515, of a quarter of the portion 6.37875.
TEST(IndexPortions, LoadFollowsTheGlucoseScale) {
    Study study = matchedStudy();
    study.plan.indexPlan.referenceFactor = 0.7;
    study.plan.indexPlan.referenceFactorSource = "printed tables";
    const Findings findings = analysedOf(study);
    const IndexPortion& barley = portionOf(findings, "barley");
    EXPECT_EQ(barley.matched, true);
    EXPECT_TRUE(isClose(barley.mismatchPercent, 8.0, {.relative = 1e-12}));
    EXPECT_TRUE(isClose(barley.index.estimate, 67.5, {.relative = 1e-12}));
    EXPECT_TRUE(isClose(barley.glucoseScale.estimate, 47.25, {.relative = 1e-12}));
    EXPECT_TRUE(isClose(barley.load.estimate, 25.515, {.relative = 1e-12}));
    EXPECT_TRUE(isClose(barley.servingLoad.estimate, 6.37875, {.relative = 1e-12}));
    EXPECT_TRUE(isClose(barley.load.low, 0.54 * 0.7 * *barley.index.low, {.relative = 1e-12}));
    EXPECT_EQ(barley.indexClass, "low");
    EXPECT_FALSE(barley.relativeResponse.estimate);
    const std::string text = indexPortionSentence(study, study.plan, barley);
    EXPECT_THAT(text, HasSubstr("factor 0.7, printed tables"));
    EXPECT_THAT(text, HasSubstr("glycaemic load was 25.5 g"));
}

TEST(IndexPortions, AnUnmatchedPortionHasARelativeResponseAndNoIndex) {
    const Study study = matchedStudy();
    const Findings findings = analysedOf(study);
    const IndexPortion& wafer = portionOf(findings, "wafer");
    EXPECT_EQ(wafer.matched, false);
    EXPECT_TRUE(isClose(wafer.relativeResponse.estimate, 69.0, {.relative = 1e-12}));
    EXPECT_FALSE(wafer.index.estimate || wafer.glucoseScale.estimate || wafer.load.estimate || wafer.factor);
    EXPECT_TRUE(wafer.indexClass.empty());
    EXPECT_EQ(problemsWith(findings, "relative response of the portion and no index"), 1U);
    EXPECT_THAT(indexPortionSentence(study, study.plan, wafer), HasSubstr("relative response and no index"));
    EXPECT_THAT(buildTable("index_ways", study, findings).notes.back(), HasSubstr("Label of wafer"));
    EXPECT_THAT(buildTable("index_pairs", study, findings).notes.back(), HasSubstr("Label of wafer"));
    // At the tolerance itself it still counts as matched.
    Study wide = study;
    wide.plan.indexPlan.matchTolerancePercent = 50.0;
    EXPECT_EQ(portionOf(analysedOf(wide), "wafer").matched, true);
}

TEST(IndexPortions, WithoutCarbohydrateThereIsNoLoad) {
    const Study study = studyOfShares({0.5, 0.9, 0.7, 0.6}, {0.6, 0.8, 0.75, 0.61});
    const IndexPortion barley = portionOf(analysedOf(study), "barley");
    EXPECT_FALSE(barley.matched || barley.load.estimate);
    EXPECT_TRUE(barley.index.estimate);
    EXPECT_THAT(barley.remark, HasSubstr("not known"));
    EXPECT_THAT(barley.remark, HasSubstr("no load"));
}

TEST(IndexPortions, OnlyGlucoseHasAScaleAndAClass) {
    Study study = matchedStudy();
    study.analytes[0].id = "insulin";
    const IndexPortion barley = portionOf(analysedOf(study), "barley");
    EXPECT_TRUE(barley.index.estimate);
    EXPECT_FALSE(barley.factor || barley.glucoseScale.estimate || barley.load.estimate);
    EXPECT_TRUE(barley.indexClass.empty());
}

// Parts 40 g × 60 and 14 g × 80 × 0.7: (2400 + 784)/54 = 58.962963; observed 67.5.
TEST(Meals, PredictedStandsBesideObserved) {
    Study study = matchedStudy();
    study.foods[1].parts = {{"barley", 40.0, 60.0, IndexScale::glucose, "invented"},
                            {"jam", 14.0, 80.0, IndexScale::whiteBread, "invented"}};
    const Findings findings = analysedOf(study);
    ASSERT_EQ(findings.meals.size(), 1U);
    const MealFinding& meal = findings.meals[0];
    EXPECT_TRUE(isClose(meal.predicted.index, 3184.0 / 54.0, {.relative = 1e-12}));
    EXPECT_TRUE(isClose(meal.predicted.load, 31.84, {.relative = 1e-12}));
    EXPECT_TRUE(isClose(meal.observed.estimate, 67.5, {.relative = 1e-12}));
    EXPECT_TRUE(isClose(meal.difference, 67.5 - 3184.0 / 54.0, {.relative = 1e-11}));
    EXPECT_EQ(meal.holds, true);
    EXPECT_TRUE(isClose(meal.mismatchPercent, 0.0, {.absolute = 1e-12}));
    EXPECT_EQ(problemsWith(findings, "× 0.70"), 1U);
    const std::string text = mealSentence(study, study.plan, meal);
    EXPECT_THAT(text, HasSubstr("the interval holds the predicted value"));
    EXPECT_THAT(text, Not(HasSubstr("agree")));
    study.plan.indexPlan.referenceFactor = 0.71;
    const Findings planned = analysedOf(study);
    EXPECT_EQ(planned.meals[0].breadFactor, 0.71);
    EXPECT_EQ(problemsWith(planned, "× 0.70"), 0U);
}

TEST(Meals, PartsThatDoNotAddUpAreTold) {
    Study study = matchedStudy();
    study.foods[1].parts = {{"barley", 20.0, 60.0, IndexScale::glucose, ""}};
    const Findings findings = analysedOf(study);
    EXPECT_EQ(problemsWith(findings, "the parts of the meal barley hold 20 g"), 1U);
    study.foods[1].parts = {{"water", 0.0, 60.0, IndexScale::glucose, ""}};
    const Findings none = analysedOf(study);
    EXPECT_FALSE(none.meals[0].predicted.index || none.meals[0].difference || none.meals[0].holds);
    EXPECT_EQ(problemsWith(none, "no index is predicted"), 1U);
}

TEST(Meals, TheReferenceAsAMealHasNoObservedIndex) {
    Study study = matchedStudy();
    study.foods[0].parts = {{"glucose", 50.0, 100.0, IndexScale::glucose, ""}};
    const Findings findings = analysedOf(study);
    EXPECT_EQ(findings.meals[0].predicted.index, 100.0);
    EXPECT_FALSE(findings.meals[0].observed.estimate || findings.meals[0].holds);
    EXPECT_THAT(findings.meals[0].remark, HasSubstr("reference food"));
}

TEST(IndexTables, StandInTheResultsByTheirKeys) {
    Study study = matchedStudy();
    study.foods[1].parts = {{"barley", 54.0, 60.0, IndexScale::glucose, "invented"}};
    const Findings findings = analysedOf(study);
    const auto json = nlohmann::json::parse(resultsJson(findings));
    for (const char* key : {"index_ways", "index_outliers", "index_pairs", "index_pair_subjects",
                            "index_portions", "meals", "meal_parts"}) {
        const Table table = buildTable(key, study, findings);
        EXPECT_EQ(table.key, key);
        ASSERT_FALSE(table.rows.empty()) << key;
        EXPECT_EQ(json[key].size(), table.rows.size()) << key;
        for (const Row& row : table.rows) {
            EXPECT_EQ(row.cells.size(), table.columns.size()) << key;
            EXPECT_TRUE(row.key.starts_with("glucose/" + row.about.food)) << row.key;
        }
        EXPECT_FALSE(asCsv(table).empty());
    }
    EXPECT_EQ(json["index_ways"][0]["food"], "barley");
    EXPECT_EQ(json["meals"][0]["holds"], "yes");
}

}  // namespace
}  // namespace aftercurve
