// Diaries as findings. Reference values: tests/reference/tolerance.R, which holds the same small diary.
#include "core/findings/tolerance_findings.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "core/findings/findings.h"
#include "core/findings/tables/builders.h"
#include "core/findings/tolerance_words.h"
#include "tests/support/close.h"
#include "tests/support/diary_builder.h"
#include "tests/support/reference_csv.h"

namespace aftercurve {
namespace {

using test::DiaryBuilder;
using test::isClose;
constexpr test::Tolerance eightDigits{.absolute = 1e-13, .relative = 1e-9};

using Rows = std::vector<std::vector<int>>;
const Rows control{{0, 0, 0}, {0, 1, 0}, {1, 1, 0}, {0, 0, 1}, {0, 0, 0}, {1, 0, 0}, {2, 1, 1}, {0, 0, 0}};
const Rows five{{0, 1, 0}, {1, 1, 0}, {1, 2, 1}, {0, 1, 1}, {0, 0, 0}, {2, 1, 0}, {2, 2, 1}, {0, 1, 1}};
const Rows ten{{1, 1, 1}, {2, 1, 1}, {3, 2, 1}, {1, 2, 1}, {0, 0, 1}, {2, 2, 2}, {3, 2, 2}, {1, 1, 0}};

void add(DiaryBuilder& builder, const Rows& rows, const std::string& food, std::optional<double> dose,
         int period) {
    for (std::size_t s = 0; s < rows.size(); ++s) {
        for (std::size_t d = 0; d < rows[s].size(); ++d) {
            builder.day("0" + std::to_string(s + 1), food, static_cast<int>(d) + 1, {rows[s][d]}, dose,
                        period);
        }
    }
}

Study smallStudy() {
    DiaryBuilder builder;
    builder.plannedDays(3).item("bloating");
    add(builder, ten, "crispbread", 10.0, 3);
    add(builder, control, "drink", {}, 1);
    add(builder, five, "crispbread", 5.0, 2);
    return builder.study();
}

Plan planWith(const std::string& comparator) {
    Plan plan;
    plan.comparator = comparator;
    return plan;
}

TEST(ToleranceFindings, TestsAgreeWithR) {
    auto r = test::readReferenceValues("tolerance.csv");
    const ToleranceFindings found = toleranceFindings(smallStudy(), planWith("drink"));
    ASSERT_EQ(found.tests.size(), 6U);
    for (const ToleranceTest& one : found.tests) {
        const std::string measure{kindOf(one.measure).key};
        const std::string dose = found.runs.arms[one.arm].doseG == 5.0 ? "five" : "ten";
        const std::string name = "diary_" + measure + "_" + dose;
        ASSERT_TRUE(r.contains(name + "_p")) << name;
        EXPECT_EQ(one.n, 8U);
        EXPECT_TRUE(isClose(one.signedRank.v, r[name + "_v"], eightDigits)) << name;
        EXPECT_TRUE(isClose(one.signedRank.p, r[name + "_p"], eightDigits)) << name;
        EXPECT_TRUE(isClose(one.signTest.p, r[name + "_sign_p"], eightDigits)) << name;
        EXPECT_TRUE(isClose(one.pAdjusted, r["diary_" + measure + "_holm_" + dose], eightDigits)) << name;
    }
    ASSERT_EQ(found.doseTests.size(), 3U);
    for (const ToleranceDoseTest& one : found.doseTests) {
        EXPECT_EQ(one.arms.size(), 3U);
        EXPECT_EQ(found.runs.arms[one.arms[0]].food, "drink");
        EXPECT_TRUE(isClose(one.test.chiSquare,
                            r["diary_" + std::string{kindOf(one.measure).key} + "_friedman"], eightDigits));
    }
    const auto marked = std::find_if(found.incidence.begin(), found.incidence.end(), [&](const auto& one) {
        return one.criterion == IncidenceCriterion::marked && found.runs.arms[one.arm].doseG == 10.0;
    });
    ASSERT_NE(marked, found.incidence.end());
    EXPECT_EQ(marked->share.yes, 5U);  // counted by hand in the rows above
    EXPECT_TRUE(isClose(marked->test.p, r["diary_marked_ten_p"], eightDigits));
}

TEST(ToleranceFindings, CategoriesCountSubjectsByTheirWorstDay) {
    const ToleranceFindings found = toleranceFindings(smallStudy(), planWith("drink"));
    ASSERT_EQ(found.categories.size(), 3U);
    EXPECT_EQ(found.categories[0].subjects, (std::vector<std::size_t>{3, 4, 1, 0}));  // control, by hand
    EXPECT_EQ(found.categories[2].subjects, (std::vector<std::size_t>{0, 3, 3, 2}));  // 10 g
    EXPECT_EQ(found.categories[2].dayCount, 24U);
}

TEST(ToleranceFindings, NamesAndOrderOfRowsDoNotMatter) {
    Study study = smallStudy();
    const ToleranceFindings there = toleranceFindings(study, planWith("drink"));
    std::reverse(study.diary.days.begin(), study.diary.days.end());
    for (Subject& subject : study.subjects) {
        subject.id = "s" + subject.id;
    }
    for (DiaryDay& day : study.diary.days) {
        day.subject = "s" + day.subject;
    }
    const ToleranceFindings back = toleranceFindings(study, planWith("drink"));
    ASSERT_EQ(there.tests.size(), back.tests.size());
    for (std::size_t i = 0; i < there.tests.size(); ++i) {
        EXPECT_EQ(there.tests[i].signedRank.p, back.tests[i].signedRank.p);
        EXPECT_EQ(there.tests[i].superiority.probability, back.tests[i].superiority.probability);
    }
}

TEST(ToleranceFindings, ZerosEverywhereAndOneSubjectGiveHonestNulls) {
    DiaryBuilder zeros;
    zeros.plannedDays(2).item("bloating").item("cramps");
    for (const std::string subject : {"01", "02", "03"}) {
        for (const std::string food : {"drink", "crispbread"}) {
            zeros.day(subject, food, 1, {0, 0}).day(subject, food, 2, {0, 0});
        }
    }
    for (const ToleranceTest& one : toleranceFindings(zeros.study(), planWith("drink")).tests) {
        EXPECT_FALSE(one.signedRank.p || one.signTest.p || one.superiority.ciLow || one.difference.p);
        EXPECT_EQ(one.superiority.probability, 0.5);
        EXPECT_EQ(one.signedRank.absentBecause, "all differences are zero");
    }
    DiaryBuilder lone;
    lone.item("bloating").day("01", "drink", 1, {1}).day("01", "crispbread", 1, {2});
    const ToleranceFindings one = toleranceFindings(lone.study(), planWith("drink"));
    EXPECT_EQ(one.tests.front().n, 1U);
    EXPECT_EQ(one.tests.front().signedRank.p, 1.0);  // analytic: one sign pattern of two, doubled
    EXPECT_FALSE(one.tests.front().hodgesLehmann.ciLow);
    const ToleranceFindings without = toleranceFindings(lone.study(), planWith(""));
    EXPECT_TRUE(without.tests.empty());
    EXPECT_FALSE(without.testsAbsentBecause.empty());
    EXPECT_TRUE(toleranceFindings(Study{}, planWith("")).scores.empty());
}

TEST(ToleranceFindings, EventsAreCountedWithoutACauseAndExclusionsTakeNoneOut) {
    Study study = smallStudy();
    study.exclusions.push_back({"01", "", {}, "", "left", "", "", {}});
    study.diary.events = {{"01", "crispbread", 2, "vomiting", "severe", "possible", "resolved", true},
                          {"01", "crispbread", 3, "headache", "mild", "", "", false},
                          {"02", "crispbread", 0, "headache", "mild", "", "", false},
                          {"03", "", 0, "cold", "", "", "", false}};
    Findings findings;
    findings.tolerance = toleranceFindings(study, planWith("drink"));
    ASSERT_EQ(findings.tolerance.eventCounts.size(), 3U);
    EXPECT_EQ(findings.tolerance.eventCounts[0].severity, "mild");
    EXPECT_EQ(findings.tolerance.eventCounts[0].subjects, 2U);
    EXPECT_EQ(findings.tolerance.eventCounts[1].serious, 1U);
    const auto problems = problemsOf(study, findings.tolerance);
    EXPECT_TRUE(std::any_of(problems.begin(), problems.end(), [](const Problem& problem) {
        return problem.severity == Severity::warning && problem.what == "a serious adverse event: vomiting";
    }));
    const Table table = adverseEventsTable(study, findings);
    EXPECT_EQ(table.rows.size(), 4U);
    ASSERT_EQ(table.notes.size(), 3U);
    EXPECT_NE(table.notes[1].find("medical oversight"), std::string::npos);
}

TEST(ToleranceFindings, TablesAreRectangularAndSentencesNameTheirRows) {
    Study study = smallStudy();
    study.diary.days.pop_back();
    Findings findings;
    findings.plan = planWith("drink");
    findings.tolerance = toleranceFindings(study, findings.plan);
    for (const auto build :
         {toleranceScoresTable, toleranceSummaryTable, toleranceTestsTable, toleranceDosesTable,
          toleranceOrdinalTable, toleranceIncidenceTable, toleranceCategoriesTable, diaryMissingTable}) {
        const Table table = build(study, findings);
        EXPECT_FALSE(table.rows.empty()) << table.key;
        std::set<std::string> keys;
        for (const Row& row : table.rows) {
            EXPECT_EQ(row.cells.size(), table.columns.size()) << table.key;
            EXPECT_TRUE(keys.insert(row.key).second) << table.key << " " << row.key;
        }
    }
    const auto sentences = toleranceResults(study, findings);
    ASSERT_EQ(sentences.size(), 8U);  // two doses tested twice, three arms counted, missing days
    EXPECT_EQ(sentences[0].text.find("no difference"), std::string::npos);
    EXPECT_NE(sentences[0].text.find("not evidence that they are tolerated alike"), std::string::npos);
    for (const Sentence& sentence : sentences) {
        for (const SentenceSource& source : sentence.sources) {
            const Table table = source.table == "tolerance_tests"     ? toleranceTestsTable(study, findings)
                                : source.table == "tolerance_ordinal" ? toleranceOrdinalTable(study, findings)
                                : source.table == "tolerance_incidence"
                                    ? toleranceIncidenceTable(study, findings)
                                    : diaryMissingTable(study, findings);
            EXPECT_LT(source.row, table.rows.size());
        }
    }
    EXPECT_EQ(toleranceMethods(study, findings).size(), 4U);
    PanelSpec panel;
    panel.measure = "bloating";
    EXPECT_NE(symptomsDivergingCaption(study, findings, panel).find("of Label of bloating"),
              std::string::npos);
    EXPECT_NE(symptomsDoseCaption(study, findings, panel).find("dotted: Water drink"), std::string::npos);
    EXPECT_EQ(bridgeCaption(study, findings, panel),
              "There is no digestion in vitro beside a response to show.");
}

}  // namespace
}  // namespace aftercurve
