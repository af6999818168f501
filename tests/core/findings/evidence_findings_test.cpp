// What an authority asks, point by point: each status, from findings that are set by hand.
#include "core/findings/evidence_findings.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <set>

#include "core/findings/analyse.h"
#include "core/findings/table.h"
#include "tests/support/feeding_study.h"

namespace aftercurve {
namespace {

using testing::HasSubstr;
using testing::Not;

/// Bread is the comparator, oats the test food; nothing else is stated.
struct Given {
    Study study = test::FeedingStudy(2).study;
    Findings findings;

    Given() {
        findings.plan = study.plan;
        findings.comparisons = {comparison("glucose", "mmol/L × min", 90.0, 100.0),
                                comparison("insulin", "pmol/L × min", 4950.0, 5000.0)};
    }

    static ComparisonFinding comparison(const char* analyte, const char* unit, double food,
                                        double comparator) {
        ComparisonFinding c;
        c.analyte = analyte;
        c.measure = "area_positive_incremental";
        c.unit = unit;
        c.food = "oats";
        c.comparator = "bread";
        c.foodMean = food;
        c.comparatorMean = comparator;
        c.t.n = 8;
        c.t.meanDifference = food - comparator;
        c.t.ciLow = 1.5 * (food - comparator);
        c.t.ciHigh = 0.5 * (food - comparator);
        c.t.p = 0.01;
        c.pAdjusted = 0.02;
        return c;
    }

    ComparisonFinding& glucose() { return findings.comparisons[0]; }
    ComparisonFinding& insulin() { return findings.comparisons[1]; }

