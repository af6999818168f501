// The companions of the comparisons as the results hold them: same pairs, same plan, nothing silent.
#include "core/findings/companions.h"

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
using testing::HasSubstr;

/// Triangles of 120 min over 5 mmol/L: area 60 · rise. Three foods, two analytes.
Study study(std::size_t subjects = 8) {
    test::StudyBuilder builder;
    builder.food("bread", FoodRole::control).food("oats", FoodRole::test).food("rye", FoodRole::test);
    builder.analyte("glucose", "mmol/L").analyte("insulin", "pmol/L");
    for (std::size_t s = 0; s < subjects; ++s) {
        const std::string subject = "s" + std::to_string(s);
        const double own = 2.0 + 0.37 * static_cast<double>(s * s % 7);
        builder.curve(subject, "bread", 1, {0, 60, 120}, {5, 5 + own, 5});
        builder.curve(subject, "oats", 1, {0, 60, 120},
                      {5, 4.6 + own - 0.11 * static_cast<double>(s % 3), 5});
        builder.curve(subject, "rye", 1, {0, 60, 120}, {5, 5.1 + own * 0.9, 5});
        for (const char* food : {"bread", "oats", "rye"}) {
            builder.curve(subject, food, 1, {0, 60, 120}, {30, 200 + 20 * own, 40}, "insulin");
        }
    }
    // Each analyte has rows of its own; one draw a time is what the reader makes of a file.
    builder.study().plan.index = false;
    builder.study().plan.inference.sensitivity = false;
    builder.study().plan.resamples = 499;
    return builder.study();
}

Findings run(const Study& study) {
    auto findings = analyse(study, study.plan);
    EXPECT_TRUE(findings.ok());
    return std::move(findings).value();
}

TEST(Companions, ReadThePairsOfTheComparisons) {
    const Study given = study();
    const Findings findings = run(given);
    const auto& companions = findings.companions.comparisons;
    ASSERT_EQ(companions.size(), findings.comparisons.size());
    for (std::size_t i = 0; i < companions.size(); ++i) {
        const ComparisonFinding& comparison = findings.comparisons[i];
        const CompanionFinding& c = companions[i];
        EXPECT_EQ(c.food, comparison.food);
        EXPECT_EQ(c.analyte, comparison.analyte);
        ASSERT_EQ(c.subjects.size(), comparison.pairs.size());
        for (std::size_t s = 0; s < c.subjects.size(); ++s) {
            EXPECT_EQ(c.subjects[s], comparison.pairs[s].subject);
        }
        EXPECT_EQ(c.permutation.meanDifference, comparison.t.meanDifference);
        EXPECT_EQ(c.permutation.method.empty(), !comparison.t.p.has_value());
        if (comparison.t.p) {
            EXPECT_TRUE(isClose(*c.ratio.p, *comparison.t.p, {.relative = 1e-9}));
            EXPECT_EQ(c.bootstrap.replicates, 499U);
            EXPECT_EQ(c.quantiles.points.size(), comparison.pairs.size());
        }
    }
    ASSERT_EQ(findings.companions.ranks.size(), 2U);
    EXPECT_EQ(findings.companions.ranks[0].friedman.subjects, 8U);
    EXPECT_TRUE(findings.companions.margins.empty());
    EXPECT_TRUE(findings.companions.nonInferiority.empty());
}

TEST(Companions, MarginsSpeakOfTheMainMeasureOfOneAnalyte) {
    Study given = study();
    given.plan.secondaryMeasures = {"peak"};
    MarginPlan& margins = given.plan.inference.margins;
    margins.differenceLow = -60;
    margins.differenceHigh = 60;
    margins.ratioLow = 0.8;
    margins.ratioHigh = 1.25;
    margins.nonInferiority = 30;
    const Findings findings = run(given);
    // Two foods on three scales.
    ASSERT_EQ(findings.companions.margins.size(), 6U);
    ASSERT_EQ(findings.companions.nonInferiority.size(), 2U);
    for (const MarginFinding& m : findings.companions.margins) {
        EXPECT_EQ(m.analyte, "glucose");
        EXPECT_EQ(m.measure, "area_positive_incremental");
    }
    const MarginFinding& oats = findings.companions.margins[0];
    EXPECT_EQ(oats.result.estimate, findings.comparisons[0].t.meanDifference);
    // Lower is better: the limit lies above 0 and the test is at alpha/2, so that the bound is the t
    // interval's.
    const NonInferiorityFinding& worse = findings.companions.nonInferiority[0];
    EXPECT_EQ(worse.result.limit, 30.0);
    EXPECT_TRUE(isClose(*worse.result.bound, *findings.comparisons[0].t.ciHigh, {.relative = 1e-12}));
    const Table table = buildTable("margins", given, findings);
    EXPECT_EQ(table.rows.size(), 8U);
    for (const Row& row : table.rows) {
        const std::string verdict = std::get<std::string>(row.cells[row.cells.size() - 2]);
        EXPECT_EQ(verdict.find("no difference"), std::string::npos);
    }
}

