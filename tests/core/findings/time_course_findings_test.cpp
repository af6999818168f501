// The time course as the results hold it: which values go in, what the plan changes, and what is said.
#include "core/findings/time_course_findings.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "core/findings/analyse.h"
#include "core/findings/results_json.h"
#include "core/findings/table.h"
#include "tests/support/close.h"
#include "tests/support/study_builder.h"

namespace aftercurve {
namespace {

using test::isClose;
using testing::ElementsAre;
using testing::HasSubstr;

/// Balanced: a mean of the model is the mean of the values. The value at 30 min falls with the food.
Study study() {
    test::StudyBuilder builder;
    builder.food("bread", FoodRole::control).food("oats", FoodRole::test).analyte("glucose", "mmol/L");
    const double bread[] = {8.1, 7.4, 9.0, 8.6, 7.9};
    const double oats[] = {6.9, 6.8, 7.7, 7.0, 7.1};
    for (std::size_t s = 0; s < 5; ++s) {
        const std::string subject = "s" + std::to_string(s);
        const double own = 4.5 + 0.1 * static_cast<double>(s * 3 % 5);
        builder.curve(subject, "bread", 1, {0, 30, 60, 120}, {own, bread[s], 7.0 + own / 9, 5.0 - own / 20});
        builder.curve(subject, "oats", 1, {0, 30, 60, 120},
                      {own + 0.1, oats[s], 6.5 + own / 7, 4.9 + own / 40});
    }
    builder.study().plan.index = false;
    builder.study().plan.resamples = 0;
    builder.study().plan.inference.sensitivity = false;
    builder.study().plan.inference.timeCourse = TimeCourseModel::independent;
    return builder.study();
}

Findings run(const Study& study) {
    auto findings = analyse(study, study.plan);
    EXPECT_TRUE(findings.ok());
    return std::move(findings).value();
}

TEST(TimeCourseFindings, IncrementsStandAfterZeroAndConcentrationsFromZero) {
    Study given = study();
    const Findings increments = run(given);
    ASSERT_EQ(increments.timeCourses.size(), 1U);
    EXPECT_THAT(increments.timeCourses[0].timesMin, ElementsAre(30, 60, 120));
    EXPECT_EQ(increments.timeCourses[0].fit.rows, 30U);
    given.plan.inference.timeCourseValue = CurveValue::concentration;
    const Findings concentrations = run(given);
    EXPECT_THAT(concentrations.timeCourses[0].timesMin, ElementsAre(0, 30, 60, 120));
    EXPECT_EQ(concentrations.timeCourses[0].fit.rows, 40U);
    // Balanced: the model's difference at 30 min is the mean of the subjects' differences, by hand −1.1.
    const auto& differences = concentrations.timeCourses[0].fit.differences;
    ASSERT_EQ(differences.size(), 4U);
    EXPECT_TRUE(isClose(*differences[1].estimate,
                        (6.9 + 6.8 + 7.7 + 7.0 + 7.1 - 8.1 - 7.4 - 9.0 - 8.6 - 7.9) / 5, {.relative = 1e-9}));
    // Increments take each curve's own baseline off: 0.1 more for oats.
    EXPECT_TRUE(isClose(*increments.timeCourses[0].fit.differences[0].estimate,
                        *differences[1].estimate - 0.1, {.relative = 1e-9}));
}

TEST(TimeCourseFindings, TheWindowCutsTheTimes) {
    Study given = study();
    given.plan.windowEndMin = 60;
    EXPECT_THAT(run(given).timeCourses[0].timesMin, ElementsAre(30, 60));
}

TEST(TimeCourseFindings, AValueOffTheScheduleIsToldAndNotUsed) {
    Study given = study();
    for (Draw& draw : given.draws) {
        if (draw.subject == 0 && draw.timeMin == 60) {
            draw.timeMin = 63;
        }
    }
    const Findings findings = run(given);
    EXPECT_EQ(findings.timeCourses[0].offSchedule, 2U);
    EXPECT_EQ(findings.timeCourses[0].fit.rows, 28U);
    EXPECT_TRUE(std::any_of(findings.problems.begin(), findings.problems.end(), [](const Problem& p) {
        return p.what.starts_with("time course of glucose: 2 values are at times");
    }));
    // The classical table needs complete subjects.
    ASSERT_EQ(findings.timeCourses[0].classical.leftOut.size(), 1U);
    EXPECT_EQ(findings.timeCourses[0].subjects[findings.timeCourses[0].classical.leftOut[0].subject], "s0");
}

TEST(TimeCourseFindings, NoneWhereThePlanSaysSo) {
    Study given = study();
    given.plan.inference.timeCourse = TimeCourseModel::none;
    const Findings findings = run(given);
    EXPECT_TRUE(findings.timeCourses.empty());
    EXPECT_THAT(buildTable("time_course", given, findings).emptyText, HasSubstr("asks for no model"));
}

TEST(TimeCourseFindings, TooFewForACovarianceSaysSo) {
    Study given = study();
    given.plan.inference.timeCourse = TimeCourseModel::unstructured;
    given.subjects.resize(2);
    std::erase_if(given.draws, [](const Draw& draw) { return draw.subject > 1; });
    for (auto& column : given.concentrations) {
        column.resize(given.draws.size());
    }
    const Findings findings = run(given);
    ASSERT_EQ(findings.timeCourses.size(), 1U);
    if (!findings.timeCourses[0].fit.absentBecause.empty()) {
        EXPECT_TRUE(findings.timeCourses[0].fit.differences.empty() ||
                    !findings.timeCourses[0].fit.differences[0].estimate);
        EXPECT_TRUE(std::any_of(findings.problems.begin(), findings.problems.end(), [](const Problem& p) {
            return p.what.starts_with("time course of glucose: no model, ");
        }));
    }
    for (const char* key : {"time_course", "time_course_tests"}) {
        for (const Row& row : buildTable(key, given, findings).rows) {
            for (const Cell& cell : row.cells) {
                if (const auto* number = std::get_if<double>(&cell)) {
                    EXPECT_TRUE(std::isfinite(*number));
                }
            }
        }
    }
}

TEST(TimeCourseFindings, StandInResultsJson) {
    const auto json = nlohmann::json::parse(resultsJson(run(study())));
    ASSERT_FALSE(json["time_course"].empty());
    EXPECT_EQ(json["time_course"][0]["food"], "oats");
    EXPECT_EQ(json["time_course"][0]["comparator"], "bread");
    bool greenhouse = false;
    for (const auto& row : json["time_course_tests"]) {
        greenhouse = greenhouse || row["method"] == "Greenhouse–Geisser";
    }
    EXPECT_TRUE(greenhouse);
}

TEST(ModelFamilies, FollowThePlan) {
    Study given = study();
    given.foods.push_back({"rye", "Rye", FoodRole::test, std::nullopt, std::nullopt});
    test::StudyBuilder builder;
    builder.study() = given;
    for (std::size_t s = 0; s < 5; ++s) {
        builder.curve("s" + std::to_string(s), "rye", 1, {0, 30, 60, 120},
                      {4.5, 7.0 + 0.3 * static_cast<double>(s * 2 % 5), 6.6, 4.7});
    }
    given = builder.study();
    const auto adjusted = [&](ModelMultiplicity rule, DifferenceFamily family) {
        given.plan.inference.modelMultiplicity = rule;
        given.plan.inference.modelFamily = family;
        const Findings findings = run(given);
        const ModelFinding& model = findings.models.at(0);
        std::size_t count = 0;
        for (std::size_t i = 0; i < model.pAdjusted.size(); ++i) {
            count += model.pAdjusted[i] ? 1U : 0U;
            if (model.pAdjusted[i]) {
                EXPECT_GE(*model.pAdjusted[i], *model.fit.differences[i].p * (1 - 1e-12));
            }
        }
        return count;
    };
    EXPECT_EQ(adjusted(ModelMultiplicity::asComparisons, DifferenceFamily::comparator), 2U);
    EXPECT_EQ(adjusted(ModelMultiplicity::holm, DifferenceFamily::allPairs), 3U);
    EXPECT_EQ(adjusted(ModelMultiplicity::tukey, DifferenceFamily::comparator), 3U);
    EXPECT_EQ(adjusted(ModelMultiplicity::dunnett, DifferenceFamily::allPairs), 2U);
    given.plan.inference.modelDf = ModelDf::kenwardRoger;
    const Findings findings = run(given);
    EXPECT_EQ(findings.models[0].dfMethod, "kenward-roger");
    EXPECT_TRUE(findings.models[0].family.comparisons[0].ciLow);
}

}  // namespace
}  // namespace aftercurve
