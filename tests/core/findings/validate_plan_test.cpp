#include "core/findings/validate_plan.h"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <limits>

#include "core/findings/analyse.h"
#include "tests/support/study_builder.h"

namespace aftercurve {

namespace {

Study studyOf(FoodRole first, FoodRole second) {
    test::StudyBuilder builder;
    builder.food("bread", first).food("oats", second).analyte("glucose", "mmol/L");
    return builder.study();
}

}  // namespace

TEST(ValidatePlan, TheDefaultPlanIsValid) {
    const Study study = studyOf(FoodRole::reference, FoodRole::test);
    EXPECT_TRUE(validatePlan(study, Plan{}).empty());
}

TEST(ValidatePlan, EachBadValueIsNamedWithItsKey) {
    struct Case {
        std::string key;
        std::string value;
        std::function<void(Plan&)> spoil;
    };
    const std::vector<Case> cases{
        {"window_end_min", "0", [](Plan& p) { p.windowEndMin = 0; }},
        {"window_end_min", "-30", [](Plan& p) { p.windowEndMin = -30; }},
        {"window_end_min", "2881", [](Plan& p) { p.windowEndMin = 2881; }},
        {"window_end_min", "nan", [](Plan& p) { p.windowEndMin = std::numeric_limits<double>::quiet_NaN(); }},
        {"alpha", "0", [](Plan& p) { p.alpha = 0; }},
        {"alpha", "0.6", [](Plan& p) { p.alpha = 0.6; }},
        {"alpha", "nan", [](Plan& p) { p.alpha = std::numeric_limits<double>::quiet_NaN(); }},
        {"measure", "area", [](Plan& p) { p.measure = "area"; }},
        {"secondary_measures", "height", [](Plan& p) { p.secondaryMeasures = {"height"}; }},
        {"secondary_measures", "peak",
         [](Plan& p) {
             p.secondaryMeasures = {"peak", "peak"};
         }},
        {"comparator", "rye", [](Plan& p) { p.comparator = "rye"; }},
        {"resamples", "-1", [](Plan& p) { p.resamples = -1; }},
        {"resamples", "10000001", [](Plan& p) { p.resamples = 10'000'001; }},
    };
    const Study study = studyOf(FoodRole::reference, FoodRole::test);
    for (const Case& c : cases) {
        Plan plan;
        c.spoil(plan);
        const auto problems = validatePlan(study, plan);
        ASSERT_EQ(problems.size(), 1U) << c.key << " " << c.value;
        EXPECT_EQ(problems[0].severity, Severity::error);
        EXPECT_EQ(problems[0].file, "study.json");
        EXPECT_EQ(problems[0].column, "plan." + c.key);
        EXPECT_NE(problems[0].what.find(c.value), std::string::npos) << problems[0].what;
        EXPECT_FALSE(problems[0].remedy.empty());
        EXPECT_FALSE(analyse(study, plan).ok());
    }
}

TEST(ValidatePlan, ATimeAboveALimitNeedsALimitOfAnAnalyteOfTheStudy) {
    const Study study = studyOf(FoodRole::reference, FoodRole::test);
    Plan plan;
    plan.secondaryMeasures = {"time_above_limit_min"};
    ASSERT_EQ(validatePlan(study, plan).size(), 1U);
    EXPECT_EQ(validatePlan(study, plan)[0].severity, Severity::warning);
    EXPECT_NE(validatePlan(study, plan)[0].what.find("none is named"), std::string::npos);
    plan.curvePlan.limits = {{"glucose", 7.8}};
    EXPECT_TRUE(validatePlan(study, plan).empty());
    plan.curvePlan.limits = {{"lactate", 2.0}};
    ASSERT_EQ(validatePlan(study, plan).size(), 1U);
    EXPECT_NE(validatePlan(study, plan)[0].what.find("lactate"), std::string::npos);
    plan.curvePlan.limits = {{"glucose", -1.0}};
    ASSERT_EQ(validatePlan(study, plan).size(), 1U);
    EXPECT_EQ(validatePlan(study, plan)[0].severity, Severity::error);
}

TEST(ValidatePlan, TheComparatorIsFilledInOnlyWhereItIsClear) {
    EXPECT_EQ(resolvedPlan(studyOf(FoodRole::test, FoodRole::control), {}).comparator, "oats");
    EXPECT_EQ(resolvedPlan(studyOf(FoodRole::reference, FoodRole::control), {}).comparator, "oats");
    EXPECT_EQ(resolvedPlan(studyOf(FoodRole::reference, FoodRole::test), {}).comparator, "bread");
    EXPECT_EQ(resolvedPlan(studyOf(FoodRole::test, FoodRole::test), {}).comparator, "");
    EXPECT_EQ(resolvedPlan(studyOf(FoodRole::control, FoodRole::control), {}).comparator, "");

    const auto problems = validatePlan(studyOf(FoodRole::test, FoodRole::test), {});
    ASSERT_EQ(problems.size(), 2U);
    EXPECT_EQ(problems[0].column, "plan.comparator");
    EXPECT_EQ(problems[0].severity, Severity::warning);
    EXPECT_EQ(problems[1].column, "plan.index");
    EXPECT_EQ(problems[1].severity, Severity::note);
}

}  // namespace aftercurve
