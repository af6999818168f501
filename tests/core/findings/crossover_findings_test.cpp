// Two-period crossover from curves to tables, with Hills & Armitage 1979, Br J Clin Pharmacol 8:7 (data and
// printed statistics from memory, recomputed in R 4.2.2): treatment 2.0368, t 3.29; period t 1.27; carry-over
// t -1.30. The values are carried as peaks of curves.
#include "core/findings/crossover_findings.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <utility>

#include "core/findings/analyse.h"
#include "core/findings/results_json.h"
#include "core/findings/table.h"
#include "tests/support/close.h"
#include "tests/support/study_builder.h"

namespace aftercurve {
namespace {

using test::isClose;
using Pairs = std::vector<std::pair<double, double>>;

const Pairs activeFirst{{8, 5},  {14, 10}, {8, 0},   {9, 7},  {11, 6}, {3, 5}, {6, 0},  {0, 0}, {13, 12},
                        {10, 2}, {7, 5},   {13, 13}, {8, 10}, {7, 7},  {9, 0}, {10, 6}, {2, 2}};
const Pairs placeboFirst{{12, 11}, {6, 8}, {13, 9}, {8, 8}, {8, 9},  {4, 8},
                         {8, 14},  {2, 4}, {8, 13}, {9, 7}, {7, 10}, {7, 6}};

struct Trial {
    test::StudyBuilder builder;
    int subjects = 0;

    Trial() {
        builder.food("placebo", FoodRole::control)
            .food("active", FoodRole::test)
            .analyte("glucose", "mmol/L");
        builder.study().plan.measure = "peak";
        builder.study().plan.index = false;
        builder.study().plan.inference.sensitivity = false;
    }

    /// A curve whose peak is 20 + value.
    void visit(const std::string& subject, const std::string& food, int period, double value, int visit = 1) {
        builder.curve(subject, food, visit, {0, 60, 120}, {0.0, 20.0 + value, 0.0});
        for (std::size_t i = 0; i < 3; ++i) {
            builder.study().draws[builder.study().draws.size() - 1 - i].period = period;
        }
    }

    void both(const Pairs& pairs, const std::string& first, const std::string& second) {
        for (const auto& [one, two] : pairs) {
            const std::string subject = std::to_string(100 + ++subjects);
            visit(subject, first, 1, one);
            visit(subject, second, 2, two);
        }
    }
};

Findings run(const Study& study) {
    auto findings = analyse(study, study.plan);
    EXPECT_TRUE(findings.ok());
    return std::move(findings).value();
}

TEST(CrossoverFindings, HillsAndArmitage) {
    Trial trial;
    trial.both(activeFirst, "active", "placebo");
    trial.both(placeboFirst, "placebo", "active");
    const Findings findings = run(trial.builder.study());
    ASSERT_EQ(findings.crossovers.size(), 1U);
    const CrossoverFinding& finding = findings.crossovers[0];
    EXPECT_EQ(finding.food, "active");
    EXPECT_EQ(finding.comparator, "placebo");
    const Crossover& result = finding.result;
    EXPECT_EQ(result.subjectsAb, 17U);
    EXPECT_EQ(result.subjectsBa, 12U);
    EXPECT_TRUE(isClose(*result.treatment.estimate, 2.036764706, {.relative = 1e-9}));
    EXPECT_TRUE(isClose(*result.treatment.t, 3.292539007, {.relative = 1e-9}));
    EXPECT_TRUE(isClose(*result.treatment.p, 0.00277251139, {.relative = 1e-8}));
    EXPECT_TRUE(isClose(*result.period.t, 1.271847198, {.relative = 1e-9}));
    EXPECT_TRUE(isClose(*result.carryOver.t, -1.299673278, {.relative = 1e-8}));
    EXPECT_TRUE(isClose(*result.carryOver.p, 0.2047004596, {.relative = 1e-8}));
    const Table effects = buildTable("crossover", trial.builder.study(), findings);
    ASSERT_EQ(effects.rows.size(), 3U);
    const Table subjects = buildTable("crossover_subjects", trial.builder.study(), findings);
    EXPECT_EQ(subjects.rows.size(), 29U);
    // Subject 101: 28 and 25.
    EXPECT_EQ(std::get<double>(subjects.rows[0].cells[7]), 53.0);
    EXPECT_EQ(std::get<double>(subjects.rows[0].cells[8]), 3.0);
    const auto json = nlohmann::json::parse(resultsJson(findings));
    EXPECT_EQ(json["crossover"][0]["food_effect"]["df"], 27);
    EXPECT_EQ(json["crossover"][0]["subjects"].size(), 29U);
}

TEST(CrossoverFindings, AMissingPeriodIsToldAndStaysInTheModel) {
    Trial trial;
    trial.both({{5, 3}, {6, 2}, {7, 7}}, "active", "placebo");
    trial.both({{2, 6}, {4, 5}, {3, 8}}, "placebo", "active");
    trial.visit("200", "active", 1, 4.0);
    const Findings findings = run(trial.builder.study());
    ASSERT_EQ(findings.crossovers.size(), 1U);
    ASSERT_EQ(findings.crossovers[0].result.leftOut.size(), 1U);
    EXPECT_EQ(findings.crossovers[0].result.leftOut[0].subject, "200");
    EXPECT_EQ(findings.models[0].fit.rows, 13U);
    EXPECT_TRUE(std::any_of(findings.problems.begin(), findings.problems.end(), [](const Problem& p) {
        return p.what.starts_with("subject 200 is not in the two-period tests of glucose") &&
               p.remedy.find("mixed model") != std::string::npos;
    }));
    const Table subjects = buildTable("crossover_subjects", trial.builder.study(), findings);
    EXPECT_TRUE(subjects.rows.back().muted);
}

TEST(CrossoverFindings, TheSameFoodTwiceIsLeftOutWithTheReason) {
    Trial trial;
    trial.both({{5, 3}, {6, 2}}, "active", "placebo");
    trial.both({{2, 6}, {4, 5}}, "placebo", "active");
    trial.visit("200", "active", 1, 2);
    trial.visit("200", "active", 2, 6, 2);
    const Findings findings = run(trial.builder.study());
    ASSERT_EQ(findings.crossovers.size(), 1U);
    ASSERT_EQ(findings.crossovers[0].result.leftOut.size(), 1U);
    EXPECT_EQ(findings.crossovers[0].result.leftOut[0].reason,
              "not one food in period 1 and the other in period 2");
}

TEST(CrossoverFindings, OtherDesignsHaveNone) {
    Trial three;
    three.builder.food("oats", FoodRole::test);
    three.both({{5, 3}, {6, 2}}, "active", "placebo");
    EXPECT_TRUE(run(three.builder.study()).crossovers.empty());
    Trial noPeriod;
    noPeriod.visit("1", "active", 0, 1);
    noPeriod.visit("1", "placebo", 0, 2);
    EXPECT_TRUE(run(noPeriod.builder.study()).crossovers.empty());
    Trial third;
    third.both({{5, 3}, {6, 2}}, "active", "placebo");
    third.visit("9", "active", 3, 1);
    EXPECT_TRUE(run(third.builder.study()).crossovers.empty());
    Trial oneSequence;
    oneSequence.both({{5, 3}, {6, 2}, {4, 4}}, "active", "placebo");
    const Findings findings = run(oneSequence.builder.study());
    ASSERT_EQ(findings.crossovers.size(), 1U);
    EXPECT_FALSE(findings.crossovers[0].result.treatment.estimate);
    EXPECT_FALSE(findings.crossovers[0].result.treatment.absentBecause.empty());
}

}  // namespace
}  // namespace aftercurve
