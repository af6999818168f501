#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/study/curve_series.h"
#include "tests/support/study_builder.h"

namespace aftercurve {
namespace {

using test::StudyBuilder;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

Study oneCurve(const std::vector<double>& times, const std::vector<std::optional<double>>& values) {
    StudyBuilder builder;
    builder.food("drink", FoodRole::reference).analyte("glucose", "mmol/L");
    builder.curve("01", "drink", 1, times, values);
    return builder.study();
}

CurveSeries only(const Study& study, const Plan& plan) {
    auto curves = curveSeriesOf(study, plan);
    EXPECT_EQ(curves.size(), 1U);
    return curves.front();
}

}  // namespace

TEST(AssayRules, BelowTheLimitCountsAsThePlanSays) {
    Study study = oneCurve({0, 15, 30}, {4.0, std::nullopt, 6.0});
    study.belowLimit = {{1, 0, 2.0}};
    Plan plan;
    EXPECT_THAT(only(study, plan).value, ElementsAre(4.0, 1.0, 6.0));
    EXPECT_THAT(only(study, plan).notes,
                ElementsAre("1 value below the limit of quantification (LOQ) counts as LOQ/2: at 15 min"));
    plan.belowLimit = BelowLimitRule::limit;
    EXPECT_THAT(only(study, plan).value, ElementsAre(4.0, 2.0, 6.0));
    EXPECT_THAT(only(study, plan).notes, ElementsAre(HasSubstr("as the LOQ")));
    plan.belowLimit = BelowLimitRule::exclude;
    EXPECT_THAT(only(study, plan).value, ElementsAre(4.0, 6.0));
    EXPECT_THAT(only(study, plan).missingTimeMin, ElementsAre(15.0));
    EXPECT_THAT(only(study, plan).notes, ElementsAre(HasSubstr("as missing")));
}

TEST(AssayRules, DeterminationsOfOneDrawCountAsTheirMean) {
    Study study = oneCurve({0, 0, 15, 15, 15}, {4.0, 5.0, 6.0, std::nullopt, 7.0});
    study.replicate = {1, 2, 1, 2, 3};
    const CurveSeries curve = only(study, Plan{});
    EXPECT_THAT(curve.timeMin, ElementsAre(0.0, 15.0));
    EXPECT_THAT(curve.value, ElementsAre(4.5, 6.5));
    EXPECT_THAT(curve.flaw, IsEmpty());
    EXPECT_THAT(curve.notes, ElementsAre("2 values are means of several determinations"));
}

TEST(AssayRules, TwoValuesWithOneNumberAreNoDeterminations) {
    Study study = oneCurve({0, 0}, {4.0, 5.0});
    EXPECT_THAT(only(study, Plan{}).flaw, HasSubstr("two glucose values at 0 min"));
    study.replicate = {2, 2};
    EXPECT_THAT(only(study, Plan{}).flaw, HasSubstr("two glucose values at 0 min"));
}

TEST(AssayRules, WholeBloodIsConvertedOnDemandOnly) {
    Study study = oneCurve({0, 30}, {4.0, 5.0});
    study.analytes[0].specimen = "capillary whole blood";
    Plan plan;
    EXPECT_THAT(only(study, plan).value, ElementsAre(4.0, 5.0));
    EXPECT_THAT(only(study, plan).notes, IsEmpty());
    plan.wholeBloodToPlasma = true;
    EXPECT_THAT(only(study, plan).value, ElementsAre(4.0 * 1.11, 5.0 * 1.11));
    EXPECT_THAT(only(study, plan).notes,
                ElementsAre("whole blood values × 1.11 to plasma, as the plan asks"));
    study.analytes[0].specimen = "capillary plasma";
    EXPECT_THAT(only(study, plan).value, ElementsAre(4.0, 5.0));
}

TEST(AssayRules, ActualOrNominalTimes) {
    Study study = oneCurve({-4, 1, 17, 29}, {4.0, 4.2, 6.0, 7.0});
    study.nominalMin = {-5.0, 0.0, 15.0, std::nullopt};
    Plan plan;
    const CurveSeries actual = only(study, plan);
    EXPECT_THAT(actual.timeMin, ElementsAre(-4.0, 0.0, 17.0, 29.0));
    EXPECT_THAT(actual.scheduledMin, ElementsAre(-5.0, 0.0, 15.0, 29.0));
    EXPECT_THAT(actual.notes, ElementsAre("the fasting sample drawn at 1 min counts at 0"));
    plan.timeBasis = TimeBasis::nominal;
    const CurveSeries nominal = only(study, plan);
    EXPECT_THAT(nominal.timeMin, ElementsAre(-5.0, 0.0, 15.0, 29.0));
    EXPECT_THAT(nominal.notes, ElementsAre("times are nominal; draws were made up to 2 min off"));
}

TEST(AssayRules, AnExcludedSampleIsMissingAndTheCurveStays) {
    Study study = oneCurve({0, 15, 30}, {4.0, 5.0, 6.0});
    Exclusion exclusion;
    exclusion.subject = "01";
    exclusion.timeMin = 15.0;
    exclusion.reason = "clotted";
    study.exclusions = {exclusion};
    const CurveSeries curve = only(study, Plan{});
    EXPECT_FALSE(curve.excluded);
    EXPECT_THAT(curve.timeMin, ElementsAre(0.0, 30.0));
    EXPECT_THAT(curve.missingTimeMin, ElementsAre(15.0));
    EXPECT_THAT(curve.notes, ElementsAre("the sample at 15 min is excluded: clotted"));
    study.exclusions[0].subject = "02";
    EXPECT_THAT(only(study, Plan{}).timeMin, ElementsAre(0.0, 15.0, 30.0));
}

}  // namespace aftercurve
