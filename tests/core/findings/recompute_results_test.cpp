// That every number of the results stands among those that the folder recompute reports, and the files of
// what stands beside the samples of blood.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <set>

#include "core/findings/results_json.h"
#include "tests/support/diary_builder.h"
#include "tests/support/feeding_study.h"
#include "tests/support/recompute_files.h"

namespace aftercurve {
namespace {

using test::cellsOf;
using test::collect;
using test::column;
using test::filesOf;
using test::twoFoods;
using testing::ElementsAre;

/// Two samples digested twice in one run, with blanks; one reading is missing.
Study withDigestions() {
    Study study = twoFoods();
    study.assays.file = "assays.csv";
    study.assays.samples = {{"bread", "Bread", "bread", true, 70.0, 1.0, 10.0, 0.5, 0.1},
                            {"=oats", "Oats", "oats", false, 60.0, 0.5, 9.0}};
    for (int replicate = 1; replicate <= 2; ++replicate) {
        for (const double time : {0.0, 10.0, 20.0, 40.0, 60.0, 90.0, 120.0}) {
            for (const AssaySample& sample : study.assays.samples) {
                AssayReading reading{sample.id, "+A", replicate, time, {}, 500.0};
                const double shift = 7.0 * replicate + (time == 40.0 ? 5.0 : 0.0);
                reading.value = sample.reference ? 3.0 * time + shift : 2.0 * time + shift;
                study.assays.readings.push_back(reading);
            }
            AssayReading blank{"", "+A", replicate, time, 2.0 + replicate, {}};
            blank.blank = true;
            study.assays.readings.push_back(blank);
        }
    }
    study.assays.readings[3].value.reset();
    return study;
}

TEST(RecomputeResults, ReadingsOfDigestionsStandByNumbers) {
    const auto files = filesOf(withDigestions());
    const std::string& readings = files.at("assay_readings.csv");
    EXPECT_EQ(cellsOf(readings).size(), 1U + 42U);
    EXPECT_THAT(column(readings, "digestion_no", {{"time_min", "0"}}),
                ElementsAre("1", "3", "", "2", "4", ""));
    EXPECT_THAT(column(readings, "value", {{"time_min", "10"}, {"digestion_no", "1"}}), ElementsAre(""));
    EXPECT_THAT(column(readings, "run", {{"time_min", "0"}, {"digestion_no", "1"}}), ElementsAre("'+A"));
    EXPECT_THAT(column(files.at("assay_samples.csv"), "sample", {}), ElementsAre("bread", "'=oats"));
    // Glucose at 20 min: 100 · (67 − 3.5)/500 = 12.7 of bread, less 1 of free glucose, times 0.9 = 10.53.
    const std::map<std::string, std::string> rapid{
        {"table", "digestion_readings"}, {"item", "1/3"}, {"quantity", "glucose_per_100_g"}};
    EXPECT_THAT(column(files.at("reported.csv"), "value", rapid), ElementsAre("12.7"));
    EXPECT_EQ(cellsOf(filesOf(twoFoods()).at("assay_samples.csv")).size(), 1U);
}

/// Determinations on both bases, one of them alone, and a recipe with a replacement.
Study withFibre() {
    Study study = twoFoods();
    study.fibre.file = "fibre.csv";
    study.fibre.region = "eu";
    study.fibre.targetG = 25.0;
    study.fibre.results = {{"=bran", "AOAC 2017.16", "total", 1, 41.0, false, 8.0, "", 2},
                           {"=bran", "2017.16", "total", 2, 42.0, false, 8.0, "", 3},
                           {"=bran", "991.43", "total", 1, 30.0, true, {}, "+north", 4}};
    Recipe recipe;
    recipe.id = "dough";
    recipe.label = "-Dough";
    recipe.parts = {{"flour", 500.0, 9.5, 65.0, 10.0, 2.5, 12.0}, {"=bran", 0.0, {}, 20.0, 14.0, 4.0, 8.0}};
    recipe.bakedMassG = 480.0;
    recipe.servingG = 45.0;
    recipe.replaced = "flour";
    recipe.by = "=bran";
    recipe.replacedShare = 0.25;
    study.fibre.recipes = {recipe};
    return study;
}

TEST(RecomputeResults, DeterminationsOfFibreStandByNumbers) {
    const auto files = filesOf(withFibre());
    const std::string& results = files.at("fibre_results.csv");
    EXPECT_THAT(column(results, "material", {}), ElementsAre("'=bran", "'=bran", "'=bran"));
    EXPECT_THAT(column(results, "method", {}), ElementsAre("2017.16", "2017.16", "991.43"));
    EXPECT_THAT(column(results, "laboratory_no", {}), ElementsAre("1", "1", "2"));
    EXPECT_THAT(column(results, "basis", {}), ElementsAre("as-is", "as-is", "dry"));
    EXPECT_THAT(column(files.at("recipes.csv"), "by_no", {}), ElementsAre("1"));
    const std::map<std::string, std::string> mean{
        {"table", "fibre_results"}, {"item", "1"}, {"quantity", "as_is_g_per_100_g"}};
    EXPECT_THAT(column(files.at("reported.csv"), "value", mean), ElementsAre("41.5"));
    // 375 g of flour with 9.5 % and 125 g of bran with 41.5 %: 35.625 + 51.875 = 87.5 g.
    const std::map<std::string, std::string> after{
        {"table", "recipes"}, {"item", "1/after"}, {"quantity", "fibre_g"}};
    EXPECT_THAT(column(files.at("reported.csv"), "value", after), ElementsAre("87.5"));
    EXPECT_EQ(cellsOf(filesOf(twoFoods()).at("fibre_results.csv")).size(), 1U);
}

/// Three subjects, one of whom writes nothing of the oats; a missing day; events.
Study withDiary() {
    test::DiaryBuilder builder;
    builder.plannedDays(3).item("bloating").item("=cramps");
    for (int s = 1; s <= 3; ++s) {
        for (int day = 1; day <= 3; ++day) {
            builder.day("0" + std::to_string(s), "bread", day, {s % 2, day % 2});
            if (s < 3 && day != s + 1) {
                builder.day("0" + std::to_string(s), "oats", day, {s, 3}, 5.0);
            }
        }
    }
    Study study = twoFoods();
    study.diary = builder.study().diary;
    study.subjects = builder.study().subjects;
    study.plan.comparator = "bread";
    AdverseEvent event;
    event.subject = "02";
    event.food = "@soup";
    event.what = "+headache";
    event.day = 11;
    study.diary.events = {event};
    return study;
}

TEST(RecomputeResults, DaysOfDiariesStandByNumbers) {
    const auto files = filesOf(withDiary());
    const std::string& days = files.at("diary_days.csv");
    EXPECT_EQ(cellsOf(days).size(), 1U + 13U);
    EXPECT_THAT(column(days, "item_1", {{"subject_no", "2"}, {"food_no", "2"}}), ElementsAre("2", "2"));
    EXPECT_THAT(column(files.at("diary_items.csv"), "item", {}), ElementsAre("bloating", "'=cramps"));
    EXPECT_THAT(column(files.at("adverse_events.csv"), "food", {}), ElementsAre("'@soup"));
    EXPECT_THAT(column(files.at("adverse_events.csv"), "food_no", {}), ElementsAre("3"));
    const std::map<std::string, std::string> missing{{"table", "diary_missing"},
                                                     {"quantity", "days_missing"}};
    EXPECT_THAT(column(files.at("reported.csv"), "value", missing), ElementsAre("1", "1", "3"));
    EXPECT_EQ(cellsOf(filesOf(twoFoods()).at("diary_days.csv")).size(), 1U);
}

TEST(RecomputeResults, EveryNumberOfTheResultsIsReported) {
    Study index = test::FeedingStudy(5).study;
    Exclusion exclusion;
    exclusion.subject = index.subjects[1].id;
    exclusion.reason = "fever";
    index.exclusions = {exclusion};
    index.plan.secondaryMeasures = {"time_to_return_min", "peak"};
    Study crossover = twoFoods();
    for (std::size_t d = 0; d < crossover.draws.size(); ++d) {
        Draw& draw = crossover.draws[d];
        draw.period = (draw.food + draw.subject) % 2 == 0 ? 1 : 2;
    }
    for (const Study& study : {index, crossover, withDigestions(), withFibre(), withDiary()}) {
        const auto findings = analyse(study, study.plan);
        ASSERT_TRUE(findings.ok());
        nlohmann::json results = nlohmann::json::parse(resultsJson(findings.value()));
        // The flow counts subjects; tests/core/findings/study_flow_test.cpp looks at it.
        for (const char* key : {"version", "plan", "problems", "inputs", "registered_plans", "flow"}) {
            results.erase(key);
        }
        results["tolerance"].erase("ordinal");  // not in the folder, as its README says
        std::set<std::string> numbers;
        collect(results, numbers);
        EXPECT_GT(numbers.size(), 30U);
        const auto values = column(filesOf(study).at("reported.csv"), "value", {});
        const std::set<std::string> reported(values.begin(), values.end());
        for (const std::string& number : numbers) {
            EXPECT_TRUE(reported.contains(number)) << number << " stands in results.json only";
        }
    }
}

}  // namespace
}  // namespace aftercurve
