// The files from which every number can be computed again elsewhere. That the script's numbers agree is
// tested in tests/reference/recompute.cmake, where R is installed.
#include "core/findings/recompute.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <map>
#include <nlohmann/json.hpp>
#include <set>

#include "core/base/number_text.h"
#include "core/findings/analyse.h"
#include "core/findings/recompute/script_text.h"
#include "core/findings/results_json.h"
#include "core/findings/write_results.h"
#include "tests/support/feeding_study.h"
#include "tests/support/study_builder.h"
#include "tests/support/temp_folder.h"

namespace aftercurve {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::Not;

std::map<std::string, std::string> filesOf(const Study& study) {
    const auto findings = analyse(study, study.plan);
    EXPECT_TRUE(findings.ok());
    std::map<std::string, std::string> files;
    for (RecomputeFile& file : recomputeFiles(study, findings.value())) {
        files.emplace(file.name, std::move(file.bytes));
    }
    return files;
}

/// The rows of RFC 4180 text, each split into its cells.
std::vector<std::vector<std::string>> cellsOf(const std::string& csv) {
    std::vector<std::vector<std::string>> rows(1, std::vector<std::string>(1));
    bool quoted = false;
    for (std::size_t i = 0; i < csv.size(); ++i) {
        const char c = csv[i];
        if (c == '"') {
            const bool doubled = quoted && i + 1 < csv.size() && csv[i + 1] == '"';
            if (doubled) {
                rows.back().back() += c;
                ++i;
            } else {
                quoted = !quoted;
            }
        } else if (c == ',' && !quoted) {
            rows.back().emplace_back();
        } else if (c == '\n' && !quoted) {
            rows.emplace_back(1);
        } else {
            rows.back().back() += c;
        }
    }
    rows.pop_back();  // what follows the last line end
    return rows;
}

/// The value of one column by row, for rows where `where` columns have these cells.
std::vector<std::string> column(const std::string& csv, const std::string& name,
                                const std::map<std::string, std::string>& where) {
    const auto rows = cellsOf(csv);
    std::map<std::string, std::size_t> place;
    for (std::size_t c = 0; c < rows[0].size(); ++c) {
        place[rows[0][c]] = c;
    }
    std::vector<std::string> values;
    for (std::size_t r = 1; r < rows.size(); ++r) {
        bool fits = true;
        for (const auto& [key, cell] : where) {
            fits = fits && rows[r].at(place.at(key)) == cell;
        }
        if (fits) {
            values.push_back(rows[r].at(place.at(name)));
        }
    }
    return values;
}

Study twoFoods() {
    test::StudyBuilder builder;
    builder.food("bread", FoodRole::control).food("oats", FoodRole::test).analyte("glucose", "mmol/L");
    builder.curve("01", "bread", 1, {0, 60, 120}, {5, 7, 5}).curve("01", "oats", 1, {0, 60, 120}, {5, 6, 5});
    builder.curve("02", "bread", 1, {0, 60, 120}, {5, 9, 5}).curve("02", "oats", 1, {0, 60, 120}, {5, 6, 5});
    builder.study().plan.index = false;
    return builder.study();
}

TEST(Recompute, TheFilesHaveFixedNames) {
    std::vector<std::string> names;
    for (const auto& [name, bytes] : filesOf(twoFoods())) {
        names.push_back(name);
    }
    EXPECT_THAT(names, ElementsAre("README.txt", "analytes.csv", "assay_readings.csv", "assay_samples.csv",
                                   "assay_settings.csv", "curves.csv", "foods.csv", "index_foods.csv",
                                   "meal_parts.csv", "plan.csv", "recompute.R", "reported.csv", "samples.csv",
                                   "settings.csv", "subjects.csv"));
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

/// Numbers below a JSON value, except those of keys that say where a number stands.
void collect(const nlohmann::json& json, std::set<std::string>& numbers) {
    static const std::set<std::string> places{"visit", "period", "window_end_min"};
    if (json.is_number()) {
        numbers.insert(plainNumber(json.get<double>()));
    } else if (json.is_object()) {
        for (const auto& [key, value] : json.items()) {
            if (!places.contains(key)) {
                collect(value, numbers);
            }
        }
    } else if (json.is_array()) {
        for (const auto& value : json) {
            collect(value, numbers);
        }
    }
}

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

TEST(Recompute, ReadingsOfDigestionsStandByNumbers) {
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

TEST(Recompute, EveryNumberOfTheResultsIsReported) {
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
    for (const Study& study : {index, crossover, withDigestions()}) {
        const auto findings = analyse(study, study.plan);
        ASSERT_TRUE(findings.ok());
        nlohmann::json results = nlohmann::json::parse(resultsJson(findings.value()));
        // The flow counts subjects; tests/core/findings/study_flow_test.cpp looks at it. Fibre, diaries and
        // the bridge are not in the folder, as its README says.
        for (const char* key : {"version", "plan", "problems", "inputs", "registered_plans", "flow", "fibre",
                                "tolerance", "bridge"}) {
            results.erase(key);
        }
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
