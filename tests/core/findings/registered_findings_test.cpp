// A plan as registered: bytes, hash, what differs from what ran, and how it is kept in study.json.
#include "core/findings/registered_findings.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "core/edit/edit.h"
#include "core/files/plan_json.h"
#include "core/files/registered_plan_json.h"
#include "core/files/sha256.h"
#include "core/files/study_json.h"
#include "core/findings/analyse.h"
#include "core/findings/results_json.h"
#include "core/findings/table.h"
#include "tests/support/study_builder.h"

namespace aftercurve {
namespace {

using testing::HasSubstr;

Study study() {
    test::StudyBuilder builder;
    builder.food("bread", FoodRole::control).food("oats", FoodRole::test).analyte("glucose", "mmol/L");
    for (const char* subject : {"01", "02", "03"}) {
        const double rise = subject[1] - '0';
        builder.curve(subject, "bread", 1, {0, 60, 120}, {5, 7 + rise, 5});
        builder.curve(subject, "oats", 1, {0, 60, 120}, {5, 6 + rise * rise, 5});
    }
    builder.study().plan.index = false;
    return builder.study();
}

Findings run(const Study& study, const Plan& plan) {
    auto findings = analyse(study, plan);
    EXPECT_TRUE(findings.ok());
    return std::move(findings).value();
}

TEST(RegisteredPlan, BytesDependOnThePlanAloneAndCarryItWhole) {
    Plan plan;
    EXPECT_EQ(canonicalPlanText(plan), canonicalPlanText(Plan{}));
    const RegisteredPlan registered = registrationOf(plan, "2026-03-02", "AB", "");
    EXPECT_EQ(registered.sha256, sha256Hex(canonicalPlanText(plan)));
    plan.inference.trim = 0.25;
    EXPECT_NE(canonicalPlanText(plan), registered.planJson);
    const auto json = nlohmann::json::parse(canonicalPlanText(plan));
    EXPECT_EQ(json["trim"], 0.25);
    // Sorted keys, no spaces: the same bytes from the same JSON, whoever writes it.
    EXPECT_EQ(json.dump(), canonicalPlanText(plan));
}

TEST(RegisteredPlan, RunAsRegisteredSaysSo) {
    Study given = study();
    given.registered = {registrationOf(given.plan, "2026-03-02", "AB", "deposited with the ward")};
    const Findings findings = run(given, given.plan);
    ASSERT_EQ(findings.registered.size(), 1U);
    EXPECT_TRUE(findings.registered[0].hashHolds);
    EXPECT_EQ(findings.registered[0].differences, 0U);
    for (const Problem& problem : findings.problems) {
        EXPECT_NE(problem.column, "registered_plans") << problem.what;
    }
    const Table table = buildTable("plan_registered", given, findings);
    EXPECT_THAT(table.notes.at(0), HasSubstr("run as registered."));
    EXPECT_THAT(table.notes.at(0), HasSubstr("deposited with the ward"));
}

TEST(RegisteredPlan, TheComparatorFoundByItsRoleIsNoDifference) {
    Study given = study();
    given.registered = {registrationOf(given.plan, "2026-03-02", "AB", "")};
    Plan named = given.plan;
    named.comparator = "bread";
    EXPECT_EQ(run(given, named).registered[0].differences, 0U);
}

TEST(RegisteredPlan, WhatDiffersIsListedAndWarnedOf) {
    Study given = study();
    given.registered = {registrationOf(given.plan, "2026-03-02", "AB", "")};
    Plan plan = given.plan;
    plan.windowEndMin = 60;
    plan.inference.margins.differenceLow = -5;
    plan.inference.margins.differenceHigh = 5;
    const Findings findings = run(given, plan);
    EXPECT_EQ(findings.registered[0].differences, 3U);
    const auto warned = std::find_if(findings.problems.begin(), findings.problems.end(),
                                     [](const Problem& p) { return p.column == "registered_plans"; });
    ASSERT_NE(warned, findings.problems.end());
    EXPECT_EQ(warned->severity, Severity::warning);
    EXPECT_THAT(warned->what, HasSubstr("window_end_min 120 → 60"));
    EXPECT_THAT(warned->what, HasSubstr("equivalence_difference_high (not given) → 5"));
    const auto json = nlohmann::json::parse(resultsJson(findings));
    EXPECT_EQ(json["registered_plans"][0]["differences"].size(), 3U);
    EXPECT_EQ(json["registered_plans"][0]["hash_holds"], true);
}

TEST(RegisteredPlan, AnAmendmentIsTheOneThatCounts) {
    Study given = study();
    given.registered = {registrationOf(given.plan, "2026-03-02", "AB", "")};
    given.plan.windowEndMin = 60;
    given.registered.push_back(registrationOf(given.plan, "2026-04-02", "AB", "draws at 120 min were lost"));
    const Findings findings = run(given, given.plan);
    EXPECT_EQ(findings.registered[0].differences, 1U);
    EXPECT_EQ(findings.registered[1].differences, 0U);
    for (const Problem& problem : findings.problems) {
        EXPECT_NE(problem.column, "registered_plans") << problem.what;
    }
}

TEST(RegisteredPlan, AnAlteredOneIsFound) {
    Study given = study();
    given.registered = {registrationOf(given.plan, "2026-03-02", "AB", "")};
    const std::size_t at = given.registered[0].planJson.find("120");
    given.registered[0].planJson.replace(at, 3, "180");
    const Findings findings = run(given, given.plan);
    EXPECT_FALSE(findings.registered[0].hashHolds);
    EXPECT_TRUE(std::any_of(findings.problems.begin(), findings.problems.end(), [](const Problem& p) {
        return p.what.find("one of them was altered") != std::string::npos;
    }));
}

std::string withEntry(const std::string& entry) {
    return R"({"format": "aftercurve-study", "version": 2, "title": "t",
 "foods": [{"id": "bread", "role": "control"}], "analytes": [{"id": "glucose", "unit": "mmol/L"}],
 "samples": ["samples.csv"], "registered_plans": [)" +
           entry + "]}";
}

std::optional<StudyDeclaration> readJson(const std::string& text) {
    ProblemList problems{20};
    return readStudyJson(text, {}, problems);
}

TEST(RegisteredPlan, SurvivesStudyJsonWithKeysOfOthers) {
    const RegisteredPlan registered = registrationOf(Plan{}, "2026-03-02", "AB", "with the \"ward\"");
    Json root = Json::object();
    putRegisteredPlans(std::vector{registered}, root);
    root["registered_plans"][0]["deposit"] = "shelf 3";
    const auto reading = readJson(withEntry(root["registered_plans"][0].dump()));
    ASSERT_TRUE(reading);
    ASSERT_EQ(reading->study.registered.size(), 1U);
    EXPECT_EQ(reading->study.registered[0], registered);
    putRegisteredPlans(reading->study.registered, root);
    EXPECT_EQ(root["registered_plans"][0]["deposit"], "shelf 3");
    putRegisteredPlans({}, root);
    EXPECT_FALSE(root.contains("registered_plans"));
}

TEST(RegisteredPlan, EntriesThatAreNoneAreRefused) {
    const std::string hash(64, 'a');
    const std::vector<std::string> bad{"{}", R"({"plan": {}, "sha256": "abc", "on": "2026-03-02"})",
                                       R"({"plan": {}, "sha256": ")" + hash + R"(", "on": "2 March"})",
                                       R"({"plan": [], "sha256": ")" + hash + R"(", "on": "2026-03-02"})",
                                       R"({"plan": {}, "on": "2026-03-02"})"};
    for (const std::string& entry : bad) {
        EXPECT_FALSE(readJson(withEntry(entry))) << entry;
    }
    EXPECT_TRUE(readJson(withEntry(R"({"plan": {}, "sha256": ")" + hash + R"(", "on": "2026-03-02"})")));
}

TEST(RegisteredPlan, IsAnEditThatCanBeTakenBack) {
    Study given = study();
    const Study before = given;
    SetRegistered set;
    set.registered = {registrationOf(given.plan, "2026-03-02", "AB", "")};
    EXPECT_THAT(describe(given, set), HasSubstr("plan registered on 2026-03-02"));
    const auto inverse = apply(given, set);
    ASSERT_TRUE(inverse.ok());
    EXPECT_EQ(given.registered, set.registered);
    ASSERT_TRUE(apply(given, inverse.value()).ok());
    EXPECT_EQ(given, before);
    set.registered[0].on = "tomorrow";
    EXPECT_FALSE(apply(given, set).ok());
    EXPECT_EQ(given, before);
}

}  // namespace
}  // namespace aftercurve
