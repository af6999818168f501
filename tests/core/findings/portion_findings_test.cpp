// Portions as findings, tables, problems and sentences; values by hand.
#include "core/findings/portion_findings.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "core/check/check.h"
#include "core/files/study_folder.h"
#include "core/findings/analyse.h"
#include "core/findings/explain.h"
#include "core/findings/results_json.h"
#include "core/findings/table.h"
#include "tests/support/close.h"
#include "tests/support/feeding_study.h"

namespace aftercurve {
namespace {

using test::isClose;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

/// Bread (control) with 50 g, oats (test) with 45 g of available carbohydrate; oats with a composition.
Study breadAndOats() {
    Study study = test::FeedingStudy(3).study;
    Food& bread = study.foods[0];
    bread.availableCarbohydrateG = 50.0;
    bread.portionG = 100.0;
    bread.composition.fibreG = 4.0;
    bread.composition.energyKj = 1100.0;
    Food& oats = study.foods[1];
    oats.availableCarbohydrateG = 45.0;
    oats.portionG = 90.0;
    oats.composition = {45.0, 1000.0, 10.0, 5.0, 2.0, 44.0, 2.2, 6.0, 8.0};
    study.plan.comparator = "bread";
    study.plan.indexPlan.fibreTargetG = 30.0;
    return study;
}

std::vector<std::string> checksOf(const Study& study, std::size_t food) {
    std::vector<std::string> keys;
    for (const Problem& p : problemsOf(study, study.plan, portionFindings(study, study.plan)[food])) {
        EXPECT_TRUE(isCheckKey(p.check)) << p.check;
        EXPECT_EQ(p.food, study.foods[food].id);
        EXPECT_FALSE(p.remedy.empty());
        keys.push_back(p.check);
    }
    return keys;
}

std::string cellText(const Table& table, std::size_t row, std::string_view key) {
    for (std::size_t c = 0; c < table.columns.size(); ++c) {
        if (table.columns[c].key == key) {
            return shownText(table.rows.at(row).cells[c], table.columns[c]);
        }
    }
    ADD_FAILURE() << "no column " << key;
    return {};
}

TEST(PortionFindings, OneFoodByHand) {
    const Study study = breadAndOats();
    const auto findings = portionFindings(study, study.plan);
    ASSERT_EQ(findings.size(), 2U);
    const PortionFinding& oats = findings[1];
    EXPECT_EQ(oats.serving.fibreG, 4.0);  // 45 g are half the portion
    EXPECT_EQ(oats.serving.availableCarbohydrateG, 22.5);
    EXPECT_EQ(oats.serving.energyKj, 500.0);
    EXPECT_EQ(oats.portionFor50G.value, 100.0);
    EXPECT_EQ(oats.portionFor25G.value, 50.0);
    EXPECT_TRUE(isClose(oats.resistantStarchSharePercent.value, 5.0, {.relative = 1e-15}));
    EXPECT_EQ(oats.toComparator->differenceG.value, -5.0);
    EXPECT_EQ(oats.toComparator->status, MatchStatus::matched);  // 10 % of 50 is the limit itself
    EXPECT_EQ(oats.fibreDifferenceG.value, 4.0);
    EXPECT_EQ(oats.energyDifferenceKj.value, -100.0);
    // 45 · 17 + 10 · 17 + 5 · 37 + 8 · 8 = 1184; 1000 is 15.5 % below.
    EXPECT_EQ(oats.energy.fromMacronutrientsKj.value, 1184.0);
    EXPECT_TRUE(oats.energy.beyond);
    EXPECT_EQ(oats.servings->exact.value, 7.5);
    EXPECT_EQ(oats.servings->whole, 8.0);
    EXPECT_EQ(oats.servings->grams.value, 360.0);
    EXPECT_EQ(oats.servings->energyKj.value, 4000.0);
    EXPECT_TRUE(isClose(oats.matchLowG, 45.0, {.relative = 1e-15}));
    EXPECT_TRUE(isClose(oats.matchHighG, 55.0, {.relative = 1e-15}));
    const PortionFinding& bread = findings[0];
    EXPECT_FALSE(bread.toComparator);
    EXPECT_FALSE(bread.energy.fromMacronutrientsKj.value);
    EXPECT_FALSE(bread.servings->whole);  // its serving is not given
    EXPECT_THAT(checksOf(study, 0), IsEmpty());
    EXPECT_THAT(checksOf(study, 1), ElementsAre("composition"));
}

TEST(PortionFindings, LessCarbohydrateIsAWarningThatSaysWhy) {
    Study study = breadAndOats();
    study.foods[1].availableCarbohydrateG = 40.0;
    const auto problems = problemsOf(study, study.plan, portionFindings(study, study.plan)[1]);
    ASSERT_FALSE(problems.empty());
    EXPECT_EQ(problems[0].check, "match");
    EXPECT_EQ(problems[0].severity, Severity::warning);
    EXPECT_THAT(problems[0].what, HasSubstr("less carbohydrate eaten lowers the response by itself"));
    EXPECT_THAT(problems[0].what, HasSubstr("-20.0 %, tolerance 10 %"));
    study.foods[1].availableCarbohydrateG = 60.0;
    EXPECT_THAT(problemsOf(study, study.plan, portionFindings(study, study.plan)[1])[0].what,
                HasSubstr("more carbohydrate eaten raises the response by itself"));
    study.plan.indexPlan.matchTolerancePercent = 20.0;
    EXPECT_THAT(checksOf(study, 1), Not(testing::Contains("match")));
}

TEST(PortionFindings, TheWarningCanBeAccepted) {
    Study study = breadAndOats();
    study.foods[1].availableCarbohydrateG = 30.0;
    Acceptance acceptance;
    acceptance.check = "match";
    acceptance.because = "eaten at equal weight on purpose";
    study.accepted = {acceptance};
    const auto findings = analyse(study, study.plan);
    ASSERT_TRUE(findings.ok());
    std::size_t accepted = 0;
    for (const Problem& p : findings.value().problems) {
        accepted += p.check == "match" && !p.acceptedBecause.empty() ? 1U : 0U;
    }
    EXPECT_EQ(accepted, 1U);
}

TEST(PortionFindings, NothingGivenIsNotKnownAndNoProblem) {
    Study study = test::FeedingStudy(2).study;
    for (Food& food : study.foods) {
        food.availableCarbohydrateG.reset();
        food.portionG.reset();
        food.composition = {};
    }
    study.plan.comparator = "bread";
    study.plan.indexPlan.fibreTargetG = 30.0;
    for (const PortionFinding& finding : portionFindings(study, study.plan)) {
        EXPECT_THAT(problemsOf(study, study.plan, finding), IsEmpty());
        EXPECT_THAT(finding.amounts, IsEmpty());
        EXPECT_FALSE(finding.servings);
        EXPECT_FALSE(finding.portionFor50G.value);
        EXPECT_THAT(portionSentence(study, study.plan, finding), HasSubstr("not given"));
    }
    EXPECT_EQ(portionFindings(study, study.plan)[1].toComparator->status, MatchStatus::notKnown);
    EXPECT_THAT(portionFindings(Study{}, Plan{}), IsEmpty());
    study.plan.comparator = "no such food";
    EXPECT_FALSE(portionFindings(study, study.plan)[1].toComparator);
}

TEST(PortionFindings, HugeAndTinyNumbersNeverShowAsNumbersThatAreNone) {
    for (const double scale : {1e300, 1e-300}) {
        Study study = breadAndOats();
        study.foods[1].availableCarbohydrateG = scale;
        study.foods[1].portionG = 1.0 / scale;
        study.foods[1].composition = {scale, scale, scale, scale, 0.0, scale, scale, scale, 1.0 / scale};
        Findings findings;
        findings.plan = study.plan;
        findings.portions = portionFindings(study, study.plan);
        for (const char* key : {"portions", "servings", "composition"}) {
            const std::string csv = asCsv(buildTable(key, study, findings));
            EXPECT_EQ(csv.find("inf"), std::string::npos) << csv;
            EXPECT_EQ(csv.find("nan"), std::string::npos) << csv;
        }
    }
}

TEST(PortionTables, RowsRemarksAndWorking) {
    const Study study = breadAndOats();
    Findings findings;
    findings.plan = study.plan;
    findings.portions = portionFindings(study, study.plan);
    const Table portions = buildTable("portions", study, findings);
    ASSERT_EQ(portions.rows.size(), 2U);
    EXPECT_EQ(cellText(portions, 1, "comparator_match"), "matched");
    EXPECT_EQ(cellText(portions, 1, "comparator_difference_percent"), "-10.0");
    EXPECT_THAT(cellText(portions, 0, "remark"), HasSubstr("not given: serving, Protein"));
    EXPECT_THAT(cellText(portions, 1, "remark"), HasSubstr("stated energy far from"));
    for (const Row& row : portions.rows) {
        EXPECT_EQ(row.cells.size(), portions.columns.size());
        EXPECT_EQ(row.key, row.about.food);
    }
    const Table servings = buildTable("servings", study, findings);
    ASSERT_EQ(servings.rows.size(), 2U);
    EXPECT_EQ(cellText(servings, 0, "remark"), "the serving is not given");
    EXPECT_EQ(cellText(servings, 1, "whole"), "8");
    EXPECT_EQ(cellText(servings, 1, "energy_from"), "stated");
    const Table composition = buildTable("composition", study, findings);
    ASSERT_EQ(composition.rows.size(), 13U);  // 3 of bread, 9 of oats and the energy from macronutrients
    EXPECT_EQ(composition.rows[0].key, "bread/available_carbohydrate_g");
    EXPECT_THAT(composition.notes, ElementsAre(HasSubstr("Protein, Fat, Sugars")));
    const auto tableOf = [&](std::string_view key) -> const Table* {
        return key == "portions" ? &portions : key == "composition" ? &composition : nullptr;
    };
    for (std::size_t c = 0; c < servings.columns.size(); ++c) {
        EXPECT_FALSE(workingOf(servings, 1, c, tableOf).empty());
    }
    for (std::size_t c = 0; c < portions.columns.size(); ++c) {
        EXPECT_FALSE(workingOf(portions, 1, c, tableOf).empty());
    }
    EXPECT_THAT(workingOf(composition, 5, 5, tableOf), HasSubstr("Portion:\n    oats: 90"));
}

TEST(PortionTables, WithoutATargetTheTableSaysWhatIsMissing) {
    Study study = breadAndOats();
    study.plan.indexPlan.fibreTargetG.reset();
    Findings findings;
    findings.plan = study.plan;
    findings.portions = portionFindings(study, study.plan);
    const Table servings = buildTable("servings", study, findings);
    EXPECT_THAT(servings.rows, IsEmpty());
    EXPECT_THAT(servings.emptyText, HasSubstr("fibre_target_g"));
}

TEST(PortionSentence, SaysTheDoseTheMatchAndTheServings) {
    const Study study = breadAndOats();
    const auto findings = portionFindings(study, study.plan);
    const std::string bread = labelOf(study, "bread");
    const std::string oats = labelOf(study, "oats");
    EXPECT_EQ(portionSentence(study, study.plan, findings[1]),
              "The portion of " + oats + " (90 g) holds 45 g of available carbohydrate; matched to " + bread +
                  " (difference -10.0 %, tolerance 10 %). An intake of 30 g of fibre takes 8 servings, 360 g "
                  "of the "
                  "food, with 180 g of available carbohydrate.");
    EXPECT_EQ(portionSentence(study, study.plan, findings[0]),
              "The portion of " + bread + " (100 g) holds 50 g of available carbohydrate.");
}

TEST(PortionResults, TheSampleStudyIsMatchedAndWithoutFault) {
    const auto reading =
        readStudyFolder(std::string{TEST_SOURCE_ROOT} + "/sample_studies/seaweed-bread-breakfast");
    ASSERT_TRUE(reading.study);
    EXPECT_THAT(reading.problems, IsEmpty());
    const Study& study = *reading.study;
    for (const PortionFinding& finding : portionFindings(study, study.plan)) {
        EXPECT_THAT(problemsOf(study, study.plan, finding), IsEmpty()) << finding.food;
        EXPECT_THAT(finding.notGiven, IsEmpty());
    }
    Findings findings;
    findings.plan = study.plan;
    findings.portions = portionFindings(study, study.plan);
    const auto json = nlohmann::json::parse(resultsJson(findings));
    ASSERT_EQ(json["portions"].size(), 4U);
    EXPECT_EQ(json["portions"][2]["food"], "seaweed-toast");
    EXPECT_EQ(json["portions"][2]["comparator_match"], "matched");
    EXPECT_EQ(json["servings"][2]["whole"], 8.0);  // 4 g of fibre in a slice of 40 g
    EXPECT_EQ(json["servings"][2]["exact"], 7.5);
    EXPECT_EQ(json["servings"][0]["exact"], nullptr);  // a drink without fibre
    EXPECT_EQ(json["composition"].size(), 40U);
}

}  // namespace
}  // namespace aftercurve
