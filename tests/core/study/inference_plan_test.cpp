// Words, bounds and study.json keys of the statistics part of a plan.
#include "core/study/inference_plan.h"

#include <gtest/gtest.h>

#include <limits>

#include "core/compare/model_comparisons.h"
#include "core/compare/multiplicity_words.h"
#include "core/files/plan_json.h"
#include "core/findings/adjusted_p.h"
#include "core/findings/validate_plan.h"
#include "tests/support/study_builder.h"

namespace aftercurve {
namespace {

Plan readBack(const Plan& plan) {
    Json json = Json::object();
    putPlan(plan, json);
    ProblemList problems{20};
    Plan read = planFrom(JsonObject{json, "plan", "study.json", problems});
    EXPECT_TRUE(problems.take().empty());
    return read;
}

TEST(InferencePlan, EveryKeySurvivesAWriteAndARead) {
    Plan plan;
    plan.multiplicity = Multiplicity::benjaminiHochberg;
    plan.inference.modelDf = ModelDf::kenwardRoger;
    plan.inference.modelMultiplicity = ModelMultiplicity::dunnett;
    plan.inference.modelFamily = DifferenceFamily::allPairs;
    plan.inference.carryOver = true;
    plan.inference.timeCourse = TimeCourseModel::unstructured;
    plan.inference.timeCourseValue = CurveValue::concentration;
    plan.inference.trim = 0.1;
    plan.inference.margins = {"insulin", -20.5, 21.0, 0.8, 1.25, 15.0, BetterValue::higher};
    plan.inference.sensitivity = false;
    plan.inference.sensitivityWindowsMin = {45.0, 90.5};
    EXPECT_EQ(readBack(plan), plan);
    EXPECT_EQ(readBack(Plan{}), Plan{});
    plan.inference.sensitivityWindowsMin.clear();
    EXPECT_EQ(readBack(plan), plan);
}

TEST(InferencePlan, EveryRuleHasAWordThatReadsBack) {
    const auto all = [](auto first, auto last, auto from) {
        for (int i = static_cast<int>(first); i <= static_cast<int>(last); ++i) {
            const auto rule = static_cast<decltype(first)>(i);
            ASSERT_FALSE(wordFor(rule).empty()) << i;
            EXPECT_EQ(from(wordFor(rule)), rule);
        }
        EXPECT_FALSE(from("no such word"));
    };
    all(ModelDf::satterthwaite, ModelDf::kenwardRoger, modelDfFrom);
    all(ModelMultiplicity::asComparisons, ModelMultiplicity::dunnett, modelMultiplicityFrom);
    all(DifferenceFamily::comparator, DifferenceFamily::allPairs, differenceFamilyFrom);
    all(TimeCourseModel::none, TimeCourseModel::unstructured, timeCourseModelFrom);
    all(CurveValue::increment, CurveValue::concentration, curveValueFrom);
    all(BetterValue::lower, BetterValue::higher, betterValueFrom);
    all(Multiplicity::none, Multiplicity::benjaminiHochberg, multiplicityFrom);
}

TEST(InferencePlan, TheModelKnowsEveryRuleByTheSameWord) {
    for (int i = static_cast<int>(ModelMultiplicity::none); i <= static_cast<int>(ModelMultiplicity::dunnett);
         ++i) {
        EXPECT_TRUE(modelAdjustmentFrom(wordFor(static_cast<ModelMultiplicity>(i)))) << i;
    }
    for (const Multiplicity rule :
         {Multiplicity::none, Multiplicity::holm, Multiplicity::hochberg, Multiplicity::benjaminiHochberg}) {
        EXPECT_TRUE(modelAdjustmentFrom(wordFor(rule)));
    }
    for (const ModelDf df : {ModelDf::satterthwaite, ModelDf::kenwardRoger}) {
        EXPECT_TRUE(dfMethodFrom(wordFor(df)));
    }
}

TEST(InferencePlan, EveryMultiplicityIsAMethodOfTheList) {
    for (const Multiplicity rule :
         {Multiplicity::none, Multiplicity::holm, Multiplicity::hochberg, Multiplicity::benjaminiHochberg}) {
        ASSERT_NE(multiplicityMethod(wordFor(rule)), nullptr);
        EXPECT_EQ(adjustmentLabel(rule), multiplicityMethod(wordFor(rule))->label);
    }
    // Two p, by hand: Hochberg takes the larger where both are below 2·smaller; Benjamini–Hochberg likewise
    // here.
    const std::vector<std::optional<double>> p{0.03, 0.04};
    EXPECT_EQ(adjustedP(Multiplicity::none, p), p);
    EXPECT_EQ(adjustedP(Multiplicity::holm, p)[0], 0.06);
    EXPECT_EQ(adjustedP(Multiplicity::hochberg, p)[0], 0.04);
    EXPECT_EQ(adjustedP(Multiplicity::benjaminiHochberg, p)[0], 0.04);
}

struct Bad {
    const char* key;
    void (*make)(InferencePlan& plan);
};

class BadInferencePlan : public testing::TestWithParam<Bad> {};

TEST_P(BadInferencePlan, IsAnErrorOfItsKey) {
    test::StudyBuilder builder;
    builder.food("bread", FoodRole::control).food("oats", FoodRole::test).analyte("glucose", "mmol/L");
    Plan plan;
    plan.index = false;
    ASSERT_TRUE(validatePlan(builder.study(), plan).empty());
    GetParam().make(plan.inference);
    const auto problems = validatePlan(builder.study(), plan);
    ASSERT_EQ(problems.size(), 1U);
    EXPECT_EQ(problems[0].column, std::string{"plan."} + GetParam().key);
    EXPECT_EQ(problems[0].severity, Severity::error);
    EXPECT_FALSE(problems[0].remedy.empty());
}

constexpr double nan = std::numeric_limits<double>::quiet_NaN();

INSTANTIATE_TEST_SUITE_P(
    Plans, BadInferencePlan,
    testing::Values(
        Bad{"trim", [](InferencePlan& p) { p.trim = 0.5; }},
        Bad{"trim", [](InferencePlan& p) { p.trim = -0.1; }},
        Bad{"trim", [](InferencePlan& p) { p.trim = nan; }},
        Bad{"equivalence_difference_low",
            [](InferencePlan& p) { p.margins.differenceLow = 0.0, p.margins.differenceHigh = 1.0; }},
        Bad{"equivalence_difference_high",
            [](InferencePlan& p) { p.margins.differenceLow = -1.0, p.margins.differenceHigh = -2.0; }},
        Bad{"equivalence_difference_low", [](InferencePlan& p) { p.margins.differenceHigh = 1.0; }},
        Bad{"equivalence_ratio_low",
            [](InferencePlan& p) { p.margins.ratioLow = 1.25, p.margins.ratioHigh = 1.3; }},
        Bad{"equivalence_ratio_low", [](InferencePlan& p) { p.margins.ratioLow = 0.8; }},
        Bad{"equivalence_ratio_high",
            [](InferencePlan& p) { p.margins.ratioLow = 0.8, p.margins.ratioHigh = 0.9; }},
        Bad{"non_inferiority_margin", [](InferencePlan& p) { p.margins.nonInferiority = -3.0; }},
        Bad{"equivalence_analyte", [](InferencePlan& p) { p.margins.analyte = "lactate"; }},
        Bad{"sensitivity_windows_min",
            [](InferencePlan& p) {
                p.sensitivityWindowsMin = {60.0, 60.0};
            }},
        Bad{"sensitivity_windows_min", [](InferencePlan& p) { p.sensitivityWindowsMin = {0.0}; }},
        Bad{"sensitivity_windows_min",
            [](InferencePlan& p) { p.sensitivityWindowsMin = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13}; }}),
    [](const auto& one) { return std::string{one.param.key} + "_" + std::to_string(one.index); });

}  // namespace
}  // namespace aftercurve
