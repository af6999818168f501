// Files as laboratories send them, one folder a kind in tests/data/intake/NN-kind (make_messy.py wrote them
// and, from the same truth but without this program, the study folder that each must become). A new folder
// there is a new case.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "core/edit/save_study.h"
#include "core/files/study_folder.h"
#include "core/intake/check_mapping.h"
#include "core/intake/guess.h"
#include "core/intake/mapping_json.h"
#include "core/intake/take_in.h"
#include "tests/core/files/problem_matchers.h"
#include "tests/support/close.h"
#include "tests/support/same_study.h"
#include "tests/support/temp_folder.h"

namespace aftercurve {
namespace {

using testing::HasSubstr;
namespace fs = std::filesystem;

const fs::path intake = fs::path{TEST_DATA} / "intake";

std::string textOf(const fs::path& path) {
    const std::ifstream in(path, std::ios::binary);
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
}

std::vector<std::string> linesIn(const fs::path& path) {
    std::istringstream in(textOf(path));
    std::vector<std::string> lines;
    for (std::string line; std::getline(in, line);) {
        lines.push_back(line);
    }
    return lines;
}

std::vector<std::string> cases() {
    std::vector<std::string> names;
    for (const auto& entry : fs::directory_iterator(intake)) {
        if (fs::exists(entry.path() / "expected")) {
            names.push_back(entry.path().filename().string());
        }
    }
    std::sort(names.begin(), names.end());
    return names;
}

/// The laboratory's files of a case, in the order of their names.
std::vector<fs::path> filesOf(const fs::path& folder) {
    std::vector<fs::path> files;
    for (const auto& entry : fs::directory_iterator(folder)) {
        const std::string name = entry.path().filename().string();
        if (entry.is_regular_file() && name != "mapping.json" && name != "questions.txt" &&
            name != "said.txt") {
            files.push_back(entry.path());
        }
    }
    std::sort(files.begin(), files.end());
    return files;
}

/// One draw as a line: everything but its values.
std::string nameOfDraw(const Study& study, std::size_t d) {
    const Draw& draw = study.draws[d];
    const auto nominal = nominalMinOf(study, d);
    std::ostringstream text;
    text << study.subjects[draw.subject].id << " | " << study.foods[draw.food].id << " | visit " << draw.visit
         << " | period " << draw.period << " | " << draw.timeMin << " min | nominal "
         << (nominal ? std::to_string(*nominal) : "none") << " | " << replicateOf(study, d) << " | "
         << remarkOn(study, static_cast<std::uint32_t>(d)) << " | row " << draw.row;
    return text.str();
}

void expectDrawsEqual(const Study& taken, const Study& truth) {
    ASSERT_EQ(taken.draws.size(), truth.draws.size());
    ASSERT_EQ(taken.concentrations.size(), truth.concentrations.size());
    for (std::size_t d = 0; d < truth.draws.size(); ++d) {
        ASSERT_EQ(nameOfDraw(taken, d), nameOfDraw(truth, d));
        ASSERT_EQ(taken.draws[d].timeMin, truth.draws[d].timeMin);
        for (std::uint32_t a = 0; a < truth.analytes.size(); ++a) {
            // A conversion may be done by another operation; all else is the same number.
            ASSERT_TRUE(test::isClose(taken.concentrations[a][d], truth.concentrations[a][d],
                                      {.absolute = 0.0, .relative = 1e-14}))
                << nameOfDraw(truth, d) << " " << truth.analytes[a].id;
            ASSERT_EQ(belowLimitAt(taken, static_cast<std::uint32_t>(d), a),
                      belowLimitAt(truth, static_cast<std::uint32_t>(d), a))
                << nameOfDraw(truth, d) << " " << truth.analytes[a].id;
        }
    }
}

class MessyFiles : public testing::TestWithParam<std::string> {
  protected:
    fs::path folder() const { return intake / GetParam(); }
};

TEST_P(MessyFiles, BecomeTheirStudyAndSurviveSavingAndOpening) {
    const StudyReading expected = readStudyFolder(folder() / "expected");
    ASSERT_TRUE(expected.study) << linesOf(expected.problems);
    ASSERT_EQ(errorCount(expected.problems), 0u) << linesOf(expected.problems);

    std::vector<Source> sources;
    for (const fs::path& file : filesOf(folder())) {
        auto source = openSource(file);
        ASSERT_TRUE(source) << source.problem().what;
        sources.push_back(std::move(source).value());
    }
    ASSERT_FALSE(sources.empty());
    const auto tables = inputTables(sources);

    const GuessedMapping guessed = guessMapping(tables);
    EXPECT_TRUE(guessed.problems.empty()) << linesOf(guessed.problems);
    std::vector<std::string> keys;
    std::string sentences;
    for (const Question& question : guessed.questions) {
        keys.push_back(question.key);
        sentences += sentenceFor(question) + "\n";
    }
    EXPECT_EQ(keys, linesIn(folder() / "questions.txt")) << sentences;

    Mapping mapping = guessed.mapping;
    if (fs::exists(folder() / "mapping.json")) {
        // What was asked stands in the way until it is answered.
        EXPECT_FALSE(takeIn(tables, mapping).study);
        const MappingReading answered = readMapping(textOf(folder() / "mapping.json"), "mapping.json");
        ASSERT_TRUE(answered.mapping) << linesOf(answered.problems);
        mapping = *answered.mapping;
    }
    const auto blocking = checkMapping(mapping, tables);
    EXPECT_EQ(errorCount(blocking), 0u) << linesOf(blocking);

    TakeInOptions options;
    options.title = expected.study->title;
    const TakenIn taken = takeIn(tables, mapping, options);
    ASSERT_TRUE(taken.study) << linesOf(taken.problems);
    for (const std::string& said : linesIn(folder() / "said.txt")) {
        EXPECT_THAT(linesOf(taken.problems), HasSubstr(said));
    }
    expectDrawsEqual(*taken.study, *expected.study);
    Study sameValues = *expected.study;
    sameValues.concentrations = taken.study->concentrations;  // compared above
    EXPECT_EQ(test::differences(*taken.study, sameValues), "");

    const test::TempFolder saved;
    const auto written = writeNewStudy(saved.path() / "study", *taken.study);
    ASSERT_TRUE(written) << written.problem().what;
    const StudyReading again = readStudyFolder(saved.path() / "study");
    ASSERT_TRUE(again.study) << linesOf(again.problems);
    EXPECT_EQ(errorCount(again.problems), 0u) << linesOf(again.problems);
    EXPECT_EQ(test::differences(*again.study, *taken.study), "");
}

INSTANTIATE_TEST_SUITE_P(Kinds, MessyFiles, testing::ValuesIn(cases()), [](const auto& kind) {
    std::string name = kind.param;
    std::replace_if(
        name.begin(), name.end(), [](char c) { return c == '-'; }, '_');
    return name;
});

TEST(MessyFilesFolder, HoldsTheKinds) {
    EXPECT_GE(cases().size(), 10u);
}

}  // namespace
}  // namespace aftercurve
