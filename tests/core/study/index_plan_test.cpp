// Words, bounds and study.json keys of the index and of parts of the curve.
#include "core/study/index_plan.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <limits>

#include "core/files/plan_json.h"
#include "core/study/food_facts.h"

namespace aftercurve {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;
using testing::SizeIs;

Plan readBack(const Plan& plan) {
    Json json = Json::object();
    putPlan(plan, json);
    ProblemList problems{20};
    Plan read = planFrom(JsonObject{json, "plan", "study.json", problems});
    EXPECT_TRUE(problems.take().empty());
    return read;
}

TEST(IndexPlan, EveryKeySurvivesAWriteAndARead) {
    Plan plan;
    plan.indexOutlierRule = IndexOutlierRule::twoSdRepeated;
    plan.indexPlan = {IndexStandard::as4694, 0.71, "a table", 5.5, 30.0};
    plan.curvePlan.subWindowsMin = {15.0, 30.5, 90.0};
    plan.curvePlan.limits = {{"glucose", 7.8}, {"insulin", 300.0}};
    EXPECT_EQ(readBack(plan), plan);
    EXPECT_EQ(readBack(Plan{}), Plan{});
    plan.curvePlan.subWindowsMin.clear();
    EXPECT_EQ(readBack(plan), plan);
}

TEST(IndexPlan, TheOrderOfTheLimitsMeansNothing) {
    const Json json = Json::parse(R"({"limits": {"insulin": 300, "glucose": 7.8}})");
    ProblemList problems{20};
    const Plan plan = planFrom(JsonObject{json, "plan", "study.json", problems});
    EXPECT_THAT(plan.curvePlan.limits, ElementsAre(LevelLimit{"glucose", 7.8}, LevelLimit{"insulin", 300.0}));
    EXPECT_EQ(limitOf(plan.curvePlan, "insulin"), 300.0);
    EXPECT_EQ(limitOf(plan.curvePlan, "c-peptide"), std::nullopt);
}

TEST(IndexPlan, EveryStandardHasAWordThatReadsBack) {
    for (const IndexStandard standard :
         {IndexStandard::iso26642, IndexStandard::fao1998, IndexStandard::wst652, IndexStandard::as4694}) {
        EXPECT_EQ(indexStandardFrom(wordFor(standard)), standard);
    }
    EXPECT_EQ(indexStandardFrom("iso"), std::nullopt);
    for (const IndexScale scale : {IndexScale::glucose, IndexScale::whiteBread}) {
        EXPECT_EQ(indexScaleFrom(wordFor(scale)), scale);
    }
}

TEST(CurvePlan, LimitsAtOrPastTheEndMakeNoPart) {
    CurvePlan plan;
    plan.subWindowsMin = {30.0, 60.0, 120.0, 180.0};
    EXPECT_THAT(partEnds(plan, 120.0), ElementsAre(0.0, 30.0, 60.0, 120.0));
    plan.subWindowsMin.clear();
    EXPECT_THAT(partEnds(plan, 90.0), ElementsAre(0.0, 90.0));
}

TEST(IndexPlan, WhatIsOutOfBoundsIsNamedByItsKey) {
    const double nan = std::numeric_limits<double>::quiet_NaN();
    EXPECT_THAT(validate(IndexPlan{}), IsEmpty());
    for (const double factor : {0.0, -1.0, 10.5, nan}) {
        IndexPlan plan;
        plan.referenceFactor = factor;
        ASSERT_THAT(validate(plan), SizeIs(1)) << factor;
        EXPECT_EQ(validate(plan)[0].key, "reference_factor");
    }
    for (const double percent : {-0.1, 100.1, nan}) {
        IndexPlan plan;
        plan.matchTolerancePercent = percent;
        ASSERT_THAT(validate(plan), SizeIs(1)) << percent;
    }
    for (const double grams : {0.0, -3.0, 1000.5, nan}) {
        IndexPlan plan;
        plan.fibreTargetG = grams;
        ASSERT_THAT(validate(plan), SizeIs(1)) << grams;
    }
}

TEST(CurvePlan, WhatIsOutOfBoundsIsNamedByItsKey) {
    EXPECT_THAT(validate(CurvePlan{}), IsEmpty());
    using Limits = std::vector<double>;
    for (const Limits& limits : {Limits{0.0}, Limits{60.0, 60.0}, Limits{60.0, 30.0}, Limits{2880.0},
                                 Limits{std::numeric_limits<double>::quiet_NaN()}}) {
        CurvePlan plan;
        plan.subWindowsMin = limits;
        ASSERT_THAT(validate(plan), SizeIs(1));
        EXPECT_EQ(validate(plan)[0].key, "sub_windows_min");
    }
    CurvePlan many;
    many.subWindowsMin.clear();
    for (int i = 1; i <= 25; ++i) {
        many.subWindowsMin.push_back(i);
    }
    EXPECT_THAT(validate(many), SizeIs(1));
    CurvePlan twice;
    twice.limits = {{"glucose", 7.8}, {"glucose", 10.0}};
    ASSERT_THAT(validate(twice), SizeIs(1));
    EXPECT_EQ(validate(twice)[0].key, "limits");
    twice.limits = {{"glucose", 0.0}};
    EXPECT_THAT(validate(twice), SizeIs(1));
}

}  // namespace
}  // namespace aftercurve
