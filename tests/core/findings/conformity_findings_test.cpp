// A study against the published rules of the index: every status of every requirement. Limits as in
// core/index/index_standards.h; the values of the studies are set by hand.
#include "core/findings/conformity_findings.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <functional>
#include <set>

#include "core/findings/analyse.h"
#include "core/findings/index_test_facts.h"
#include "core/findings/table.h"
#include "tests/support/feeding_study.h"

namespace aftercurve {
namespace {

using testing::HasSubstr;
using testing::Not;

constexpr auto iso = IndexStandard::iso26642;
constexpr auto fao = IndexStandard::fao1998;
constexpr auto wst = IndexStandard::wst652;
constexpr auto as = IndexStandard::as4694;
constexpr auto met = ConformityStatus::met;
constexpr auto notMet = ConformityStatus::notMet;
constexpr auto notStated = ConformityStatus::notStated;
constexpr auto look = ConformityStatus::look;

Findings run(const Study& study) {
    Plan plan = study.plan;
    plan.resamples = 0;
    plan.inference.sensitivity = false;
    auto findings = analyse(study, plan);
    EXPECT_TRUE(findings.ok());
    return std::move(findings).value();
}

const ConformityFinding* find(const Findings& findings, IndexStandard standard, const std::string& key,
                              const std::string& food = {}) {
    for (const ConformityFinding& row : findings.conformity) {
        if (row.standard == standard && row.requirement == key && (food.empty() || row.food == food)) {
            return &row;
        }
    }
    return nullptr;
}

struct Case {
    const char* key;
    const char* food;
    IndexStandard standard;
    ConformityStatus status;
    const char* has;  ///< a part of it
    std::function<void(test::FeedingStudy&)> change;
};

/// Takes the value at one time out of the glucose curves of the first `subjects`, all visits.
void takeOut(test::FeedingStudy& s, double timeMin, std::size_t curves) {
    std::size_t taken = 0;
    for (std::size_t d = 0; d < s.study.draws.size() && taken < curves; ++d) {
        if (s.study.draws[d].timeMin == timeMin) {
            s.study.concentrations[0][d].reset();
            ++taken;
        }
    }
}

void exclude(test::FeedingStudy& s, const char* subject, const char* food, std::optional<int> visit) {
    Exclusion e;
    e.subject = subject;
    e.food = food;
    e.visit = visit;
    e.reason = "left early";
    s.study.exclusions.push_back(e);
}

TEST(Conformity, EachStatusOfEachRequirement) {
    const auto nothing = [](test::FeedingStudy&) {};
    const auto carbohydrate = [](std::size_t food, std::optional<double> g) {
        return [=](test::FeedingStudy& s) { s.study.foods[food].availableCarbohydrateG = g; };
    };
    const Case cases[] = {
        {"subjects", "oats", iso, met, "10", nothing},
        {"subjects", "oats", iso, notMet, "9", [](auto& s) { exclude(s, "01", "oats", {}); }},
        {"subjects", "oats", fao, met, "9", [](auto& s) { exclude(s, "01", "oats", {}); }},
        {"health", "", iso, notStated, "not stated", nothing},
        {"health", "", iso, look, "not taken in: diabetes",
         [](auto& s) { s.study.conduct.healthCriteria = "diabetes"; }},
        {"reference_tests", "bread", iso, met, "fewest 2; 10 of 10 subjects with at least 2", nothing},
        {"reference_tests", "bread", iso, notMet, "fewest 1; 9 of 10 subjects with at least 2",
         [](auto& s) { exclude(s, "03", "bread", 2); }},
        {"reference_tests", "bread", fao, notMet, "fewest 2; 0 of 10 subjects with at least 3", nothing},
        {"reference_tests", "bread", iso, met, "fewest 2; 10 of 10 subjects",
         [](auto& s) { exclude(s, "", "oats", {}); }},
        {"test_tests", "oats", iso, met, "fewest 1 of 10 subjects", nothing},
        {"test_tests", "oats", iso, notMet, "no subject has an index",
         [](auto& s) { exclude(s, "", "oats", {}); }},
        {"portion", "oats", iso, met, "50 g", nothing},
        {"portion", "oats", iso, met, "45 g", carbohydrate(1, 45.0)},  // 10 % exactly
        {"portion", "oats", iso, notMet, "44 g", carbohydrate(1, 44.0)},
        {"portion", "oats", iso, met, "25 g", carbohydrate(1, 25.0)},
        {"portion", "oats", fao, notMet, "25 g", carbohydrate(1, 25.0)},
        {"portion", "oats", wst, notMet, "25 g", carbohydrate(1, 25.0)},
        {"portion", "bread", iso, notStated, "not stated", carbohydrate(0, std::nullopt)},
        {"equal_carbohydrate", "oats", iso, met, "50 g beside 50 g", nothing},
        {"equal_carbohydrate", "oats", iso, notMet, "50.00 % apart, not within", carbohydrate(1, 25.0)},
        {"equal_carbohydrate", "oats", iso, notMet, "50 g beside 0 g", carbohydrate(0, 0.0)},
        {"equal_carbohydrate", "oats", wst, notStated, "not stated", carbohydrate(1, std::nullopt)},
        {"serving_carbohydrate", "oats", iso, notStated, "not stated", nothing},
        // 50 g in 300 g: 10 g in 60 g.
        {"serving_carbohydrate", "oats", iso, met, "10.00 g in 60 g",
         [](auto& s) { s.study.foods[1].composition.servingG = 60.0; }},
        {"serving_carbohydrate", "oats", iso, notMet, "9.00 g in 54 g",
         [](auto& s) { s.study.foods[1].composition.servingG = 54.0; }},
        {"reference_food", "bread", iso, look, "declared as the glucose scale by the plan (factor 1)",
         nothing},
        {"reference_food", "bread", iso, met, "(factor 1, the drink is glucose)",
         [](auto& s) { s.study.plan.indexPlan.referenceFactorSource = "the drink is glucose"; }},
        {"reference_food", "bread", iso, notMet, "factor 0.7",
         [](auto& s) { s.study.plan.indexPlan.referenceFactor = 0.7; }},
        {"reference_food", "bread", fao, met, "factor 0.7",
         [](auto& s) { s.study.plan.indexPlan.referenceFactor = 0.7; }},
        {"sample_times", "", iso, met, "90 % of 30 curves", nothing},
        {"sample_times", "", iso, met, "90 % of 30 curves", [](auto& s) { takeOut(s, 45.0, 3); }},
        {"sample_times", "", iso, notMet, "too few of 30 curves have 45 min (26)",
         [](auto& s) { takeOut(s, 45.0, 4); }},
        {"sample_times", "", iso, notStated, "no glucose curve counts",
         [](auto& s) { exclude(s, "", "", {}); }},
        {"baseline", "", iso, met, "2 at or before 0 min", nothing},
        {"baseline", "", fao, notMet, "the plan takes their mean", nothing},
        {"baseline", "", fao, met, "alone", [](auto& s) { s.study.plan.baseline = BaselineRule::timeZero; }},
        {"baseline", "", iso, notMet, "alone",
         [](auto& s) { s.study.plan.baseline = BaselineRule::timeZero; }},
        {"baseline", "", iso, notMet, "1 at or before", [](auto& s) { takeOut(s, -10.0, 1000); }},
        {"baseline", "", fao, met, "1 at or before", [](auto& s) { takeOut(s, -10.0, 1000); }},
        {"baseline", "", iso, notStated, "no glucose curve counts", [](auto& s) { exclude(s, "", "", {}); }},
        {"window", "", iso, met, "0 to 120 min", nothing},
        {"window", "", iso, notMet, "0 to 90 min", [](auto& s) { s.study.plan.windowEndMin = 90.0; }},
        {"window", "", wst, notMet, "0 to 90 min", [](auto& s) { s.study.plan.windowEndMin = 90.0; }},
        {"window", "", iso, notMet, "0 to 150 min", [](auto& s) { s.study.plan.windowEndMin = 150.0; }},
        {"window", "", wst, met, "0 to 150 min", [](auto& s) { s.study.plan.windowEndMin = 150.0; }},
        {"area", "", iso, met, "ncremental area", nothing},
        {"area", "", iso, notMet, "otal area", [](auto& s) { s.study.plan.measure = "area_total"; }},
        {"reference_cv", "bread", iso, met, "%", nothing},
        {"reference_cv", "bread", iso, notMet, "%",
         [](auto& s) { s.scale("glucose", 3.0, [](const Draw& d) { return d.food == 0 && d.visit == 2; }); }},
        {"reference_cv", "bread", iso, notStated, "no subject has two visits",
         [](auto& s) { exclude(s, "", "bread", 2); }},
        {"outliers", "", iso, met, "rule 'none': 0 values", nothing},
        {"analyser_cv", "", iso, notStated, "not stated", nothing},
        {"analyser_cv", "", iso, met, "3.5 %", [](auto& s) { s.study.conduct.analyserCvPercent = 3.5; }},
        {"analyser_cv", "", iso, notMet, "3.6 %", [](auto& s) { s.study.conduct.analyserCvPercent = 3.6; }},
        {"fast", "", iso, notStated, "not stated", nothing},
        {"fast", "", iso, met, "10 h", [](auto& s) { s.study.conduct.fastHours = 10.0; }},
        {"fast", "", as, notMet, "9.5 h", [](auto& s) { s.study.conduct.fastHours = 9.5; }},
        {"eating", "", iso, notStated, "not stated", nothing},
        {"eating", "", iso, met, "15 min", [](auto& s) { s.study.conduct.eatingMinutes = 15.0; }},
        {"eating", "", iso, notMet, "20 min", [](auto& s) { s.study.conduct.eatingMinutes = 20.0; }},
        {"specimen", "", iso, notStated, "not stated", nothing},
        {"specimen", "", iso, met, "Capillary whole blood",
         [](auto& s) { s.study.analytes[0].specimen = "Capillary whole blood"; }},
        {"specimen", "", iso, notMet, "venous plasma",
         [](auto& s) { s.study.analytes[0].specimen = "venous plasma"; }},
        {"rounding", "oats", iso, ConformityStatus::notApplicable, "(from ", nothing},
        {"class", "oats", as, ConformityStatus::notApplicable, "(", nothing},
        {"class", "oats", as, ConformityStatus::notApplicable, "no class",
         [](auto& s) { s.study.plan.measure = "area_total"; }},
        {"class", "oats", as, ConformityStatus::notApplicable, "no index",
         [](auto& s) { exclude(s, "", "oats", {}); }},
    };
    for (const Case& c : cases) {
        test::FeedingStudy given(10);
        c.change(given);
        const Findings findings = run(given.study);
        const ConformityFinding* row = find(findings, c.standard, c.key, c.food);
        ASSERT_NE(row, nullptr) << c.key << " " << c.has;
        EXPECT_EQ(wordFor(row->status), wordFor(c.status)) << c.key << ": " << row->has;
        EXPECT_THAT(row->has, HasSubstr(c.has)) << c.key;
        if (c.status == notMet || c.status == notStated) {
            EXPECT_TRUE(!row->remark.empty() || row->has.starts_with("no glucose curve")) << c.key;
        }
    }
}

TEST(Conformity, WhatARuleDoesNotSayHasNoRow) {
    const Findings findings = run(test::FeedingStudy(4).study);
    EXPECT_EQ(find(findings, wst, "sample_times"), nullptr);
    EXPECT_EQ(find(findings, wst, "reference_cv"), nullptr);
    EXPECT_EQ(find(findings, fao, "class"), nullptr);
    EXPECT_EQ(find(findings, fao, "outliers"), nullptr);
    EXPECT_EQ(find(findings, as, "analyser_cv"), nullptr);
}

TEST(Conformity, EachRowHasItsSourceAndThePlansRuleComesFirst) {
    test::FeedingStudy given(4);
    given.study.plan.indexPlan.standard = wst;
    const Findings findings = run(given.study);
    ASSERT_FALSE(findings.conformity.empty());
    EXPECT_EQ(findings.conformity.front().standard, wst);
    std::set<IndexStandard> standards;
    for (const ConformityFinding& row : findings.conformity) {
        standards.insert(row.standard);
        EXPECT_FALSE(row.source.empty()) << row.requirement;
        EXPECT_FALSE(row.asked.empty()) << row.requirement;
        EXPECT_FALSE(row.has.empty()) << row.requirement;
        EXPECT_FALSE(row.words.empty()) << row.requirement;
        if (row.standard == as) {
            EXPECT_EQ(row.basis, RuleBasis::fromMemory) << row.requirement;
        }
    }
    EXPECT_EQ(standards.size(), 4U);
    const Table table = buildTable("conformity", given.study, findings);
    EXPECT_EQ(table.rows.size(), findings.conformity.size());
    EXPECT_EQ(table.rows.front().key, "wst-652/subjects/oats");
}

/// An index of exactly `mean`, set by hand.
Findings withIndex(double mean, IndexStandard standard) {
    test::FeedingStudy given(2);
    given.study.plan.indexPlan.standard = standard;
    Findings findings = run(given.study);
    findings.index.front().index.mean = mean;
    findings.conformity = conformityFindings(given.study, findings.plan, findings.curves, findings.index);
    return findings;
}

TEST(Conformity, ClassesDifferWhereTheRulesDo) {
    struct Expected {
        double index;
        const char* iso;
        const char* as;
        const char* wst;
    };
    for (const Expected& e : {Expected{70.0, "medium (70.00)", "high (70.00)", "medium (70.00)"},
                              Expected{55.4, "low (55.40)", "low (55.40)", "medium (55.40)"},
                              Expected{55.5, "medium (55.50)", "medium (55.50)", "medium (55.50)"},
                              Expected{69.5, "medium (69.50)", "high (69.50)", "medium (69.50)"}}) {
        const Findings findings = withIndex(e.index, iso);
        EXPECT_EQ(find(findings, iso, "class", "oats")->has, e.iso);
        EXPECT_EQ(find(findings, as, "class", "oats")->has, e.as);
        EXPECT_EQ(find(findings, wst, "class", "oats")->has, e.wst);
    }
    EXPECT_EQ(find(withIndex(69.5, iso), iso, "rounding", "oats")->has, "70 (from 69.50)");
}

std::vector<Problem> warned(const Findings& findings) {
    std::vector<Problem> problems;
    for (const Problem& problem : findings.problems) {
        if (problem.check == "index-standard") {
            problems.push_back(problem);
        }
    }
    return problems;
}

TEST(Conformity, WarnsOfThePlansRuleAlone) {
    test::FeedingStudy given(10);
    EXPECT_TRUE(warned(run(given.study)).empty());
    given.study.plan.baseline = BaselineRule::timeZero;
    ASSERT_EQ(warned(run(given.study)).size(), 1U);
    EXPECT_THAT(warned(run(given.study))[0].what, HasSubstr("ISO 26642, Baseline"));
    given.study.plan.indexPlan.standard = as;
    EXPECT_THAT(warned(run(given.study))[0].what, HasSubstr("AS 4694, Baseline"));
    given.study.plan.indexPlan.standard = wst;  // says nothing of the baseline
    EXPECT_TRUE(warned(run(given.study)).empty());
    given.study.plan.indexPlan.standard = fao;  // three tests of the reference food
    ASSERT_EQ(warned(run(given.study)).size(), 1U);
    EXPECT_THAT(warned(run(given.study))[0].what, HasSubstr("Tests of the reference food"));
    EXPECT_EQ(warned(run(given.study))[0].severity, Severity::warning);
}

std::string allProblems(const Findings& findings) {
    std::string text;
    for (const Problem& problem : findings.problems) {
        text += problem.what + "\n";
    }
    return text;
}

TEST(Conformity, AWarningOfTheRuleCanBeAccepted) {
    test::FeedingStudy given(10);
    given.study.plan.windowEndMin = 90.0;
    Acceptance accepted;
    accepted.check = "index-standard";
    accepted.because = "the ward closes at noon";
    given.study.accepted = {accepted};
    const Findings findings = run(given.study);
    ASSERT_EQ(warned(findings).size(), 1U);
    EXPECT_THAT(warned(findings)[0].acceptedBecause, HasSubstr("the ward closes at noon"));
    EXPECT_THAT(allProblems(findings), Not(HasSubstr("no such warning")));
}

TEST(Conformity, FewSubjectsAreSaidOnceAndByThePlansRule) {
    test::FeedingStudy given(8);
    const Findings byIso = run(given.study);
    EXPECT_THAT(allProblems(byIso), HasSubstr("8 subjects; ISO 26642 asks for at least 10"));
    EXPECT_TRUE(warned(byIso).empty());
    given.study.plan.indexPlan.standard = fao;
    EXPECT_THAT(allProblems(run(given.study)), Not(HasSubstr("asks for at least")));
    given.study.plan.indexPlan.standard = as;
    EXPECT_THAT(allProblems(run(given.study)), HasSubstr("8 subjects; AS 4694 asks for at least 10"));
}

TEST(Conformity, TheClassOfAnIndexFollowsThePlansRule) {
    test::FeedingStudy given(4);
    ASSERT_TRUE(run(given.study).index.front().indexClass);
    given.study.plan.indexPlan.standard = fao;
    EXPECT_FALSE(run(given.study).index.front().indexClass);
}

TEST(Conformity, EmptyWhereThereIsNoIndexOfGlucose) {
    test::FeedingStudy noIndex(3);
    noIndex.study.plan.index = false;
    EXPECT_TRUE(run(noIndex.study).conformity.empty());
    test::FeedingStudy noReference(3);
    noReference.study.foods[0].role = FoodRole::control;
    EXPECT_TRUE(run(noReference.study).conformity.empty());
    test::FeedingStudy noGlucose(3);
    noGlucose.study.analytes.erase(noGlucose.study.analytes.begin());
    noGlucose.study.concentrations.erase(noGlucose.study.concentrations.begin());
    const Findings findings = run(noGlucose.study);
    EXPECT_TRUE(findings.conformity.empty());
    EXPECT_THAT(buildTable("conformity", noGlucose.study, findings).emptyText, HasSubstr("glucose"));
    EXPECT_EQ(conformitySentence(noGlucose.study, findings.conformity, findings.plan), "");
}

TEST(Conformity, SentenceCountsAndNamesWhatIsNotMet) {
    test::FeedingStudy given(10);
    given.study.plan.windowEndMin = 90.0;
    const Findings findings = run(given.study);
    const std::string sentence = conformitySentence(given.study, findings.conformity, findings.plan);
    EXPECT_THAT(sentence, HasSubstr(" 1 not met (Window), "));
    EXPECT_THAT(sentence, HasSubstr("ISO 26642"));
}

// Mean 1.9, SD √8.1 = 2.846: 10 lies beyond 2 SD, 1 does not.
TEST(LeftOutLieBeyond, OfAllValuesNotOfThoseOfALaterPass) {
    FoodIndex index;
    index.subjects.resize(10);
    for (SubjectIndex& subject : index.subjects) {
        subject.value = 1.0;
    }
    index.subjects[9].value = 10.0;
    index.subjects[9].leftOut = true;
    EXPECT_TRUE(leftOutLieBeyond(index, 2.0));
    index.subjects[0].leftOut = true;
    EXPECT_FALSE(leftOutLieBeyond(index, 2.0));
    EXPECT_TRUE(leftOutLieBeyond({}, 2.0));
}

CurveFinding curveAt(std::vector<double> times) {
    CurveFinding curve;
    curve.analyte = "glucose";
    curve.timeMin = times;
    curve.scheduledMin = times;
    curve.value.assign(times.size(), 5.0);
    return curve;
}

TEST(TimesPresent, ASampleStandsForTheNearestTimeWithinTheTolerance) {
    const std::vector<double> asked{0.0, 15.0, 30.0};
    const std::vector<CurveFinding> curves{curveAt({-1.0, 16.5, 33.0})};
    EXPECT_THAT(timesPresent(curves, asked, 2.0).with, testing::ElementsAre(1U, 1U, 0U));
    // However wide the tolerance: 16.5 is not the sample of 30.
    const std::vector<CurveFinding> early{curveAt({0.0, 16.5})};
    EXPECT_THAT(timesPresent(early, asked, 100.0).with, testing::ElementsAre(1U, 1U, 0U));
    EXPECT_EQ(timesPresent({}, asked, 2.0).curves, 0U);
}

}  // namespace
}  // namespace aftercurve
