// Parts of the window and spread within a subject, from curves to tables. Values by hand.
#include "core/findings/curve_part_findings.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "core/curve/measures.h"
#include "core/findings/analyse.h"
#include "core/findings/findings.h"
#include "core/findings/table.h"
#include "tests/support/close.h"
#include "tests/support/study_builder.h"

namespace aftercurve {
namespace {

using test::isClose;

const std::vector<double> times{0.0, 60.0, 120.0};

/// Triangles over 0, 60 and 120 min of height `rise` at 60 min, ending `late` over baseline 5.
Study study() {
    test::StudyBuilder builder;
    builder.food("bread", FoodRole::control).food("oats", FoodRole::test).analyte("glucose", "mmol/L");
    const auto curve = [&](const char* subject, const char* food, int visit, double rise, double late) {
        builder.curve(subject, food, visit, times, {5.0, 5.0 + rise, 5.0 + late});
    };
    curve("01", "bread", 1, 4.0, 0.0);
    curve("01", "bread", 2, 2.0, 0.0);
    curve("02", "bread", 1, 6.0, 2.0);
    curve("03", "bread", 1, 5.0, 1.0);
    curve("01", "oats", 1, 1.0, 0.0);
    curve("02", "oats", 1, 2.0, -2.0);
    curve("03", "oats", 1, 2.0, 1.0);
    builder.study().plan.index = false;
    return builder.study();
}

Findings analysed(const Study& study) {
    auto findings = analyse(study, study.plan);
    EXPECT_TRUE(findings.ok());
    return std::move(findings).value();
}

const CurvePartFinding& partOf(const Findings& findings, const std::string& food, double from) {
    const auto found =
        std::find_if(findings.curvePartFindings.begin(), findings.curvePartFindings.end(),
                     [&](const CurvePartFinding& part) { return part.food == food && part.fromMin == from; });
    EXPECT_NE(found, findings.curvePartFindings.end());
    return *found;
}

TEST(CurveParts, MeansOverSubjectsAndDifferencesByHand) {
    const Findings findings = analysed(study());
    ASSERT_EQ(findings.curveParts.size(), 14u) << "seven curves, 0 to 60 and 60 to 120 min";
    ASSERT_EQ(findings.curvePartFindings.size(), 4u);
    // Areas from 0 to 60 min are 30 × rise: bread 90 (mean of 120 and 60), 180, 150; oats 30, 60, 60.
    const CurvePartFinding& bread = partOf(findings, "bread", 0.0);
    EXPECT_EQ(bread.area.n, 3u);
    EXPECT_DOUBLE_EQ(bread.area.meanDifference.value(), 140.0);
    EXPECT_DOUBLE_EQ(bread.increment.meanDifference.value(), 140.0 / 60.0);
    EXPECT_TRUE(bread.comparator.empty());
    EXPECT_EQ(bread.difference.p, std::nullopt);
    const CurvePartFinding& early = partOf(findings, "oats", 0.0);
    EXPECT_EQ(early.comparator, "bread");
    EXPECT_DOUBLE_EQ(early.area.meanDifference.value(), 50.0);
    // Differences −60, −120, −90: mean −90, SD 30, t = −90/(30/√3).
    EXPECT_DOUBLE_EQ(early.difference.meanDifference.value(), -90.0);
    EXPECT_DOUBLE_EQ(early.difference.sdDifference.value(), 30.0);
    EXPECT_NEAR(early.difference.t.value(), -3.0 * std::sqrt(3.0), 1e-12);
    EXPECT_EQ(early.difference.df, 2.0);
    // Late: bread 90, 240, 180; oats 30, 30 (triangle of 2 over half of the hour), 90.
    const CurvePartFinding& late = partOf(findings, "oats", 60.0);
    EXPECT_DOUBLE_EQ(late.area.meanDifference.value(), 50.0);
    EXPECT_DOUBLE_EQ(late.increment.meanDifference.value(), (30.0 + 0.0 + 90.0) / 3.0 / 60.0);
    EXPECT_DOUBLE_EQ(late.difference.meanDifference.value(), (-60.0 - 210.0 - 90.0) / 3.0);
    // Holm over one food × two parts.
    const double smaller = std::min(*early.difference.p, *late.difference.p);
    const double larger = std::max(*early.difference.p, *late.difference.p);
    const auto& first = *early.difference.p < *late.difference.p ? early : late;
    const auto& second = *early.difference.p < *late.difference.p ? late : early;
    EXPECT_DOUBLE_EQ(first.pAdjusted.value(), std::min(1.0, 2.0 * smaller));
    EXPECT_DOUBLE_EQ(second.pAdjusted.value(), std::max(std::min(1.0, 2.0 * smaller), larger));
}

TEST(CurveParts, AreasOfTheCurvesAddUpToTheirMeasure) {
    Study s = study();
    s.plan.curvePlan.subWindowsMin = {15.0, 40.0, 75.0};
    const Findings findings = analysed(s);
    std::vector<double> sums(findings.curves.size(), 0.0);
    for (const CurvePart& part : findings.curveParts) {
        sums[part.curve] += part.measures.area.value();
    }
    for (std::size_t c = 0; c < sums.size(); ++c) {
        EXPECT_TRUE(isClose(sums[c], findings.curves[c].measures[0], {.relative = 1e-13}));
    }
}

TEST(CurveParts, LimitsPastTheWindowAreSaidAndMakeNoPart) {
    Study s = study();
    s.plan.curvePlan.subWindowsMin = {60.0, 120.0, 180.0};
    const Findings findings = analysed(s);
    EXPECT_EQ(findings.curvePartFindings.size(), 4u);
    EXPECT_EQ(std::count_if(findings.problems.begin(), findings.problems.end(),
                            [](const Problem& p) {
                                return p.column == "sub_windows_min" && p.severity == Severity::note;
                            }),
              2);
    s.plan.curvePlan.subWindowsMin = {};
    const Findings none = analysed(s);
    EXPECT_TRUE(none.curveParts.empty());
    EXPECT_TRUE(none.curvePartFindings.empty());
    EXPECT_FALSE(buildTable("sub_windows", s, none).emptyText.empty());
}

TEST(CurveParts, OneSubjectHasNoTestAndSaysWhy) {
    test::StudyBuilder builder;
    builder.food("bread", FoodRole::control).food("oats", FoodRole::test).analyte("glucose", "mmol/L");
    builder.curve("01", "bread", 1, times, {5, 7, 5}).curve("01", "oats", 1, times, {5, 6, 5});
    const Study s = builder.study();
    const Findings findings = analysed(s);
    const CurvePartFinding& oats = partOf(findings, "oats", 0.0);
    EXPECT_EQ(oats.area.n, 1u);
    EXPECT_EQ(oats.area.sdDifference, std::nullopt);
    EXPECT_EQ(oats.difference.p, std::nullopt);
    EXPECT_EQ(oats.pAdjusted, std::nullopt);
    EXPECT_FALSE(oats.difference.absentBecause.empty());
    EXPECT_NE(partSentence(s, findings.plan, oats).find("could not be tested"), std::string::npos);
}

TEST(CurveParts, ExcludedAndNotEstimableCurvesDoNotCount) {
    Study s = study();
    Exclusion exclusion;
    exclusion.subject = "02";
    exclusion.food = "oats";
    exclusion.reason = "fever";
    s.exclusions = {exclusion};
    s.concentrations[0][20].reset();  // subject 03, oats, 120 min
    const Findings findings = analysed(s);
    EXPECT_EQ(findings.curveParts.size(), 10u);
    EXPECT_EQ(partOf(findings, "oats", 0.0).area.n, 1u);
    EXPECT_EQ(partOf(findings, "oats", 0.0).difference.n, 1u);
    EXPECT_EQ(partOf(findings, "bread", 0.0).area.n, 3u);
}

TEST(CurveParts, TimeAboveTheLimitReadsThePlan) {
    Study s = study();
    const std::size_t measure = measureIndex("time_above_limit_min").value();
    EXPECT_EQ(analysed(s).curves[0].measures[measure], std::nullopt);
    s.plan.curvePlan.limits = {{"glucose", 7.0}};
    // Subject 01, bread, visit 1 reaches 9 at 60 min: above 7 from 30 to 90 min; visit 2 only touches 7.
    const Findings findings = analysed(s);
    EXPECT_EQ(findings.curves[0].measures[measure], 60.0);
    EXPECT_EQ(findings.curves[1].measures[measure], 0.0);
    s.plan.curvePlan.limits = {{"insulin", 7.0}};
    EXPECT_EQ(analysed(s).curves[0].measures[measure], std::nullopt);
}

TEST(CurveParts, SentencesNeverSayThatFoodsAreAlike) {
    const Study s = study();
    const Findings findings = analysed(s);
    for (const CurvePartFinding& part : findings.curvePartFindings) {
        const std::string text = partSentence(s, findings.plan, part);
        EXPECT_EQ(text.find("no difference"), std::string::npos);
        EXPECT_EQ(text.starts_with("From "), true) << text;
        if (part.pAdjusted && *part.pAdjusted >= findings.plan.alpha) {
            EXPECT_NE(text.find("not evidence that they are alike"), std::string::npos) << text;
        }
    }
}

TEST(WithinSubjectFindings, VisitsAndSpreadByHand) {
    Study s = study();
    s.plan.secondaryMeasures = {"peak_rise"};
    const Findings findings = analysed(s);
    ASSERT_EQ(findings.withinSubject.size(), 4u) << "two foods, two measures";
    const auto rise = std::find_if(
        findings.withinSubject.begin(), findings.withinSubject.end(),
        [](const WithinSubjectFinding& f) { return f.food == "bread" && f.measure == "peak_rise"; });
    ASSERT_NE(rise, findings.withinSubject.end());
    EXPECT_EQ(rise->unit, "mmol/L");
    EXPECT_EQ(rise->result.subjects, 3u);
    EXPECT_EQ(rise->result.repeated, 1u);
    EXPECT_EQ(rise->result.repeats, 2u);
    EXPECT_EQ(rise->result.df, 1.0);
    EXPECT_TRUE(isClose(rise->result.sd, std::sqrt(2.0), {.relative = 1e-13}));
    ASSERT_EQ(rise->visits.size(), 4u);
    EXPECT_EQ(rise->visits[0].subject, "01");
    EXPECT_EQ(rise->visits[0].visit, 1);
    EXPECT_DOUBLE_EQ(rise->visits[0].value, 4.0);
    EXPECT_DOUBLE_EQ(rise->visits[0].subjectMean, 3.0);
    EXPECT_TRUE(rise->visits[0].repeated);
    EXPECT_FALSE(rise->visits[2].repeated);
    const WithinSubjectFinding& oats = findings.withinSubject.back();
    EXPECT_EQ(oats.food, "oats");
    EXPECT_EQ(oats.result.sd, std::nullopt);
    EXPECT_TRUE(oats.visits.empty());
    EXPECT_NE(withinSubjectSentence(s, oats).find("not known"), std::string::npos);
    EXPECT_NE(withinSubjectSentence(s, *rise).find("repeatability limit"), std::string::npos);
}

TEST(WithinSubjectFindings, TablesHaveUniqueKeysThatBeginWithAnalyteAndFood) {
    Study s = study();
    s.plan.secondaryMeasures = {"peak_rise", "late_dip"};
    const Findings findings = analysed(s);
    for (const char* key : {"sub_windows", "sub_windows_curves", "within_subject", "within_subject_visits"}) {
        const Table table = buildTable(key, s, findings);
        EXPECT_FALSE(table.rows.empty()) << key;
        std::set<std::string> keys;
        for (const Row& row : table.rows) {
            EXPECT_TRUE(keys.insert(row.key).second) << row.key;
            EXPECT_TRUE(row.key.starts_with(row.about.analyte + "/" + row.about.food + "/")) << row.key;
            EXPECT_EQ(row.cells.size(), table.columns.size());
        }
    }
}

TEST(WithinSubjectFindings, NothingOfNothing) {
    Study s = study();
    for (auto& value : s.concentrations[0]) {
        value.reset();
    }
    const Findings findings = analysed(s);
    EXPECT_TRUE(findings.curveParts.empty());
    EXPECT_TRUE(findings.withinSubject.empty());
    for (const CurvePartFinding& part : findings.curvePartFindings) {
        EXPECT_EQ(part.area.n, 0u);
        EXPECT_EQ(part.pAdjusted, std::nullopt);
    }
}

}  // namespace
}  // namespace aftercurve