TEST(Companions, WithoutResamplingTheExactTestStays) {
    Study given = study();
    given.plan.resamples = 0;
    const Findings findings = run(given);
    const CompanionFinding& c = findings.companions.comparisons[0];
    EXPECT_EQ(c.permutation.method, "exact");
    EXPECT_FALSE(c.bootstrap.percentileLow);
    EXPECT_THAT(c.bootstrap.absentBecause, HasSubstr("resamples: 0"));
    EXPECT_THAT(c.ratioBootstrap.absentBecause, HasSubstr("resamples: 0"));
    given = study(25);
    given.plan.resamples = 0;
    EXPECT_THAT(run(given).companions.comparisons[0].permutation.absentBecause, HasSubstr("resamples: 0"));
}

TEST(Companions, TooFewResamplesAreSaid) {
    Study given = study();
    given.plan.resamples = 10;
    const Findings findings = run(given);
    EXPECT_FALSE(findings.companions.comparisons[0].bootstrap.percentileLow);
    EXPECT_FALSE(findings.companions.comparisons[0].bootstrap.absentBecause.empty());
}

TEST(Companions, TheSeedAloneDecides) {
    Study given = study();
    const Findings one = run(given);
    const Findings two = run(given);
    EXPECT_EQ(resultsJson(one), resultsJson(two));
    given.plan.seed = 2;
    EXPECT_NE(run(given).companions.comparisons[0].bootstrap.bcaLow,
              one.companions.comparisons[0].bootstrap.bcaLow);
}

TEST(Companions, OneSubjectOrEqualDifferencesGiveReasonsAndNoNumber) {
    for (const std::size_t subjects : {1U, 2U}) {
        Study given = study(subjects);
        given.plan.inference.margins.ratioLow = 0.8;
        given.plan.inference.margins.ratioHigh = 1.25;
        const Findings findings = run(given);
        for (const char* key : {"companions", "ranks", "margins", "influence"}) {
            const Table table = buildTable(key, given, findings);
            for (const Row& row : table.rows) {
                for (const Cell& cell : row.cells) {
                    if (const auto* number = std::get_if<double>(&cell)) {
                        EXPECT_TRUE(std::isfinite(*number)) << key << " " << row.key;
                    }
                }
                if (row.muted) {
                    EXPECT_FALSE(std::holds_alternative<std::monostate>(row.cells.back())) << key << row.key;
                }
            }
        }
        // Insulin is the same after every food.
        const CompanionFinding& equal = findings.companions.comparisons.back();
        EXPECT_FALSE(equal.permutation.p);
        EXPECT_FALSE(equal.trimmed.p);
        EXPECT_FALSE(equal.influence.absentBecause.empty());
    }
}

TEST(Companions, StoppingAnywhereStopsTheRun) {
    const Study given = study();
    int calls = 0;
    ASSERT_TRUE(analyse(given, given.plan, {}, [&](double, std::string_view) { return ++calls > 0; }).ok());
    for (int stop = 1; stop <= calls; stop += std::max(1, calls / 12)) {
        int n = 0;
        const auto stopped =
            analyse(given, given.plan, {}, [&](double, std::string_view) { return ++n < stop; });
        EXPECT_FALSE(stopped.ok()) << stop << " of " << calls;
    }
}

TEST(Companions, ProgressNeverFallsBack) {
    const Study given = study();
    double last = 0.0;
    ASSERT_TRUE(analyse(given, given.plan, {}, [&](double share, std::string_view) {
                    EXPECT_GE(share, last - 1e-12);
                    last = share;
                    return true;
                }).ok());
    EXPECT_EQ(last, 1.0);
}

TEST(Companions, StandInResultsJsonById) {
    const Study given = study();
    const auto json = nlohmann::json::parse(resultsJson(run(given)));
    ASSERT_FALSE(json["companions"].empty());
    EXPECT_EQ(json["companions"][0]["food"], "oats");
    EXPECT_EQ(json["companions"][0]["comparator"], "bread");
    EXPECT_EQ(json["companions"][0]["measure"], "area_positive_incremental");
    EXPECT_EQ(json["companions"][0]["analyte"], "glucose");
    // Eight subjects for each food with glucose; one line for each food whose insulin never differs.
    EXPECT_EQ(json["influence"].size(), 18U);
    EXPECT_TRUE(json["margins"].empty());
    EXPECT_EQ(json["ranks"][0]["quantity"], "Friedman χ²");
}

}  // namespace
}  // namespace aftercurve
