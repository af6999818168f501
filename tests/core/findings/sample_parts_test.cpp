// The invented study that has every part: what sample_studies/kelp_barley_crisps.py put into it comes out.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <string>
#include <vector>

#include "core/figure/figure_check.h"
#include "core/files/study_folder.h"
#include "core/findings/analyse.h"

namespace aftercurve {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;
using testing::SizeIs;

struct Analysed {
    Study study;
    Findings findings;
};

const Analysed& crisps() {
    static const Analysed analysed = [] {
        StudyReading reading = readStudyFolder(std::filesystem::path{TEST_SOURCE_ROOT} / "sample_studies" /
                                               "kelp-barley-crisps");
        reading.study->plan.resamples = 199;
        auto findings = analyse(*reading.study, reading.study->plan, reading.problems);
        return Analysed{std::move(*reading.study), std::move(findings).value()};
    }();
    return analysed;
}

std::size_t countOf(Severity severity) {
    const auto& problems = crisps().findings.problems;
    return static_cast<std::size_t>(std::count_if(problems.begin(), problems.end(),
                                                  [&](const Problem& p) { return p.severity == severity; }));
}

TEST(SampleWithAllParts, HasNoErrorAndFiguresOfWhatItHas) {
    EXPECT_EQ(countOf(Severity::error), 0U);
    EXPECT_THAT(crisps().study.figures, SizeIs(3));
    EXPECT_THAT(figureRemarks(crisps().study, crisps().study.figures), IsEmpty());
}

// Five samples, two runs of three replicates, eight times; two blanks of each run and time.
TEST(SampleWithAllParts, StarchOfTheHigherDoseIsDigestedTheMoreSlowly) {
    const DigestionFindings& digestion = crisps().findings.digestion;
    EXPECT_THAT(digestion.replicates, SizeIs(30));
    std::vector<std::string> byIndex;
    std::vector<const DigestionSample*> samples;
    for (const DigestionSample& sample : digestion.bySample) {
        EXPECT_EQ(sample.digestions, 6U);
        EXPECT_EQ(sample.runs, 2U);
        ASSERT_TRUE(sample.hydrolysisIndex.value) << sample.sample;
        samples.push_back(&sample);
    }
    std::sort(samples.begin(), samples.end(), [](const auto* a, const auto* b) {
        return *a->hydrolysisIndex.value > *b->hydrolysisIndex.value;
    });
    for (const DigestionSample* sample : samples) {
        byIndex.push_back(sample->sample);
    }
    EXPECT_THAT(byIndex, ElementsAre("wheat-bread", "control-crisp", "low-dose-crisp", "mid-dose-crisp",
                                     "high-dose-crisp"));
}

// tests/reference/sample_studies_index.csv (R): 72.9, 63.6, 56.8, 48.8.
TEST(SampleWithAllParts, TheIndexFallsInTheSameOrder) {
    std::vector<std::string> foods;
    for (const IndexFinding& finding : crisps().findings.index) {
        if (finding.analyte == "glucose") {
            foods.push_back(finding.food);
        }
    }
    std::sort(foods.begin(), foods.end(), [](const std::string& a, const std::string& b) {
        const auto mean = [](const std::string& food) {
            const auto& index = crisps().findings.index;
            return *std::find_if(index.begin(), index.end(), [&](const IndexFinding& finding) {
                        return finding.analyte == "glucose" && finding.food == food;
                    })->index.mean;
        };
        return mean(a) > mean(b);
    });
    EXPECT_THAT(foods, ElementsAre("control-crisp", "low-dose-crisp", "mid-dose-crisp", "high-dose-crisp"));
    const auto& pairs = crisps().findings.bridge.pairs;
    ASSERT_FALSE(pairs.empty());
    for (const BridgeFinding& pair : pairs) {
        EXPECT_THAT(pair.points, SizeIs(4)) << pair.x.key;
    }
}

// Three materials, three methods each. The dough with 30 % of the flour replaced: (75.5 + 210 · (f
// − 9.5)/100)/7 g in 100 g, f the fibre of the starch by 2017.16: mean of 59.48 and 59.33 in fibre.csv.
TEST(SampleWithAllParts, FibreOfTheReplacedDoughRestsOnTheLaboratorysResult) {
    const FibreFindings& fibre = crisps().findings.fibre;
    EXPECT_THAT(fibre.results, SizeIs(9));
    ASSERT_THAT(fibre.recipes, SizeIs(1));
    const RecipeFinding& dough = fibre.recipes.front();
    ASSERT_TRUE(dough.before.fibre.per100g.value);
    EXPECT_NEAR(*dough.before.fibre.per100g.value, 75.5 / 7.0, 1e-9);
    ASSERT_TRUE(dough.after && dough.after->fibre.per100g.value);
    EXPECT_NEAR(*dough.after->fibre.per100g.value,
                (75.5 + 210.0 * ((59.48 + 59.33) / 2.0 - 9.5) / 100.0) / 7.0, 1e-9);
}

// Four foods, one of them at two doses; four items. Two events.
TEST(SampleWithAllParts, TheDiaryHasFiveArmsAndItsEvents) {
    const ToleranceFindings& tolerance = crisps().findings.tolerance;
    EXPECT_THAT(tolerance.runs.arms, SizeIs(5));
    EXPECT_EQ(tolerance.comparator, "control-crisp");
    EXPECT_THAT(tolerance.events, SizeIs(2));
    EXPECT_FALSE(tolerance.doseTests.empty());
    EXPECT_TRUE(std::all_of(tolerance.categories.begin(), tolerance.categories.end(),
                            [](const ToleranceCategories& one) { return one.subjectCount == 16; }));
}

}  // namespace
}  // namespace aftercurve
