// The files from which every number can be computed again elsewhere. That the script's numbers agree is
// tested in tests/reference/recompute.cmake, where R is installed.
#include "core/findings/recompute.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <map>

#include "core/findings/analyse.h"
#include "core/findings/recompute/script_text.h"
#include "core/findings/write_results.h"
#include "tests/support/recompute_files.h"
#include "tests/support/temp_folder.h"

namespace aftercurve {
namespace {

using test::cellsOf;
using test::column;
using test::filesOf;
using test::twoFoods;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::Not;

TEST(Recompute, TheFilesHaveFixedNames) {
    std::vector<std::string> names;
    for (const auto& [name, bytes] : filesOf(twoFoods())) {
        names.push_back(name);
    }
    EXPECT_THAT(
        names, ElementsAre("README.txt", "adverse_events.csv", "analytes.csv", "assay_readings.csv",
                           "assay_samples.csv", "assay_settings.csv", "curves.csv", "diary_days.csv",
                           "diary_excluded.csv", "diary_items.csv", "diary_settings.csv", "fibre_methods.csv",
                           "fibre_results.csv", "fibre_rule.csv", "fibre_settings.csv", "foods.csv",
                           "index_foods.csv", "meal_parts.csv", "plan.csv", "recipe_parts.csv", "recipes.csv",
                           "recompute.R", "reported.csv", "samples.csv", "settings.csv", "subjects.csv"));
}

TEST(Recompute, TheSameStudyGivesTheSameBytes) {
    EXPECT_EQ(filesOf(twoFoods()), filesOf(twoFoods()));
}

TEST(Recompute, TheScriptIsTheSameForEveryStudy) {
    Study odd = twoFoods();
    odd.subjects[0].id = "\"); quit(\"yes\") #";
    odd.foods[1].id = "'; system('x')";
    const auto files = filesOf(odd);
    EXPECT_EQ(files.at("recompute.R"), recomputeScript());
    EXPECT_EQ(files.at("README.txt"), recomputeReadme());
    EXPECT_THAT(files.at("recompute.R"), Not(HasSubstr("system(")));
    // Nothing in the script turns text into code.
    EXPECT_THAT(files.at("recompute.R"), Not(HasSubstr("parse(")));
    EXPECT_THAT(files.at("recompute.R"), Not(HasSubstr("eval(")));
    EXPECT_THAT(files.at("recompute.R"), Not(HasSubstr("source(")));
}

TEST(Recompute, NoCellIsRunByASpreadsheet) {
    Study odd = twoFoods();
    odd.subjects[0].id = "=1+2";
    odd.subjects[0].sequence = "+AB";
    odd.subjects[1].id = "a,\"b\"";
    odd.foods[1].id = "@x";
    odd.foods[1].label = "-label";
    Exclusion exclusion;
    exclusion.subject = "a,\"b\"";
    exclusion.reason = "=HYPERLINK(1)";
    odd.exclusions = {exclusion};
    std::size_t texts = 0;
    for (const auto& [name, bytes] : filesOf(odd)) {
        if (!name.ends_with(".csv")) {
            continue;
        }
        const auto rows = cellsOf(bytes);
        for (const auto& row : rows) {
            EXPECT_EQ(row.size(), rows[0].size()) << name;
            for (const std::string& cell : row) {
                if (!cell.empty() && std::string{"=+-@"}.find(cell[0]) != std::string::npos) {
                    EXPECT_EQ(cell.find_first_not_of("-+.0123456789e"), std::string::npos)
                        << name << ": " << cell;
                }
                texts += cell == "'=1+2" ? 1U : 0U;
            }
        }
    }
    EXPECT_GT(texts, 0U);
    EXPECT_THAT(column(filesOf(odd).at("foods.csv"), "food", {}), ElementsAre("bread", "'@x"));
}

TEST(Recompute, SamplesStandAsTheyWereAnalysed) {
    Study study = twoFoods();
    // A second determination of subject 01's bread at 60 min: (7 + 8)/2 = 7.5 = 1.875 · 2², in base 16 1.e ·
    // 2².
    study.replicate.assign(study.draws.size(), 1);
    Draw again = study.draws[1];
    again.row = 99;
    study.draws.push_back(again);
    study.replicate.push_back(2);
    study.concentrations[0].push_back(8.0);
    // Below a limit of 3: counts as 1.5. Missing at 120: an empty value.
    study.concentrations[0][3].reset();
    study.belowLimit.push_back({3, 0, 3.0});
    study.concentrations[0][5].reset();
    const std::string samples = filesOf(study).at("samples.csv");
    EXPECT_THAT(column(samples, "value", {{"curve", "1"}}), ElementsAre("5", "7.5", "5"));
    EXPECT_THAT(column(samples, "value_exact", {{"curve", "1"}}),
                ElementsAre("0x1.4p+2", "0x1.ep+2", "0x1.4p+2"));
    EXPECT_THAT(column(samples, "value", {{"subject", "01"}, {"food", "oats"}}), ElementsAre("1.5", "6", ""));
    EXPECT_THAT(column(samples, "time_min", {{"subject", "01"}, {"food", "oats"}}),
                ElementsAre("0", "60", "120"));
    EXPECT_THAT(column(samples, "exclusions", {{"curve", "1"}}), ElementsAre("either", "either", "either"));
}

TEST(Recompute, AnExcludedSampleStandsInBothStates) {
    Study study = twoFoods();
    Exclusion sample;
    sample.subject = "01";
    sample.food = "oats";
    sample.timeMin = 60.0;
    sample.reason = "clotted";
    Exclusion curve;
    curve.subject = "02";
    curve.food = "bread";
    curve.reason = "fever, vomited";
    study.exclusions = {sample, curve};
    const auto files = filesOf(study);
    const std::string& samples = files.at("samples.csv");
    const std::map<std::string, std::string> oats{{"subject", "01"}, {"food", "oats"}};
    auto applied = oats;
    applied["exclusions"] = "applied";
    auto ignored = oats;
    ignored["exclusions"] = "ignored";
    EXPECT_THAT(column(samples, "value", applied), ElementsAre("5", "5", ""));
    EXPECT_THAT(column(samples, "value", ignored), ElementsAre("5", "6", "5"));
    EXPECT_THAT(column(files.at("curves.csv"), "excluded", {{"subject", "02"}, {"food", "bread"}}),
                ElementsAre("yes"));
    EXPECT_THAT(column(files.at("curves.csv"), "excluded_because", {{"subject", "02"}, {"food", "bread"}}),
                ElementsAre("fever, vomited"));
    EXPECT_THAT(column(files.at("curves.csv"), "excluded", {{"subject", "01"}}), ElementsAre("no", "no"));
}

TEST(Recompute, ReportedNumbersStandByTheirPlace) {
    const auto files = filesOf(twoFoods());
    // Triangles over 120 min: bread 120 and 240, oats 60 and 60; differences −60 and −180.
    const std::map<std::string, std::string> comparison{
        {"table", "comparisons"}, {"food_no", "2"}, {"comparator_no", "1"}, {"quantity", "mean_difference"}};
    EXPECT_THAT(column(files.at("reported.csv"), "value", comparison), ElementsAre("-120"));
    const std::map<std::string, std::string> pairs{{"table", "pairs"}, {"quantity", "difference"}};
    EXPECT_THAT(column(files.at("reported.csv"), "value", pairs), ElementsAre("-60", "-180"));
    EXPECT_THAT(column(files.at("reported.csv"), "subject_no", pairs), ElementsAre("1", "2"));
    const auto ids = column(files.at("reported.csv"), "id", {});
    for (std::size_t i = 0; i < ids.size(); ++i) {
        ASSERT_EQ(ids[i], std::to_string(i + 1));
    }
}

TEST(Recompute, AnAbsentNumberHasItsReason) {
    Study study = twoFoods();
    study.concentrations[0][11].reset();  // subject 02, oats, 120 min: the window is not covered
    const auto files = filesOf(study);
    const std::map<std::string, std::string> t{{"table", "comparisons"}, {"quantity", "t"}};
    EXPECT_THAT(column(files.at("reported.csv"), "value", t), ElementsAre(""));
    EXPECT_THAT(column(files.at("reported.csv"), "absent_because", t),
                ElementsAre("one pair: its spread cannot be estimated, no interval and no test"));
    const auto rows = cellsOf(files.at("reported.csv"));
    for (std::size_t r = 1; r < rows.size(); ++r) {
        ASSERT_EQ(rows[r].size(), 14U);
        // A number, a word, or neither with the reason.
        EXPECT_TRUE(rows[r][11].empty() || rows[r][12].empty()) << rows[r][0];
    }
}

TEST(Recompute, ThePlanSaysWhatTheNumbersDependOn) {
    Study study = twoFoods();
    study.plan.secondaryMeasures = {"peak", "area_total"};
    study.plan.alpha = 0.1;
    study.plan.baseline = BaselineRule::timeZero;
    const std::string plan = filesOf(study).at("plan.csv");
    EXPECT_THAT(column(plan, "value", {{"key", "alpha"}}), ElementsAre("0.1"));
    EXPECT_THAT(column(plan, "value", {{"key", "baseline"}}), ElementsAre("time-zero"));
    EXPECT_THAT(column(plan, "value", {{"key", "comparator_no"}}), ElementsAre("1"));
    EXPECT_THAT(column(plan, "value", {{"key", "index_reference_no"}}), ElementsAre(""));
    EXPECT_THAT(column(plan, "value", {{"key", "compared_measure"}}),
                ElementsAre("area_positive_incremental", "peak", "area_total"));
}

TEST(Recompute, DegenerateStudiesHaveTheirFiles) {
    Study empty = twoFoods();
    for (auto& value : empty.concentrations[0]) {
        value.reset();
    }
    EXPECT_THAT(column(filesOf(empty).at("samples.csv"), "value", {{"curve", "1"}}), ElementsAre("", "", ""));
    Study noDraws = twoFoods();
    noDraws.draws.clear();
    noDraws.concentrations[0].clear();
    const auto files = filesOf(noDraws);
    EXPECT_EQ(cellsOf(files.at("samples.csv")).size(), 1U);
    EXPECT_EQ(cellsOf(files.at("curves.csv")).size(), 1U);
    EXPECT_EQ(cellsOf(files.at("subjects.csv")).size(), 3U);
}

TEST(Recompute, TheyAreWrittenBesideTheResults) {
    const Study study = twoFoods();
    const auto findings = analyse(study, study.plan);
    ASSERT_TRUE(findings.ok());
    const test::TempFolder folder;
    const auto written = writeResults(study, findings.value(), folder.path());
    ASSERT_TRUE(written.ok());
    for (const RecomputeFile& file : recomputeFiles(study, findings.value())) {
        EXPECT_THAT(written.value(), testing::Contains("recompute/" + file.name));
        EXPECT_EQ(folder.read("recompute/" + file.name), file.bytes);
    }
}

}  // namespace
}  // namespace aftercurve
