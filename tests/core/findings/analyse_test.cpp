#include "core/findings/analyse.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "core/curve/measures.h"
#include "core/findings/results_json.h"
#include "core/findings/table.h"
#include "tests/support/study_builder.h"

namespace aftercurve {

using test::StudyBuilder;
using testing::HasSubstr;

namespace {

const std::vector<double> times{0, 30, 60, 120};

/// A triangle over `base`: rise at 30 min, back at base at 60; incremental area = 30 · rise.
std::vector<std::optional<double>> triangle(double base, double rise) {
    return {base, base + rise, base, base};
}

StudyBuilder threeSubjects() {
    StudyBuilder builder;
    builder.food("bread", FoodRole::control).food("oats", FoodRole::test).analyte("glucose", "mmol/L");
    builder.study().plan.index = false;
    builder.curve("01", "bread", 1, times, triangle(5, 4)).curve("01", "oats", 1, times, triangle(5, 1));
    builder.curve("02", "bread", 1, times, triangle(4, 3)).curve("02", "oats", 1, times, triangle(4, 2));
    builder.curve("03", "bread", 1, times, triangle(4.5, 5)).curve("03", "oats", 1, times, triangle(4.5, 3));
    return builder;
}

Findings findingsOf(const Study& study) {
    auto findings = analyse(study, study.plan);
    EXPECT_TRUE(findings.ok()) << (findings.ok() ? "" : lineFor(findings.problem()));
    return std::move(findings).value();
}

bool hasProblem(const Findings& findings, Severity severity, const std::string& text) {
    return std::any_of(findings.problems.begin(), findings.problems.end(), [&](const Problem& p) {
        return p.severity == severity && p.what.find(text) != std::string::npos;
    });
}

}  // namespace

TEST(Analyse, ComparesEachFoodWithTheControl) {
    const Findings findings = findingsOf(threeSubjects().study());
    ASSERT_EQ(findings.comparisons.size(), 1U);
    const ComparisonFinding& c = findings.comparisons[0];
    EXPECT_EQ(c.food, "oats");
    EXPECT_EQ(c.comparator, "bread");
    EXPECT_EQ(c.unit, "mmol/L × min");
    ASSERT_EQ(c.pairs.size(), 3U);
    // Areas are 30 · rise, so the differences are −90, −30 and −60: mean −60, SD 30.
    EXPECT_DOUBLE_EQ(c.pairs[0].difference, -90.0);
    EXPECT_DOUBLE_EQ(*c.t.meanDifference, -60.0);
    EXPECT_DOUBLE_EQ(*c.t.sdDifference, 30.0);
    EXPECT_EQ(*c.pAdjusted, *c.t.p);
    EXPECT_EQ(findings.plan.comparator, "bread");
    EXPECT_EQ(errorCount(findings.problems), 0U);
}

TEST(Analyse, ReplicatesAreAveragedAtTheMeasureNotAtTheCurve) {
    // Two curves that peak apart: the mean of the measures is 30·4 and 30·2 -> peak rise 3; the mean curve
    // would peak at 2.
    StudyBuilder builder;
    builder.food("drink", FoodRole::reference).food("oats", FoodRole::test).analyte("glucose", "mmol/L");
    builder.study().plan.measure = "peak_rise";
    for (const char* subject : {"01", "02"}) {
        builder.curve(subject, "drink", 1, times, {5.0, 9.0, 5.0, 5.0});
        builder.curve(subject, "drink", 2, times, {5.0, 5.0, 7.0, 5.0});
        builder.curve(subject, "oats", 1, times, {5.0, subject[1] == '1' ? 6.0 : 6.5, 5.0, 5.0});
    }
    const Findings findings = findingsOf(builder.study());
    ASSERT_EQ(findings.comparisons.size(), 1U);
    EXPECT_DOUBLE_EQ(findings.comparisons[0].pairs[0].comparator, 3.0);
    ASSERT_EQ(findings.index.size(), 1U);
    EXPECT_DOUBLE_EQ(*findings.index[0].index.subjects[0].value, 100.0 / 3.0);
    EXPECT_FALSE(findings.index[0].indexClass);
    EXPECT_TRUE(hasProblem(findings, Severity::note, "no class is given"));
}

TEST(Analyse, ADropoutIsAnErrorUntilItIsExcludedWithAReason) {
    StudyBuilder builder = threeSubjects();
    builder.curve("04", "bread", 1, times, triangle(5, 4)).curve("04", "oats", 1, {0, 30}, {5.0, 6.0});
    Findings findings = findingsOf(builder.study());
    EXPECT_TRUE(
        hasProblem(findings, Severity::error, "last value at 30 min, before the window's end at 120 min"));
    EXPECT_EQ(findings.comparisons[0].leftOut.size(), 1U);
    EXPECT_TRUE(hasProblem(findings, Severity::warning, "subject 04 is not in the comparison"));
    const auto curve = std::find_if(findings.curves.begin(), findings.curves.end(),
                                    [](const auto& c) { return c.subject == "04" && c.food == "oats"; });
    for (const auto& measure : curve->measures) {
        EXPECT_FALSE(measure);
    }

    builder.study().exclusions.push_back(
        {"04", "oats", std::nullopt, "", "left after 30 min", "nurse", "2026-03-02"});
    findings = findingsOf(builder.study());
    EXPECT_EQ(errorCount(findings.problems), 0U);
    EXPECT_THAT(findings.comparisons[0].leftOut[0].reason, HasSubstr("left after 30 min"));
}

TEST(Analyse, AnExcludedVisitKeepsItsValuesButCountsNowhere) {
    StudyBuilder builder = threeSubjects();
    const Findings before = findingsOf(builder.study());
    builder.study().exclusions.push_back({"03", "oats", 1, "", "unwell", "nurse", "2026-03-02"});
    const Findings after = findingsOf(builder.study());
    EXPECT_EQ(after.curves[5].measures, before.curves[5].measures);
    EXPECT_TRUE(after.curves[5].excluded);
    EXPECT_EQ(after.comparisons[0].t.n, 2U);
    EXPECT_EQ(after.meanCurves[1].n[0], 2U);
    EXPECT_EQ(after.summaries.size(), before.summaries.size());
    EXPECT_TRUE(hasProblem(after, Severity::note, "excluded: unwell"));
}

TEST(Analyse, AnExclusionThatTakesNothingOutIsTold) {
    StudyBuilder builder = threeSubjects();
    builder.study().exclusions.push_back({"03", "oats", 2, "", "unwell", "nurse", "2026-03-02"});
    const Findings findings = findingsOf(builder.study());
    EXPECT_TRUE(hasProblem(findings, Severity::warning, "exclusions[0] takes nothing out"));
    EXPECT_EQ(findings.comparisons[0].t.n, 3U);
}

TEST(Analyse, AGapIsSpannedWithANoteOrLeavesTheCurveOutAsThePlanSays) {
    StudyBuilder builder = threeSubjects();
    builder.curve("04", "bread", 1, times, triangle(5, 4));
    builder.curve("04", "oats", 1, times, {5.0, std::nullopt, 7.0, 5.0});
    Findings findings = findingsOf(builder.study());
    const auto curveOf04 = [](const Findings& f) { return f.curves.back(); };
    // From 5 at 0 straight to 7 at 60, then down to 5 at 120: 60·2/2 + 60·2/2.
    EXPECT_DOUBLE_EQ(*curveOf04(findings).measures[*measureIndex("area_positive_incremental")], 120.0);
    EXPECT_TRUE(hasProblem(findings, Severity::note, "no value at 30 min; the trapezoid spans the gap"));

    builder.study().plan.missingInterior = MissingInteriorRule::exclude;
    findings = findingsOf(builder.study());
    EXPECT_THAT(curveOf04(findings).notEstimable, HasSubstr("no value at 30 min"));
    EXPECT_EQ(findings.comparisons[0].t.n, 3U);
}

TEST(Analyse, ADrawWithoutARowIsNoticedFromTheScheduleOfTheOthers) {
    StudyBuilder builder = threeSubjects();
    builder.curve("04", "bread", 1, {0, 60, 120}, {5.0, 6.0, 5.0});
    const Findings findings = findingsOf(builder.study());
    EXPECT_TRUE(
        hasProblem(findings, Severity::note, "subject 04, bread, visit 1, glucose: no value at 30 min"));
}

TEST(Analyse, AWindowEndBetweenSamplesIsInterpolatedAndSaysSo) {
    StudyBuilder builder = threeSubjects();
    builder.study().plan.windowEndMin = 45;
    const Findings findings = findingsOf(builder.study());
    // Subject 01, bread: rise 4 at 30, half of it at 45: 30·4/2 + 15·(4 + 2)/2.
    EXPECT_DOUBLE_EQ(*findings.curves[0].measures[*measureIndex("area_positive_incremental")], 105.0);
    EXPECT_TRUE(hasProblem(findings, Severity::note, "value at the window's end, 45 min, interpolated"));
}

TEST(Analyse, HolmRunsOverTheFoodsOfOneMeasure) {
    StudyBuilder builder = threeSubjects();
    builder.food("peas", FoodRole::test);
    builder.curve("01", "peas", 1, times, triangle(5, 3.9)).curve("02", "peas", 1, times, triangle(4, 3.2));
    builder.curve("03", "peas", 1, times, triangle(4.5, 4.8));
    builder.study().plan.secondaryMeasures = {"peak"};
    const Findings findings = findingsOf(builder.study());
    ASSERT_EQ(findings.comparisons.size(), 4U);
    const auto& oats = findings.comparisons[0];
    const auto& peas = findings.comparisons[1];
    ASSERT_LT(*oats.t.p, *peas.t.p);
    EXPECT_DOUBLE_EQ(*oats.pAdjusted, 2 * *oats.t.p);  // Holm 1979 with m = 2
    EXPECT_DOUBLE_EQ(*peas.pAdjusted, std::max(*peas.t.p, 2 * *oats.t.p));
    EXPECT_EQ(findings.comparisons[2].measure, "peak");
}

TEST(Analyse, DegenerateStudiesGetAbsentValuesWithReasons) {
    StudyBuilder one;
    one.food("bread", FoodRole::control).food("oats", FoodRole::test).analyte("glucose", "mmol/L");
    one.curve("01", "bread", 1, times, triangle(5, 4)).curve("01", "oats", 1, times, triangle(5, 1));
    Findings findings = findingsOf(one.study());
    EXPECT_EQ(findings.comparisons[0].t.n, 1U);
    EXPECT_DOUBLE_EQ(*findings.comparisons[0].t.meanDifference, -90.0);
    EXPECT_FALSE(findings.comparisons[0].t.p);
    EXPECT_FALSE(findings.comparisons[0].t.absentBecause.empty());
    EXPECT_TRUE(hasProblem(findings, Severity::error, "no test for oats against bread"));

    StudyBuilder equal;
    equal.food("bread", FoodRole::control).food("oats", FoodRole::test).analyte("glucose", "mmol/L");
    for (const char* subject : {"01", "02", "03", "04", "05", "06"}) {
        equal.curve(subject, "bread", 1, times, triangle(5.1, 4))
            .curve(subject, "oats", 1, times, triangle(5.1, 3.3));
    }
    findings = findingsOf(equal.study());
    EXPECT_FALSE(findings.comparisons[0].t.p);
    EXPECT_FALSE(findings.comparisons[0].t.absentBecause.empty());
    EXPECT_FALSE(findings.comparisons[0].normality.w);

    StudyBuilder empty;
    empty.food("bread", FoodRole::control).food("oats", FoodRole::test).analyte("glucose", "mmol/L");
    findings = findingsOf(empty.study());
    EXPECT_TRUE(findings.curves.empty());
    EXPECT_FALSE(findings.comparisons[0].t.meanDifference);

    StudyBuilder oneFood;
    oneFood.food("bread", FoodRole::control).analyte("glucose", "mmol/L");
    oneFood.curve("01", "bread", 1, times, triangle(5, 4));
    EXPECT_TRUE(findingsOf(oneFood.study()).comparisons.empty());
}

TEST(Analyse, HugeAndTinyValuesNeverGiveAnInfinity) {
    StudyBuilder builder;
    builder.food("bread", FoodRole::reference).food("oats", FoodRole::test).analyte("glucose", "mmol/L");
    const std::vector<double> scales{1e-300, 1e300, 1e307, 1.0};
    for (std::size_t s = 0; s < scales.size(); ++s) {
        const std::string subject = "0" + std::to_string(s + 1);
        builder.curve(subject, "bread", 1, times,
                      {1 * scales[s], 9 * scales[s], 3 * scales[s], 2 * scales[s]});
        builder.curve(subject, "oats", 1, times,
                      {2 * scales[s], 8 * scales[s], 1 * scales[s], 2 * scales[s]});
    }
    const Findings findings = findingsOf(builder.study());
    for (const TableKind& kind : tableList()) {
        for (const Row& row : kind.build(builder.study(), findings).rows) {
            for (const Cell& cell : row.cells) {
                if (const auto* number = std::get_if<double>(&cell)) {
                    EXPECT_TRUE(std::isfinite(*number)) << kind.key << " " << row.key;
                }
            }
        }
    }
    const std::string json = resultsJson(findings);
    for (const char* word : {": inf", ": -inf", ": nan", ": -nan"}) {
        EXPECT_EQ(json.find(word), std::string::npos) << word;
    }
}

TEST(Analyse, GlucoseReadingsForAClinicianAreFlaggedInAnyUnit) {
    StudyBuilder builder = threeSubjects();
    builder.curve("04", "bread", 1, times, {7.2, 11.4, 6.0, 2.8});
    builder.curve("04", "oats", 1, times, triangle(5, 1));
    Findings findings = findingsOf(builder.study());
    EXPECT_TRUE(hasProblem(findings, Severity::warning, "fasting and at or above 7.0 mmol/L"));
    EXPECT_TRUE(hasProblem(findings, Severity::warning, "at or above 11.1 mmol/L"));
    EXPECT_TRUE(hasProblem(findings, Severity::warning, "below 3.0 mmol/L"));
    for (auto& value : builder.study().concentrations[0]) {
        value = *value * 18.016;
    }
    builder.study().analytes[0].unit = "mg/dL";
    findings = findingsOf(builder.study());
    EXPECT_TRUE(hasProblem(findings, Severity::warning, "below 3.0 mmol/L"));
}

TEST(Analyse, SameStudySamePlanSameBytes) {
    const Study study = threeSubjects().study();
    EXPECT_EQ(resultsJson(findingsOf(study)), resultsJson(findingsOf(study)));
}

TEST(Analyse, StopsWhenTheProgressSaysSo) {
    const Study study = threeSubjects().study();
    int calls = 0;
    const auto stopped =
        analyse(study, study.plan, {}, [&calls](double, std::string_view) { return ++calls < 2; });
    ASSERT_FALSE(stopped.ok());
    EXPECT_EQ(stopped.problem().what, "cancelled");
    EXPECT_EQ(calls, 2);
}

TEST(Analyse, MeanCurveIsTheMeanOfSubjectsWithSemAndN) {
    const Findings findings = findingsOf(threeSubjects().study());
    ASSERT_EQ(findings.meanCurves.size(), 2U);
    const MeanCurve& bread = findings.meanCurves[0];
    EXPECT_EQ(bread.n, (std::vector<std::size_t>{3, 3, 3, 3}));
    EXPECT_DOUBLE_EQ(bread.mean[1], (9.0 + 7.0 + 9.5) / 3.0);
    EXPECT_DOUBLE_EQ(bread.increment[1], 4.0);
    EXPECT_DOUBLE_EQ(*bread.incrementSem[1], 1.0 / std::sqrt(3.0));  // SD of 4, 3, 5 is 1
    EXPECT_DOUBLE_EQ(bread.window.baseline, 4.5);
    EXPECT_EQ(bread.window.timeMin, times);
}

}  // namespace aftercurve
