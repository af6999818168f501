// Whole studies, read from their folders and analysed, against R.
// Expected: base R, tests/reference/meals_by_clock_time.R and sample_studies.R, with their output beside
// them.
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <string>
#include <utility>

#include "core/files/study_folder.h"
#include "core/findings/analyse.h"
#include "tests/support/close.h"
#include "tests/support/reference_table.h"

namespace aftercurve {

namespace {

using test::isClose;
using test::ReferenceTable;

// Closed form, so 8 digits are owed; sums in another order leave more than 11.
constexpr test::Tolerance elevenDigits{1e-12, 1e-11};
// The two Shapiro–Wilk implementations share Royston's constants, not their arithmetic.
constexpr test::Tolerance eightDigits{1e-12, 1e-8};

const std::filesystem::path reference = TEST_REFERENCE;
const std::filesystem::path samples = std::filesystem::path{TEST_SOURCE_ROOT} / "sample_studies";

struct Analysed {
    Study study;
    Findings findings;
};

Analysed analysed(const std::filesystem::path& folder, const std::vector<std::string>& secondary = {}) {
    StudyReading reading = readStudyFolder(folder);
    for (const Problem& problem : reading.problems) {
        EXPECT_NE(problem.severity, Severity::error) << lineFor(problem);
    }
    if (!secondary.empty()) {
        reading.study->plan.secondaryMeasures = secondary;
    }
    auto findings = analyse(*reading.study, reading.study->plan, reading.problems);
    EXPECT_TRUE(findings.ok());
    return {std::move(*reading.study), std::move(findings).value()};
}

void expectComparison(const ReferenceTable& table, std::size_t row, const ComparisonFinding& c) {
    const auto expected = [&](const char* column) { return table.number(row, column); };
    EXPECT_EQ(static_cast<double>(c.t.n), expected("n"));
    EXPECT_TRUE(isClose(c.t.meanDifference, expected("mean_difference"), elevenDigits));
    EXPECT_TRUE(isClose(c.t.sdDifference, expected("sd_difference"), elevenDigits));
    EXPECT_TRUE(isClose(c.t.ciLow, expected("ci_low"), elevenDigits));
    EXPECT_TRUE(isClose(c.t.ciHigh, expected("ci_high"), elevenDigits));
    EXPECT_TRUE(isClose(c.t.t, expected("t"), elevenDigits));
    EXPECT_TRUE(isClose(c.t.df, expected("df"), elevenDigits));
    EXPECT_TRUE(isClose(c.t.p, expected("p"), elevenDigits));
    EXPECT_TRUE(isClose(c.pAdjusted, expected("p_adjusted"), elevenDigits));
    EXPECT_TRUE(isClose(c.signedRank.v, expected("wilcoxon_v"), elevenDigits));
    EXPECT_TRUE(isClose(c.signedRank.p, expected("wilcoxon_p"), elevenDigits));
    EXPECT_EQ(c.signedRank.method, "exact");
    EXPECT_TRUE(isClose(c.hodgesLehmann.estimate, expected("hodges_lehmann"), elevenDigits));
    EXPECT_TRUE(isClose(c.hodgesLehmann.ciLow, expected("hodges_lehmann_ci_low"), elevenDigits));
    EXPECT_TRUE(isClose(c.hodgesLehmann.ciHigh, expected("hodges_lehmann_ci_high"), elevenDigits));
    EXPECT_TRUE(isClose(c.effect.dz, expected("effect_dz"), elevenDigits));
    EXPECT_TRUE(isClose(c.normality.w, expected("shapiro_w"), eightDigits));
    EXPECT_TRUE(isClose(c.normality.p, expected("shapiro_p"), eightDigits));
}

void expectComparisons(const ReferenceTable& table, const Findings& findings, const std::string& study,
                       std::size_t& seen) {
    for (std::size_t row = 0; row < table.rowCount(); ++row) {
        if (!study.empty() && table.text(row, "study") != study) {
            continue;
        }
        const std::string analyte = study.empty() ? "glucose" : table.text(row, "analyte");
        SCOPED_TRACE(study + " row " + std::to_string(row + 2));
        const auto found =
            std::find_if(findings.comparisons.begin(), findings.comparisons.end(), [&](const auto& c) {
                return c.analyte == analyte && c.measure == table.text(row, "measure") &&
                       c.food == table.text(row, "food") && c.comparator == table.text(row, "comparator");
            });
        ASSERT_NE(found, findings.comparisons.end());
        expectComparison(table, row, *found);
        ++seen;
    }
}

/// The rows of one food and analyte of a study: one a subject, and `all`.
void expectIndex(const ReferenceTable& table, const std::string& study, const IndexFinding& finding,
                 std::size_t& seen) {
    for (std::size_t row = 0; row < table.rowCount(); ++row) {
        if (table.text(row, "study") != study || table.text(row, "food") != finding.food ||
            table.text(row, "analyte") != finding.analyte) {
            continue;
        }
        SCOPED_TRACE(study + " row " + std::to_string(row + 2));
        const auto expected = [&](const char* column) { return table.number(row, column); };
        ++seen;
        if (table.text(row, "subject") == "all") {
            EXPECT_EQ(static_cast<double>(finding.index.n), expected("n"));
            EXPECT_TRUE(isClose(finding.index.mean, expected("mean"), elevenDigits));
            EXPECT_TRUE(isClose(finding.index.sd, expected("sd"), elevenDigits));
            EXPECT_TRUE(isClose(finding.index.sem, expected("sem"), elevenDigits));
            EXPECT_TRUE(isClose(finding.index.ciLow, expected("ci_low"), elevenDigits));
            EXPECT_TRUE(isClose(finding.index.ciHigh, expected("ci_high"), elevenDigits));
            EXPECT_TRUE(
                isClose(finding.index.referenceCvPercent, expected("reference_cv_percent"), elevenDigits));
            continue;
        }
        const auto subject =
            std::find_if(finding.index.subjects.begin(), finding.index.subjects.end(),
                         [&](const SubjectIndex& s) { return s.subject == table.text(row, "subject"); });
        ASSERT_NE(subject, finding.index.subjects.end());
        EXPECT_TRUE(isClose(subject->value, expected("value"), elevenDigits));
        EXPECT_EQ(subject->outlier, table.text(row, "outlier") == "TRUE");
    }
}

}  // namespace

// Real data: set Glucose of the R package nlme (Pinheiro & Bates 2000; Hand & Crowder 1996).
TEST(ReferenceFindings, MealsByClockTimeAgreeWithR) {
    const Analysed meals = analysed(reference / "meals_by_clock_time", {"peak_rise"});
    std::size_t seen = 0;
    expectComparisons(ReferenceTable{reference / "meals_by_clock_time_comparisons.csv"}, meals.findings, "",
                      seen);
    EXPECT_EQ(seen, 10U);
    EXPECT_EQ(meals.findings.comparisons.size(), seen);
}

TEST(ReferenceFindings, SampleStudiesAgreeWithR) {
    const ReferenceTable table{reference / "sample_studies_comparisons.csv"};
    std::size_t seen = 0;
    for (const std::string study : {"barley-index", "pulse-wafer-crossover", "kelp-barley-crisps"}) {
        const Analysed sample = analysed(samples / study);
        const std::size_t before = seen;
        expectComparisons(table, sample.findings, study, seen);
        EXPECT_EQ(sample.findings.comparisons.size(), seen - before);
    }
    EXPECT_EQ(seen, table.rowCount());
}

TEST(ReferenceFindings, CurvesOfTheSampleStudiesAgreeWithRFromFileToFinding) {
    const ReferenceTable table{reference / "sample_studies_curves.csv"};
    std::size_t seen = 0;
    for (const std::string study : {"barley-index", "pulse-wafer-crossover", "kelp-barley-crisps"}) {
        const Analysed sample = analysed(samples / study);
        for (std::size_t row = 0; row < table.rowCount(); ++row) {
            if (table.text(row, "study") != study) {
                continue;
            }
            SCOPED_TRACE(study + " row " + std::to_string(row + 2));
            const auto found = std::find_if(
                sample.findings.curves.begin(), sample.findings.curves.end(), [&](const CurveFinding& c) {
                    return c.analyte == table.text(row, "analyte") &&
                           c.subject == table.text(row, "subject") && c.food == table.text(row, "food") &&
                           std::to_string(c.visit) == table.text(row, "visit");
                });
            ASSERT_NE(found, sample.findings.curves.end());
            EXPECT_EQ(found->excluded, table.text(row, "excluded") == "TRUE");
            EXPECT_TRUE(
                isClose(found->measures[0], table.number(row, "area_positive_incremental"), elevenDigits));
            ++seen;
        }
        EXPECT_LE(sample.findings.curves.size(), seen);
    }
    EXPECT_EQ(seen, table.rowCount());
}

TEST(ReferenceFindings, IndexOfTheSampleStudiesAgreesWithR) {
    const ReferenceTable table{reference / "sample_studies_index.csv"};
    std::size_t seen = 0;
    // Findings: two foods with one analyte; four foods with two.
    for (const auto& [study, findings] :
         {std::pair{"barley-index", 2U}, std::pair{"kelp-barley-crisps", 8U}}) {
        const Analysed sample = analysed(samples / study);
        ASSERT_EQ(sample.findings.index.size(), findings);
        for (const IndexFinding& finding : sample.findings.index) {
            expectIndex(table, study, finding, seen);
        }
    }
    EXPECT_EQ(seen, table.rowCount());
}

TEST(ReferenceFindings, TheCrossoverSampleTellsOfItsGapMissingVisitDropoutAndExclusion) {
    const Analysed sample = analysed(samples / "pulse-wafer-crossover");
    const auto count = [&](Severity severity, const std::string& subject) {
        return std::count_if(
            sample.findings.problems.begin(), sample.findings.problems.end(),
            [&](const Problem& p) { return p.severity == severity && p.subject == subject; });
    };
    EXPECT_GE(count(Severity::note, "05"), 1);     // one haemolysed insulin sample
    EXPECT_GE(count(Severity::warning, "09"), 1);  // no second visit
    EXPECT_EQ(count(Severity::error, "17"), 2);    // left after 60 min, two analytes
    EXPECT_GE(count(Severity::note, "11"), 1);     // excluded with a reason
}

}  // namespace aftercurve
