#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <set>
#include <sstream>

#include "core/check/check.h"
#include "core/check/found.h"
#include "tests/support/check_run.h"
#include "tests/support/feeding_study.h"

namespace aftercurve {

using test::FeedingStudy;
using test::keysFound;
using testing::HasSubstr;

TEST(CheckList, EveryCheckHasItsOwnKeyALabelASourceAndARowInTheHandbook) {
    std::ifstream in(std::string{TEST_SOURCE_ROOT} + "/docs/methods.md");
    std::ostringstream handbook;
    handbook << in.rdbuf();
    std::set<std::string_view> keys;
    for (const Check& check : checkList()) {
        EXPECT_TRUE(keys.insert(check.key).second) << check.key;
        EXPECT_FALSE(check.label.empty()) << check.key;
        EXPECT_FALSE(check.source.empty()) << check.key;
        EXPECT_TRUE(isCheckKey(check.key));
        EXPECT_THAT(handbook.str(), HasSubstr("| `" + std::string{check.key} + "` |"));
    }
    EXPECT_THAT(handbook.str(), HasSubstr("| `clinician-range` |"));
    EXPECT_TRUE(isCheckKey("clinician-range"));
    EXPECT_THAT(handbook.str(), HasSubstr("| `index-standard` |"));
    EXPECT_TRUE(isCheckKey("index-standard"));
    for (const std::string key : {"match", "composition"}) {
        EXPECT_TRUE(isCheckKey(key)) << key;
        EXPECT_THAT(handbook.str(), HasSubstr("| `" + key + "` |"));
    }
    EXPECT_FALSE(isCheckKey("fasting"));
}

TEST(Checks, FindNothingInAFaultlessStudy) {
    FeedingStudy clean;
    EXPECT_EQ(keysFound(clean.study), "");
    clean.addVisits();
    clean.study.plan.washoutDays = 10.0;
    EXPECT_EQ(keysFound(clean.study), "");
    for (std::size_t subjects : {1U, 2U, 40U}) {
        EXPECT_EQ(keysFound(FeedingStudy{subjects}.study), "") << subjects;
    }
}

TEST(Checks, FindNothingInAFaultlessStudyInTheOtherUnits) {
    FeedingStudy clean;
    clean.scale("glucose", 18.016, [](const Draw&) { return true; });
    clean.scale("insulin", 1.0 / 6.0, [](const Draw&) { return true; });
    clean.study.analytes = {{"glucose", "mg/dL", ""}, {"insulin", "µIU/mL", ""}};
    EXPECT_EQ(keysFound(clean.study), "");
}

TEST(Checks, DegenerateStudiesAreNoFault) {
    EXPECT_EQ(keysFound(Study{}), "");

    // One subject, one sample.
    test::StudyBuilder one;
    one.food("bread", FoodRole::test).analyte("glucose", "mmol/L").curve("01", "bread", 1, {0}, {5.0});
    EXPECT_EQ(keysFound(one.study()), "");

    // No analyte that the checks know a range for, and no unit.
    test::StudyBuilder unknown;
    unknown.food("bread", FoodRole::test).analyte("x", "");
    unknown.curve("01", "bread", 1, {0, 30, 60}, {1e6, 2e6, 1.5e6}, "x");
    EXPECT_EQ(keysFound(unknown.study()), "");
}

TEST(Checks, AStudyWithoutAnyValueSaysSoOfEachVisit) {
    FeedingStudy study{2};
    for (auto& column : study.study.concentrations) {
        column.assign(column.size(), std::nullopt);
    }
    EXPECT_EQ(keysFound(study.study), "visit-without-samples");
    EXPECT_EQ(test::found(study.study, "visit-without-samples").size(), 6U);
}

TEST(Checks, AStudyOfEqualValuesIsFrozenCopiedAndNothingElse) {
    FeedingStudy study{8};
    study.study.concentrations[0].assign(study.study.draws.size(), 5.0);
    study.study.concentrations[1].assign(study.study.draws.size(), 50.0);
    // A flat curve is no copy (nothing distinguishes it), and where no curve rises no subject is odd.
    EXPECT_EQ(keysFound(study.study), "frozen-values");
}

TEST(Checks, VeryLargeAndVerySmallValuesAreBorne) {
    FeedingStudy study{3};
    study.scale("glucose", 1e300, [](const Draw& d) { return d.subject == 0; });
    study.scale("glucose", 1e-300, [](const Draw& d) { return d.subject == 1; });
    study.cell("03", "oats", 1, 30) = 0.0;
    for (const Problem& p : runChecks(study.study, study.study.plan)) {
        EXPECT_EQ(p.what.find("inf"), std::string::npos) << p.what;
        EXPECT_EQ(p.what.find("nan"), std::string::npos) << p.what;
    }
}

TEST(Checks, EveryProblemNamesItsCheckItsSeverityAndAPlace) {
    FeedingStudy study;
    study.cell("03", "oats", 1, 30) = 50.0;
    study.cell("04", "bread", 2, -10) = 6.0;
    study.study.nominalMin.assign(study.study.draws.size(), std::nullopt);
    study.study.nominalMin[5] = study.study.draws[5].timeMin - 9.0;
    const auto problems = runChecks(study.study, study.study.plan);
    EXPECT_GE(problems.size(), 4U);
    for (const Problem& p : problems) {
        EXPECT_TRUE(isCheckKey(p.check)) << p.what;
        EXPECT_NE(p.severity, Severity::error) << p.what;
        EXPECT_EQ(p.file, "samples.csv") << p.what;
        EXPECT_GT(p.row, 1U) << p.what;
        EXPECT_FALSE(p.what.empty());
    }
}

TEST(Checks, AnExcludedCurveIsLookedAtNoMore) {
    FeedingStudy study;
    study.cell("03", "oats", 1, 30) = 50.0;
    EXPECT_EQ(keysFound(study.study), "decimal-slip");
    study.study.exclusions.push_back({"03", "oats", std::nullopt, "glucose", "mistyped", "", ""});
    EXPECT_EQ(keysFound(study.study), "");
    study.study.exclusions = {{"03", "oats", 1, "", "mistyped", "", "", 30.0}};
    EXPECT_EQ(keysFound(study.study), "");
}

TEST(Checks, TheFirstFiftyAreListedAndTheRestIsCounted) {
    // 20 subjects × 3 visits: every curve lacks its fasting values.
    FeedingStudy study{20};
    auto& glucose = study.study.concentrations[0];
    for (std::size_t d = 0; d < glucose.size(); ++d) {
        if (study.study.draws[d].timeMin <= 0.0) {
            glucose[d].reset();
        }
    }
    auto problems = test::found(study.study, "missing-baseline");
    ASSERT_EQ(problems.size(), listedProblems + 1);
    EXPECT_THAT(problems.back().what, HasSubstr("10 more of the check 'missing-baseline'"));
    EXPECT_EQ(problems.back().severity, Severity::warning);

    // Accepted ones take no place from the open ones: 51 are open, the first 9 are not.
    for (const char* subject : {"01", "02", "03"}) {
        study.study.accepted.push_back(
            {"missing-baseline", subject, "", std::nullopt, "", std::nullopt, "known", "", ""});
    }
    problems = test::found(study.study, "missing-baseline");
    ASSERT_EQ(problems.size(), 9 + listedProblems + 1);
    EXPECT_THAT(problems.back().what, HasSubstr("1 more of the check"));
}

TEST(Checks, ExactlyFiftyNeedNoCount) {
    // 50 of the 60 glucose curves lack their fasting values.
    FeedingStudy study{20};
    std::size_t curves = 0;
    auto& glucose = study.study.concentrations[0];
    for (std::size_t d = 0; d < glucose.size() && curves < listedProblems; ++d) {
        if (study.study.draws[d].timeMin <= 0.0) {
            glucose[d].reset();
            curves += study.study.draws[d].timeMin == 0.0 ? 1U : 0U;
        }
    }
    EXPECT_EQ(test::found(study.study, "missing-baseline").size(), listedProblems);
}

TEST(Checks, StopWhenTheProgressSaysSo) {
    FeedingStudy study;
    study.cell("03", "oats", 1, 30) = 50.0;
    int calls = 0;
    const CheckRun run =
        runChecks(study.study, study.study.plan, [&calls](double fraction, std::string_view) {
            EXPECT_GE(fraction, 0.0);
            EXPECT_LE(fraction, 1.0);
            return ++calls < 3;
        });
    EXPECT_TRUE(run.stopped);
    EXPECT_EQ(calls, 3);
    EXPECT_TRUE(run.problems.empty());
    EXPECT_FALSE(runChecks(study.study, study.study.plan, {}).stopped);
}

}  // namespace aftercurve
