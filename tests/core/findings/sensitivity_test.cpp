// The grid of other choices: one way at a time equals the same plan run by itself.
#include "core/findings/sensitivity.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "core/curve/measures.h"
#include "core/findings/analyse.h"
#include "core/findings/results_json.h"
#include "core/findings/table.h"
#include "tests/support/study_builder.h"

namespace aftercurve {
namespace {

Study study() {
    test::StudyBuilder builder;
    builder.food("bread", FoodRole::control).food("oats", FoodRole::test).analyte("glucose", "mmol/L");
    for (int s = 1; s <= 6; ++s) {
        const std::string subject = "0" + std::to_string(s);
        const double rise = 0.3 * s;
        builder.curve(subject, "bread", 1, {-10, 0, 30, 60, 120}, {4.6, 4.8, 7.5 + rise, 6.8, 4.5});
        builder.curve(subject, "oats", 1, {-10, 0, 30, 60, 120},
                      {4.9, 4.7, 6.2 + 0.5 * rise, 6.1 - rise, 4.4});
    }
    builder.study().plan.index = false;
    Exclusion exclusion;
    exclusion.subject = "06";
    exclusion.reason = "vomited";
    builder.study().exclusions = {exclusion};
    return builder.study();
}

Findings run(const Study& study, const Plan& plan) {
    auto findings = analyse(study, plan);
    EXPECT_TRUE(findings.ok());
    return std::move(findings).value();
}

TEST(Sensitivity, EachWayIsThatPlanRunByItself) {
    const Study given = study();
    Study whole = given;
    whole.exclusions.clear();
    const Findings findings = run(given, given.plan);
    ASSERT_EQ(findings.sensitivity.size(), 1U);
    const SensitivityFinding& grid = findings.sensitivity[0];
    // 5 areas × 2 baselines × 3 windows (60, 120 the plan's, 180) × 2.
    ASSERT_EQ(grid.rows.size(), 60U);
    for (const SensitivityRow& way : grid.rows) {
        Plan plan = given.plan;
        plan.measure = way.measure;
        plan.baseline = way.baseline;
        plan.windowEndMin = way.windowEndMin;
        plan.inference.sensitivity = false;
        const Findings alone = run(way.exclusionsApplied ? given : whole, plan);
        ASSERT_EQ(alone.comparisons.size(), 1U);
        const ComparisonFinding& c = alone.comparisons[0];
        EXPECT_EQ(way.n, c.t.n);
        EXPECT_EQ(way.meanDifference, c.t.meanDifference);
        EXPECT_EQ(way.ciLow, c.t.ciLow);
        EXPECT_EQ(way.p, c.t.p);
        EXPECT_EQ(way.signedRankP, c.signedRank.p);
        EXPECT_EQ(way.hodgesLehmann, c.hodgesLehmann.estimate);
        EXPECT_EQ(way.absentBecause, c.t.absentBecause);
        EXPECT_TRUE(alone.sensitivity.empty());
    }
}

TEST(Sensitivity, ThePlannedWayComesFirstAndChangesAreCounted) {
    const Study given = study();
    const Findings findings = run(given, given.plan);
    const auto& rows = findings.sensitivity[0].rows;
    EXPECT_EQ(rows[0].changes, 0U);
    EXPECT_EQ(rows[0].meanDifference, findings.comparisons[0].t.meanDifference);
    // One change: 4 areas, 1 baseline, 2 windows, 1 without exclusions.
    EXPECT_EQ(std::count_if(rows.begin(), rows.end(), [](const auto& r) { return r.changes == 1; }), 8);
    EXPECT_TRUE(std::is_sorted(rows.begin(), rows.end(),
                               [](const auto& a, const auto& b) { return a.changes < b.changes; }));
    EXPECT_EQ(rows.back().changes, 4U);
}

TEST(Sensitivity, AWindowPastTheLastSampleHasNoTestAndIsNotCounted) {
    const Study given = study();
    const SensitivityFinding grid = run(given, given.plan).sensitivity[0];
    for (const SensitivityRow& way : grid.rows) {
        EXPECT_EQ(way.p.has_value(), way.windowEndMin < 180.0);
        EXPECT_EQ(way.p.has_value(), way.absentBecause.empty());
    }
    EXPECT_EQ(grid.count.ways, 60U);
    EXPECT_EQ(grid.count.tested, 40U);
    EXPECT_LE(grid.count.sameDirection, 40U);
}

TEST(Sensitivity, TheIntervalInSdExcludesZeroExactlyWhereTheTIntervalDoes) {
    const Study given = study();
    const Findings findings = run(given, given.plan);
    for (const SensitivityRow& way : findings.sensitivity[0].rows) {
        if (way.p) {
            ASSERT_TRUE(way.standardisedLow && way.standardisedHigh);
            EXPECT_EQ(*way.standardisedLow > 0 || *way.standardisedHigh < 0, *way.p < 0.05);
        }
    }
}

TEST(Sensitivity, NothingWithoutAComparatorOrWhereThePlanSaysSo) {
    Study given = study();
    given.foods[0].role = FoodRole::test;
    EXPECT_TRUE(run(given, given.plan).sensitivity.empty());
    Study off = study();
    off.plan.inference.sensitivity = false;
    const Findings findings = run(off, off.plan);
    EXPECT_TRUE(findings.sensitivity.empty());
    EXPECT_NE(buildTable("sensitivity", off, findings).emptyText.find("does not ask"), std::string::npos);
}

TEST(Sensitivity, EqualDifferencesGiveNoTestAndNoAgreement) {
    test::StudyBuilder builder;
    builder.food("bread", FoodRole::control).food("oats", FoodRole::test).analyte("glucose", "mmol/L");
    for (const char* subject : {"01", "02"}) {
        builder.curve(subject, "bread", 1, {0, 60, 120}, {5, 7, 5});
        builder.curve(subject, "oats", 1, {0, 60, 120}, {5, 6, 5});
    }
    const Findings findings = run(builder.study(), builder.study().plan);
    const SensitivityFinding& grid = findings.sensitivity[0];
    EXPECT_EQ(grid.count.tested, 0U);
    EXPECT_EQ(grid.count.sameSideOfAlpha, 0U);
    EXPECT_FALSE(grid.rows[0].standardised);
    const Table table = buildTable("sensitivity", builder.study(), findings);
    EXPECT_NE(table.notes[0].find("no test as planned"), std::string::npos);
}

TEST(Sensitivity, ProgressStopsIt) {
    const Study given = study();
    Plan plan = given.plan;
    plan.comparator = "bread";
    EXPECT_FALSE(sensitivityFindings(given, plan, [](double, std::string_view) { return false; }));
}

TEST(Sensitivity, StandsInResultsJson) {
    const Study given = study();
    const auto json = nlohmann::json::parse(resultsJson(run(given, given.plan)));
    ASSERT_EQ(json["sensitivity"].size(), 1U);
    EXPECT_EQ(json["sensitivity"][0]["ways"].size(), 60U);
    EXPECT_EQ(json["sensitivity"][0]["ways"][0]["changes"], 0);
    EXPECT_EQ(json["sensitivity"][0]["tested"], 40);
}

}  // namespace
}  // namespace aftercurve