    EvidenceFinding at(const std::string& point) const {
        for (const EvidenceFinding& row : evidenceFindings(study, findings)) {
            if (row.point == point) {
                return row;
            }
        }
        ADD_FAILURE() << point;
        return {};
    }
};

std::string statusOf(const Given& given, const char* point) {
    return std::string{wordFor(given.at(point).status)};
}

TEST(Evidence, LowerGlucoseIsShownByThePThatCounts) {
    Given given;
    EXPECT_EQ(statusOf(given, "glucose_lower"), "shown");
    EXPECT_THAT(given.at("glucose_lower").has,
                HasSubstr("mean difference −10.00 mmol/L × min (95 % CI −15.00 to −5.00), −10.00 % of the "
                          "comparator's mean; p = 0.010, Holm-adjusted p = 0.020; n = 8"));
    given.glucose().pAdjusted = 0.06;  // p alone stays below alpha
    EXPECT_EQ(statusOf(given, "glucose_lower"), "not shown");
    given.glucose().pAdjusted = 0.05;  // not below it
    EXPECT_EQ(statusOf(given, "glucose_lower"), "not shown");
    given.glucose().pAdjusted.reset();
    EXPECT_EQ(statusOf(given, "glucose_lower"), "shown");
}

TEST(Evidence, HigherGlucoseIsNotShownToBeLower) {
    Given given;
    given.glucose().t.meanDifference = 10.0;
    EXPECT_EQ(statusOf(given, "glucose_lower"), "not shown");
    EXPECT_THAT(given.at("glucose_lower").remark, HasSubstr("higher"));
}

TEST(Evidence, NoTestIsMissingWithTheReason) {
    Given given;
    given.glucose().t.p.reset();
    given.glucose().pAdjusted.reset();
    given.glucose().t.absentBecause = "one pair only";
    EXPECT_EQ(statusOf(given, "glucose_lower"), "missing");
    EXPECT_THAT(given.at("glucose_lower").remark, HasSubstr("one pair only"));
    given.glucose().t.meanDifference.reset();
    EXPECT_EQ(given.at("glucose_lower").has, "one pair only");
    given.findings.comparisons.clear();
    EXPECT_EQ(statusOf(given, "glucose_lower"), "missing");
    EXPECT_EQ(statusOf(given, "subjects"), "missing");
}

TEST(Evidence, AMeasureThatIsNoHeightIsForAPerson) {
    Given given;
    given.findings.plan.measure = "time_to_peak_min";
    given.glucose().measure = "time_to_peak_min";
    EXPECT_EQ(statusOf(given, "glucose_lower"), "look");
}

TEST(Evidence, InsulinIsNeverCalledShown) {
    Given given;
    const EvidenceFinding row = given.at("insulin_not_raised");
    EXPECT_EQ(row.status, EvidenceStatus::look);
    // Upper limit −25 of 5000; 4950/90 and 5000/100.
    EXPECT_THAT(row.has, HasSubstr("upper limit −0.50 % of the comparator's mean"));
    EXPECT_THAT(row.has, HasSubstr("insulin over glucose 55.00 after the food, 50.00 after the comparator "
                                   "(pmol/L per mmol/L)"));
    EXPECT_EQ(row.analyte, "insulin");
    given.glucose().foodMean = 0.0;
    EXPECT_THAT(given.at("insulin_not_raised").has, Not(HasSubstr("over glucose")));
    given.findings.comparisons.pop_back();
    EXPECT_EQ(statusOf(given, "insulin_not_raised"), "missing");
    given.study.analytes.pop_back();
    EXPECT_EQ(given.at("insulin_not_raised").has, "insulin was not measured");
}

TimeCourseFinding course(const std::vector<std::pair<double, double>>& estimateAndP) {
    TimeCourseFinding finding;
    finding.analyte = "glucose";
    finding.foods = {"bread", "oats"};
    finding.comparator = "bread";
    for (std::size_t i = 0; i < estimateAndP.size(); ++i) {
        finding.timesMin.push_back(15.0 * static_cast<double>(i + 1));
        TimeCourseDifference d;
        d.food = 1;
        d.time = i;
        d.estimate = estimateAndP[i].first;
        d.p = 1e-6;
        d.pAdjusted = estimateAndP[i].second;
        finding.fit.differences.push_back(d);
    }
    return finding;
}

TEST(Evidence, TimesAreSortedByDirectionAndAdjustedP) {
    Given given;
    EXPECT_EQ(statusOf(given, "glucose_times"), "missing");
    given.findings.timeCourses = {course({{-1.0, 0.01}, {-0.5, 0.2}, {-0.1, 0.9}})};
    EXPECT_EQ(statusOf(given, "glucose_times"), "shown");
    EXPECT_EQ(given.at("glucose_times").has, "lower at 15 min; not told apart at 30, 45 min");
    given.findings.timeCourses = {course({{-1.0, 0.01}, {0.5, 0.02}})};
    EXPECT_EQ(statusOf(given, "glucose_times"), "look");
    EXPECT_EQ(given.at("glucose_times").has, "lower at 15 min; higher at 30 min");
    given.findings.timeCourses = {course({{-1.0, 0.4}})};
    EXPECT_EQ(statusOf(given, "glucose_times"), "not shown");
    given.findings.timeCourses = {course({{0.5, 0.02}})};
    EXPECT_EQ(statusOf(given, "glucose_times"), "not shown");
    given.findings.timeCourses = {course({})};
    given.findings.timeCourses[0].fit.absentBecause = "one subject";
    EXPECT_EQ(statusOf(given, "glucose_times"), "missing");
    EXPECT_EQ(given.at("glucose_times").remark, "one subject");
}

// 8.4 g of 60 g is exactly 14 %, 8.39 g is less (EFSA Journal 2011;9(4):2024, condition of use).
TEST(Evidence, ResistantStarchFrom14PercentOfTotalStarch) {
    Given given;
    FoodComposition& oats = given.study.foods[1].composition;
    EXPECT_EQ(statusOf(given, "resistant_starch"), "missing");
    oats.starchG = 60.0;
    EXPECT_EQ(statusOf(given, "resistant_starch"), "missing");
    oats.resistantStarchG = 8.4;
    EXPECT_EQ(statusOf(given, "resistant_starch"), "shown");
    EXPECT_EQ(given.at("resistant_starch").has, "14.00 % (8.4 g of 60 g)");
    oats.resistantStarchG = 8.39;
    EXPECT_EQ(statusOf(given, "resistant_starch"), "not shown");
    oats.starchG = 0.0;
    EXPECT_EQ(statusOf(given, "resistant_starch"), "missing");
    EXPECT_THAT(given.at("resistant_starch").has, HasSubstr("no starch"));
}

TEST(Evidence, CarbohydrateIsEqualOrTheDifferenceIsSaid) {
    Given given;
    EXPECT_EQ(statusOf(given, "carbohydrate_matched"), "shown");
    given.study.foods[1].availableCarbohydrateG = 45.0;
    EXPECT_EQ(statusOf(given, "carbohydrate_matched"), "shown");
    given.study.foods[1].availableCarbohydrateG = 40.0;
    EXPECT_EQ(statusOf(given, "carbohydrate_matched"), "look");
    EXPECT_THAT(given.at("carbohydrate_matched").has, HasSubstr("40 g, comparator 50 g: less"));
    given.study.foods[0].availableCarbohydrateG = 0.0;
    EXPECT_THAT(given.at("carbohydrate_matched").has, HasSubstr("more"));
    given.study.foods[0].availableCarbohydrateG.reset();
    EXPECT_EQ(statusOf(given, "carbohydrate_matched"), "missing");
}

TEST(Evidence, WhatPeopleStateIsForAPersonAndElseMissing) {
    Given bare;
    Given stated;
    Conduct& conduct = stated.study.conduct;
    conduct.population = "healthy adults";
    conduct.blinding = "the analyst";
    conduct.comparatorReason = "eaten instead";
    conduct.compliance = "watched";
    conduct.conditionsOfUse = "one bowl";
    conduct.duration = "four weeks";
    conduct.ethics = "committee 12/3";
    conduct.registration = "register 77";
    stated.study.foods[1].composition.fibreG = 8.5;
    for (const char* point : {"population", "blinding", "comparator", "compliance", "conditions_of_use",
                              "duration", "ethics", "registration", "characterised", "fibre"}) {
        EXPECT_EQ(statusOf(bare, point), "missing") << point;
        EXPECT_EQ(statusOf(stated, point), "look") << point;
    }
    EXPECT_EQ(stated.at("conditions_of_use").has, "one bowl; portion in the study 300 g");
    EXPECT_THAT(stated.at("characterised").has, HasSubstr("Fibre (g) 8.5"));
    EXPECT_THAT(stated.at("comparator").has, HasSubstr("Bread (reference); eaten instead"));
}

TEST(Evidence, RandomisedYesNoOrNotStated) {
    Given given;
    EXPECT_EQ(statusOf(given, "randomised"), "missing");
    given.study.conduct.randomised = true;
    EXPECT_EQ(statusOf(given, "randomised"), "shown");
    given.study.conduct.randomised = false;
    EXPECT_EQ(statusOf(given, "randomised"), "not shown");
}

TEST(Evidence, TheRegisteredPlanAndWhatWasDoneOtherwise) {
    Given given;
    EXPECT_EQ(statusOf(given, "plan_registered"), "missing");
    RegisteredFinding registered;
    registered.on = "2026-03-02";
    registered.hashHolds = true;
    given.findings.registered = {registered};
    EXPECT_EQ(statusOf(given, "plan_registered"), "shown");
    given.findings.registered[0].differences = 2;
    EXPECT_EQ(statusOf(given, "plan_registered"), "look");
    EXPECT_THAT(given.at("plan_registered").has, HasSubstr("2 choices run otherwise"));
    given.findings.registered[0].differences = 0;
    given.findings.registered[0].hashHolds = false;
    EXPECT_EQ(statusOf(given, "plan_registered"), "look");
    given.findings.registered = {registered, registered};
    EXPECT_EQ(statusOf(given, "plan_registered"), "look");
    EXPECT_THAT(given.at("plan_registered").has, HasSubstr("1 earlier version"));
}

TEST(Evidence, TheSignInEveryWay) {
    Given given;
    EXPECT_EQ(statusOf(given, "sensitivity"), "missing");
    SensitivityFinding grid;
    grid.analyte = "glucose";
    grid.food = "oats";
    grid.rows.resize(3);
    given.findings.sensitivity = {grid};
    EXPECT_EQ(statusOf(given, "sensitivity"), "missing");  // no way has a test
    for (SensitivityRow& row : given.findings.sensitivity[0].rows) {
        row.meanDifference = -1.0;
        row.p = 0.5;
    }
    EXPECT_EQ(statusOf(given, "sensitivity"), "shown");
    EXPECT_THAT(given.at("sensitivity").has, HasSubstr("3 of 3 ways"));
    given.findings.sensitivity[0].rows[2].meanDifference = 0.25;
    EXPECT_EQ(statusOf(given, "sensitivity"), "not shown");
    EXPECT_THAT(given.at("sensitivity").has, HasSubstr("2 of 3 ways"));
}

TEST(Evidence, ExclusionsWithTheirEffect) {
    Given given;
    EXPECT_EQ(statusOf(given, "exclusions"), "shown");
    given.study.exclusions.resize(1);
    EXPECT_EQ(statusOf(given, "exclusions"), "look");
    given.findings.comparisonsIgnoringExclusions = {
        Given::comparison("glucose", "mmol/L × min", 95.0, 100.0)};
    EXPECT_THAT(given.at("exclusions").has, HasSubstr("without them: mean difference −5.00"));
    given.findings.exclusionsIgnored = true;
    EXPECT_THAT(given.at("exclusions").has, HasSubstr("ignore the exclusions"));
}

TEST(Evidence, NothingWithoutAComparatorOrATestFood) {
    Given given;
    given.findings.plan.comparator.clear();
    EXPECT_TRUE(evidenceFindings(given.study, given.findings).empty());
    EXPECT_EQ(evidenceSentence(given.study, {}, "oats"), "");
    Given noTest;
    noTest.study.foods[1].role = FoodRole::control;
    EXPECT_TRUE(evidenceFindings(noTest.study, noTest.findings).empty());
    EXPECT_THAT(buildTable("evidence", noTest.study, noTest.findings).emptyText, HasSubstr("\"test\""));
}

// Whole runs: plain, degenerate, and of huge values.
TEST(Evidence, EachRowIsWholeAndAdvisesNothing) {
    test::FeedingStudy plain(8);
    test::FeedingStudy one(1);
    test::FeedingStudy huge(4);
    huge.scale("glucose", 1e290, [](const Draw&) { return true; });
    test::FeedingStudy nobody(3);
    Exclusion all;
    all.reason = "none came";
    nobody.study.exclusions = {all};
    for (Study study : {plain.study, one.study, huge.study, nobody.study}) {
        study.plan.resamples = 0;
        const auto analysed = analyse(study, study.plan);
        ASSERT_TRUE(analysed.ok());
        const Findings& findings = analysed.value();
        ASSERT_FALSE(findings.evidence.empty());
        std::set<std::string> points;
        std::string text =
            evidenceSentence(study, findings.evidence, "oats") + evidenceClosingSentence() + "\n";
        for (const EvidenceFinding& row : findings.evidence) {
            EXPECT_TRUE(points.insert(row.point).second) << row.point;
            for (const std::string* words : {&row.words, &row.asked, &row.has, &row.source}) {
                EXPECT_FALSE(words->empty()) << row.point;
            }
            text +=
                row.words + "; " + row.asked + "; " + row.has + "; " + row.remark + "; " + row.source + "\n";
        }
        for (const char* never : {"allowed", "permitted", "approved", "entitle", "you may", "disproved",
                                  "no difference", "no effect", "nan", "inf "}) {
            EXPECT_THAT(text, Not(HasSubstr(never)));
        }
        const Table table = buildTable("evidence", study, findings);
        EXPECT_EQ(table.rows.size(), findings.evidence.size());
        EXPECT_TRUE(table.rows.front().key.starts_with("glucose/oats/"));
        EXPECT_THAT(table.notes.at(0), HasSubstr("advises nobody"));
    }
}

TEST(Evidence, TheSentenceCountsAllPoints) {
    const Given given;
    const auto rows = evidenceFindings(given.study, given.findings);
    EXPECT_THAT(
        evidenceSentence(given.study, rows, "oats"),
        HasSubstr("Of " + std::to_string(rows.size()) + " points that an authority looks at, for Oats"));
    EXPECT_EQ(evidenceSentence(given.study, rows, "bread"), "");
}

}  // namespace
}  // namespace aftercurve
