// Counts by hand; structure after Dwan et al. 2019, BMJ 366:l4378 (from memory).
#include "core/findings/study_flow.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <numeric>

#include "core/findings/analyse.h"
#include "core/findings/sentence.h"
#include "core/findings/table.h"
#include "tests/support/study_builder.h"

namespace aftercurve {

using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

namespace {

const std::vector<double> times{0, 30, 60, 120};
const std::vector<std::optional<double>> whole{5, 8, 5, 5};

StudyFlow flowOf(const Study& study) {
    auto findings = analyse(study, study.plan);
    EXPECT_TRUE(findings.ok());
    EXPECT_EQ(findings.value().flow, studyFlow(study, findings.value()));
    return findings.value().flow;
}

/// Subjects 1 and 2 eat bread then oats, 3 and 4 the other way; 4 stays away from period 2, the oats of 2 end
/// at 60 min, and the bread of 3 is excluded. 5 is on record alone.
Study crossoverWithLosses() {
    test::StudyBuilder builder;
    builder.food("bread", FoodRole::control).food("oats", FoodRole::test).analyte("glucose", "mmol/L");
    builder.curve("1", "bread", 1, times, whole).curve("1", "oats", 1, times, whole);
    builder.curve("2", "bread", 1, times, whole).curve("2", "oats", 1, {0, 30, 60}, {5, 8, 5});
    builder.curve("3", "oats", 1, times, whole).curve("3", "bread", 1, times, whole);
    builder.curve("4", "oats", 1, times, whole);
    Study& study = builder.study();
    study.subjects.push_back({"5", "BA", "", std::nullopt, std::nullopt});
    for (std::size_t s = 0; s < 4; ++s) {
        study.subjects[s].sequence = s < 2 ? "AB" : "BA";
    }
    for (Draw& draw : study.draws) {
        draw.period = (draw.subject < 2) == (draw.food == 0) ? 1 : 2;
    }
    Exclusion exclusion;
    exclusion.subject = "3";
    exclusion.food = "bread";
    exclusion.reason = "vomited at 40 min";
    study.exclusions = {exclusion};
    return study;
}

/// What the header promises of every flow.
void expectConsistent(const StudyFlow& flow) {
    EXPECT_LE(flow.complete, flow.analysed);
    EXPECT_LE(flow.analysed + flow.without, flow.subjects);
    for (const FlowStage& stage : flow.stages) {
        const std::size_t lost =
            std::accumulate(stage.losses.begin(), stage.losses.end(), std::size_t{0},
                            [](std::size_t sum, const FlowLoss& loss) { return sum + loss.subjects; });
        EXPECT_EQ(stage.came, stage.analysed + lost);
        EXPECT_LE(stage.came + stage.absent, stage.subjects);
        for (const FlowLoss& loss : stage.losses) {
            EXPECT_GE(loss.visits, loss.subjects);
            EXPECT_FALSE(loss.reason.empty());
        }
    }
}

}  // namespace

TEST(StudyFlow, CountsEachSequenceAndPeriodWithItsReasons) {
    const StudyFlow flow = flowOf(crossoverWithLosses());
    EXPECT_EQ(flow.subjects, 5U);
    EXPECT_EQ(flow.without, 1U);
    EXPECT_EQ(flow.analysed, 4U);
    EXPECT_EQ(flow.complete, 1U);
    ASSERT_EQ(flow.stages.size(), 4U);
    const FlowStage& oatsSecond = flow.stages[1];
    EXPECT_EQ(oatsSecond.sequence, "AB");
    EXPECT_EQ(oatsSecond.period, 2);
    EXPECT_EQ(oatsSecond.food, "oats");
    EXPECT_EQ(oatsSecond.came, 2U);
    EXPECT_EQ(oatsSecond.analysed, 1U);
    ASSERT_EQ(oatsSecond.losses.size(), 1U);
    EXPECT_THAT(oatsSecond.losses[0].reason, HasSubstr("not estimable: last value at 60 min"));
    const FlowStage& breadSecond = flow.stages[3];
    EXPECT_EQ(breadSecond.subjects, 3U);
    EXPECT_EQ(breadSecond.absent, 2U);
    EXPECT_EQ(breadSecond.came, 1U);
    EXPECT_EQ(breadSecond.analysed, 0U);
    EXPECT_THAT(breadSecond.losses, ElementsAre(FlowLoss{"excluded: vomited at 40 min", 1, 1}));
    EXPECT_EQ(flow.stages[2].absent, 1U);
    expectConsistent(flow);
}

TEST(StudyFlow, ASubjectWithOneVisitOfTwoIsAnalysed) {
    test::StudyBuilder builder;
    builder.food("bread", FoodRole::reference).analyte("glucose", "mmol/L");
    builder.curve("1", "bread", 1, times, whole).curve("1", "bread", 2, {0, 30}, {5, 8});
    const StudyFlow flow = flowOf(builder.study());
    ASSERT_EQ(flow.stages.size(), 1U);
    EXPECT_EQ(flow.stages[0].came, 1U);
    EXPECT_EQ(flow.stages[0].analysed, 1U);
    ASSERT_EQ(flow.stages[0].losses.size(), 1U);
    EXPECT_EQ(flow.stages[0].losses[0].subjects, 0U);
    EXPECT_EQ(flow.stages[0].losses[0].visits, 1U);
    expectConsistent(flow);
}

TEST(StudyFlow, SaysWhatTheFilesDoNot) {
    test::StudyBuilder builder;
    builder.food("bread", FoodRole::reference).analyte("glucose", "mmol/L");
    builder.curve("1", "bread", 1, times, whole);
    const StudyFlow flow = flowOf(builder.study());
    EXPECT_THAT(flow.notes, Contains(HasSubstr("assessed for eligibility")));
    EXPECT_THAT(flow.notes, Contains(HasSubstr("Sequences are not recorded")));
    EXPECT_THAT(flow.notes, Contains(HasSubstr("Periods are not recorded")));
    EXPECT_THAT(flow.notes, Contains(HasSubstr("randomised is not recorded")));
}

TEST(StudyFlow, AVisitOfTheVisitsFileWithoutASampleCame) {
    Study study = crossoverWithLosses();
    VisitRecord visit;
    visit.subject = 3;
    visit.food = 0;
    visit.period = 2;
    study.visits.push_back(visit);
    const StudyFlow flow = flowOf(study);
    const FlowStage& bread = flow.stages[3];
    EXPECT_EQ(bread.came, 2U);
    EXPECT_EQ(bread.absent, 1U);
    EXPECT_THAT(bread.losses, Contains(FlowLoss{"no glucose sample on record", 1, 1}));
    expectConsistent(flow);
}

TEST(StudyFlow, AnEmptyStudyHasAnEmptyFlow) {
    Study study;
    const StudyFlow flow = studyFlow(study, Findings{});
    EXPECT_EQ(flow.subjects, 0U);
    EXPECT_THAT(flow.stages, IsEmpty());
    EXPECT_THAT(buildTable("flow", study, Findings{}).rows, IsEmpty());
}

TEST(FlowTable, HasEveryCount) {
    const Study study = crossoverWithLosses();
    auto findings = analyse(study, study.plan);
    const std::string csv = asCsv(buildTable("flow", study, findings.value()));
    for (const char* line :
         {"on record,,,,5,,\n", "without any visit,,,,1,,\n", "in this sequence,BA,,,3,,\n",
          "came,BA,2,Label of bread,1,,\n", "did not come,BA,2,Label of bread,2,,no visit on record\n",
          "not analysed,BA,2,Label of bread,1,1,excluded: vomited at 40 min\n",
          "analysed,BA,2,Label of bread,0,,\n", "analysed with every food that has a visit,,,,1,,\n"}) {
        EXPECT_THAT(csv, HasSubstr(line));
    }
}

}  // namespace aftercurve
