// Property: a study written as CSV in any quoting, column order and line end is read back equal.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdio>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "core/files/sha256.h"
#include "core/files/study_folder.h"
#include "tests/core/files/problem_matchers.h"
#include "tests/support/random_study.h"
#include "tests/support/temp_folder.h"

namespace aftercurve {
namespace {

using test::CsvWriter;
using test::Generator;

Study randomStudy(Generator& g) {
    Study study;
    study.title = g.id(0);
    const std::size_t foods = 1 + g.below(4);
    for (std::size_t i = 0; i < foods; ++i) {
        Food food{g.id(i),
                  g.id(i) + " label",
                  g.pick(std::vector{FoodRole::reference, FoodRole::control, FoodRole::test}),
                  {},
                  {}};
        if (g.oneIn(2)) {
            food.availableCarbohydrateG = g.value(0, 100);
        }
        study.foods.push_back(food);
    }
    const std::size_t analytes = 1 + g.below(3);
    for (std::size_t i = 0; i < analytes; ++i) {
        study.analytes.push_back({g.id(i) + "analyte", "U/L", g.oneIn(2) ? "serum" : ""});
    }
    const std::size_t subjects = 1 + g.below(5);
    for (std::size_t i = 0; i < subjects; ++i) {
        study.subjects.push_back({g.id(i), "", "", {}, {}});
    }
    study.sampleFiles = {"samples.csv"};
    study.concentrations.resize(analytes);
    const std::size_t rows = subjects + g.below(60);
    for (std::size_t row = 0; row < rows; ++row) {
        Draw draw;
        // Every subject first appears in the order of the list.
        draw.subject = static_cast<std::uint32_t>(row < subjects ? row : g.below(subjects));
        draw.food = static_cast<std::uint32_t>(g.below(foods));
        draw.visit = static_cast<std::int32_t>(1 + g.below(20));
        draw.period = static_cast<std::int32_t>(g.below(4));
        draw.timeMin = g.value(-30, 240);
        study.draws.push_back(draw);
        for (auto& values : study.concentrations) {
            values.push_back(g.oneIn(6) ? std::nullopt : std::optional{g.value(0, 1000)});
        }
    }
    return study;
}

std::string written(double value) {
    char text[40];
    std::snprintf(text, sizeof text, "%.17g", value);
    return text;
}

std::string jsonOf(const Study& study) {
    nlohmann::json json = {{"format", "aftercurve-study"},
                           {"version", 1},
                           {"title", study.title},
                           {"samples", study.sampleFiles}};
    for (const Food& food : study.foods) {
        nlohmann::json entry = {
            {"id", food.id}, {"label", food.label}, {"role", std::string{wordFor(food.role)}}};
        if (food.availableCarbohydrateG) {
            entry["available_carbohydrate_g"] = *food.availableCarbohydrateG;
        }
        json["foods"].push_back(entry);
    }
    for (const Analyte& analyte : study.analytes) {
        json["analytes"].push_back(
            {{"id", analyte.id}, {"unit", analyte.unit}, {"specimen", analyte.specimen}});
    }
    return json.dump();
}

/// Writes the draws and fills in their rows.
std::string csvOf(Study& study, Generator& g) {
    CsvWriter csv{g, g.pick(std::vector<std::string>{"\n", "\r\n", "\r"})};
    std::vector<std::string> header{"subject", "food", "visit", "period", "time_min", "operator"};
    for (const Analyte& analyte : study.analytes) {
        header.push_back(analyte.id + (g.oneIn(3) ? " [U/L]" : ""));
    }
    std::vector<std::size_t> order(header.size());
    for (std::size_t i = 0; i < order.size(); ++i) {
        order[i] = i;
    }
    std::shuffle(order.begin(), order.end(), g.engine());
    const auto ordered = [&order](const std::vector<std::string>& cells) {
        std::vector<std::string> out;
        for (const std::size_t i : order) {
            out.push_back(cells[i]);
        }
        return out;
    };
    csv.row(ordered(header));
    for (std::size_t row = 0; row < study.draws.size(); ++row) {
        Draw& draw = study.draws[row];
        if (g.oneIn(10)) {
            csv.blankLine();
        }
        draw.row = csv.line();
        const bool twoLines = g.oneIn(10);
        std::vector<std::string> cells{
            study.subjects[draw.subject].id,
            study.foods[draw.food].id,
            std::to_string(draw.visit),
            draw.period == 0 ? g.pick(std::vector<std::string>{"", "NA"}) : std::to_string(draw.period),
            written(draw.timeMin),
            twoLines ? "two\nlines, \"so\"" : "plain"};
        for (const auto& values : study.concentrations) {
            cells.push_back(values[row] ? written(*values[row])
                                        : g.pick(std::vector<std::string>{"", "NA", "na", "N/A"}));
        }
        csv.row(ordered(cells));
        csv.skipLines(twoLines ? 1 : 0);
    }
    return (g.oneIn(3) ? "\xef\xbb\xbf" : "") + csv.text(!g.oneIn(3));
}

TEST(RoundTrip, AnyWayOfWritingAStudyIsReadBackEqual) {
    const test::TempFolder folder;
    for (std::uint64_t seed = 1; seed <= 300; ++seed) {
        Generator g{seed};
        Study study = randomStudy(g);
        const std::string samples = csvOf(study, g);
        study.studyJson = jsonOf(study);
        study.inputs = {{"study.json", sha256Hex(study.studyJson)}, {"samples.csv", sha256Hex(samples)}};
        folder.write("study.json", study.studyJson);
        folder.write("samples.csv", samples);
        const StudyReading reading = readStudyFolder(folder.path());
        ASSERT_TRUE(reading.study) << "seed " << seed << '\n' << linesOf(reading.problems) << samples;
        ASSERT_THAT(reading.problems, testing::SizeIs(1)) << "seed " << seed << '\n'
                                                          << linesOf(reading.problems);
        EXPECT_THAT(reading.problems, HasProblem(Severity::note, "samples.csv:1", "'operator' is not known"));
        ASSERT_TRUE(*reading.study == study) << "seed " << seed << '\n' << samples;
    }
}

}  // namespace
}  // namespace aftercurve
