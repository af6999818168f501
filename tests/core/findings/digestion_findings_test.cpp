#include "core/findings/digestion_findings.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

#include "core/findings/tables/builders.h"
#include "tests/support/close.h"
#include "tests/support/trial_assays.h"

namespace aftercurve {
namespace {

using test::isClose;
using testing::HasSubstr;

Study studyWith(AssayData assays) {
    Study study;
    study.assays = std::move(assays);
    return study;
}

bool says(const std::vector<Problem>& problems, Severity severity, const std::string& part) {
    return std::any_of(problems.begin(), problems.end(), [&](const Problem& problem) {
        return problem.severity == severity && problem.what.find(part) != std::string::npos;
    });
}

// The mean factor of both samples is the same, so that the index is that of the two curves: 81.563864, and
// its lines (own arithmetic from the published formulas).
TEST(DigestionFindings, IndexOfKnownCurves) {
    const Study study = studyWith(test::trialAssays());
    const DigestionFindings findings = digestionFindings(study, study.plan);
    ASSERT_EQ(findings.bySample.size(), 2U);
    EXPECT_EQ(findings.replicates.size(), 12U);
    EXPECT_EQ(findings.untilMin, 180.0);
    const DigestionSample& flakes = findings.bySample[1];
    EXPECT_EQ(flakes.runs, 2U);
    EXPECT_EQ(flakes.hydrolysisFrom, "fitted curves");
    EXPECT_TRUE(isClose(flakes.hydrolysisIndex.value, 81.563864, {.absolute = 1e-6, .relative = 0.0}));
    EXPECT_TRUE(isClose(flakes.estimatedIndex.at(0).value, 84.488561, {.absolute = 1e-6, .relative = 0.0}));
    EXPECT_EQ(findings.bySample[0].hydrolysisIndex.value, 100.0);
    ASSERT_EQ(findings.comparisons.size(), 5U);
    EXPECT_EQ(findings.comparisons[0].test.blocks, 2U);
    EXPECT_TRUE(findings.comparisons[0].test.f);
    // Exact curves of every replicate have one k: no scatter, and no F that would be noise.
    EXPECT_EQ(findings.comparisons[3].key, "k");
    EXPECT_FALSE(findings.comparisons[3].test.f);
}

TEST(DigestionFindings, AnEstimatedIndexIsNeverWithoutItsCaution) {
    Study study = studyWith(test::trialAssays());
    const DigestionFindings findings = digestionFindings(study, study.plan);
    const std::string text = digestionSentence(study, findings, findings.bySample[1], 0.05);
    EXPECT_THAT(text, HasSubstr("Estimated glycaemic index: 84.5"));
    EXPECT_THAT(text, HasSubstr("never a measured index"));
    Findings all;
    all.digestion = findings;
    EXPECT_THAT(digestionIndexTable(study, all).notes.at(0), HasSubstr("never a measured index"));
    EXPECT_THAT(digestionSentence(study, findings, findings.bySample[0], 0.05),
                testing::Not(HasSubstr("Estimated glycaemic index")));
}

TEST(DigestionFindings, NothingTellsTheSamplesApartIsNotCalledAlike) {
    AssayData assays = test::trialAssays();
    for (AssayReading& reading : assays.readings) {
        reading.sample = reading.replicate == 1 ? "flakes" : "white";
    }
    std::erase_if(assays.readings, [](const AssayReading& r) { return r.replicate == 3; });
    std::sort(assays.readings.begin(), assays.readings.end(),
              [](const AssayReading& a, const AssayReading& b) { return a.row < b.row; });
    Study study = studyWith(assays);
    DigestionFindings findings = digestionFindings(study, study.plan);
    DigestionComparison comparison = findings.comparisons.at(0);
    comparison.test.p = 0.4;
    comparison.test.f = 0.9;
    comparison.test.numeratorDf = 1.0;
    comparison.test.denominatorDf = 4.0;
    comparison.test.differences.clear();
    EXPECT_THAT(digestionSentence(findings, comparison, 0.05), HasSubstr("not evidence that they are alike"));
}

TEST(DigestionFindings, FaultsAndGapsAreSaid) {
    Study study = studyWith(test::trialAssays());
    study.assays.samples.push_back({"oat", "Oat", "", false, {}, {}, {}, {}, {}});
    DigestionFindings findings = digestionFindings(study, study.plan);
    EXPECT_TRUE(says(problemsOf(study, findings), Severity::warning, "there are no readings of it"));
    EXPECT_THAT(digestionSentence(study, findings, findings.bySample[2], 0.05),
                HasSubstr("no readings of Oat"));
    Findings withOat;
    withOat.digestion = findings;
    const Table fractions = digestionFractionsTable(study, withOat);
    ASSERT_FALSE(fractions.rows.empty());
    EXPECT_EQ(std::get<std::string>(fractions.rows.back().cells.back()), "there is no digestion of it");
    study.assays.samples[0].reference = false;
    findings = digestionFindings(study, study.plan);
    EXPECT_TRUE(says(problemsOf(study, findings), Severity::note, "no hydrolysis index"));
    study.assays.slowCutMin = 10.0;
    findings = digestionFindings(study, study.plan);
    EXPECT_TRUE(findings.bySample.empty());
    EXPECT_TRUE(says(problemsOf(study, findings), Severity::error, "slow_cut_min"));
    const Study none;
    EXPECT_TRUE(problemsOf(none, digestionFindings(none, none.plan)).empty());
}

TEST(DigestionFindings, MoreDigestedThanThereIsIsAWarning) {
    AssayData assays = test::trialAssays();
    for (AssayReading& reading : assays.readings) {
        *reading.value *= 1.3;
    }
    const Study study = studyWith(assays);
    const auto problems = problemsOf(study, digestionFindings(study, study.plan));
    EXPECT_TRUE(says(problems, Severity::warning, "more than there is"));
    EXPECT_TRUE(says(problems, Severity::warning, "is below 0"));
}

TEST(DigestionFindings, TablesAreRectangularWithKeysOfTheirOwn) {
    Study study = studyWith(test::trialAssays());
    study.assays.readings[3].value.reset();
    Findings findings;
    findings.digestion = digestionFindings(study, study.plan);
    for (Table (*build)(const Study&, const Findings&) :
         {digestionFractionsTable, digestionFitsTable, digestionSlopesTable, digestionIndexTable,
          digestionComparisonsTable, digestionReadingsTable}) {
        const Table table = build(study, findings);
        EXPECT_FALSE(table.rows.empty()) << table.key;
        std::vector<std::string> keys;
        for (const Row& row : table.rows) {
            EXPECT_EQ(row.cells.size(), table.columns.size()) << table.key;
            keys.push_back(row.key);
        }
        std::sort(keys.begin(), keys.end());
        EXPECT_EQ(std::adjacent_find(keys.begin(), keys.end()), keys.end()) << table.key;
        EXPECT_FALSE(build(Study{}, Findings{}).emptyText.empty()) << table.key;
    }
    // A time that one digestion lacks is out of the mean curve's fit, and that is said.
    EXPECT_EQ(findings.digestion.bySample[0].notShared.size(), 1U);
    EXPECT_TRUE(says(problemsOf(study, findings.digestion), Severity::note, "not shared"));
}

}  // namespace
}  // namespace aftercurve
