// `aftercurve-run figures`: files, formats, ids, a file of figures for any study.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <sstream>

#include "core/files/figure_spec_json.h"
#include "tests/support/temp_folder.h"
#include "ui/headless/figures_command.h"

namespace aftercurve {
namespace {

using test::TempFolder;
using testing::HasSubstr;

/// Two subjects, two foods, triangles; no number of it matters here.
void writeStudy(const TempFolder& folder) {
    folder.write("study.json", R"({"format": "aftercurve-study", "version": 1,
 "foods": [{"id": "drink", "role": "reference"}, {"id": "bread", "role": "test"}],
 "analytes": [{"id": "glucose", "unit": "mmol/L"}], "samples": ["a.csv"],
 "plan": {"comparator": "drink", "window_end_min": 60}})");
    folder.write("a.csv",
                 "subject,food,time_min,glucose\n"
                 "01,drink,0,5\n01,drink,30,8\n01,drink,60,5\n01,bread,0,5\n01,bread,30,7\n01,bread,60,5\n"
                 "02,drink,0,4\n02,drink,30,8\n02,drink,60,4\n02,bread,0,4\n02,bread,30,6\n02,bread,60,5\n");
}

struct Said {
    Exit exit = Exit::done;
    std::string lines;
    std::string messages;
};

Said figures(const FiguresArguments& arguments) {
    std::ostringstream lines;
    std::ostringstream messages;
    const Exit exit = runFigures(arguments, lines, messages, false);
    return {exit, lines.str(), messages.str()};
}

TEST(HeadlessFigures, DrawsTheIdsAndFormatsAskedFor) {
    const TempFolder folder;
    writeStudy(folder);
    FiguresArguments arguments;
    arguments.study = folder.path();
    arguments.out = folder.path() / "out";
    arguments.only = {"curves_mean_glucose"};
    arguments.formats = {"tiff", "svg", "tiff"};
    arguments.dpi = 72;
    const Said said = figures(arguments);
    EXPECT_EQ(said.exit, Exit::done) << said.messages;
    EXPECT_EQ(said.lines, "curves_mean_glucose.tiff\ncurves_mean_glucose.svg\n");
    EXPECT_GT(std::filesystem::file_size(arguments.out / "curves_mean_glucose.tiff"), 500U);
}

TEST(HeadlessFigures, AFileOfFiguresServesEveryStudy) {
    const TempFolder folder;
    writeStudy(folder);
    FigureSpec spec;
    spec.id = "ours";
    spec.panels.emplace_back().kind = "curves_mean";
    spec.style.foods = {{"oats", "Oats", "#112233", "", ""}};
    ASSERT_TRUE(writeFigureFile(folder.path() / "figures.json", std::vector{spec}).ok());
    FiguresArguments arguments;
    arguments.study = folder.path();
    arguments.out = folder.path() / "out";
    arguments.spec = folder.path() / "figures.json";
    arguments.saveSpec = folder.path() / "again.json";
    arguments.formats = {"svg"};
    const Said said = figures(arguments);
    EXPECT_EQ(said.exit, Exit::done) << said.messages;
    EXPECT_EQ(said.lines, "ours.svg\n");
    EXPECT_THAT(said.messages, HasSubstr("'oats' is no food of the study"));
    const auto again = readFigureFile(arguments.saveSpec);
    ASSERT_TRUE(again.ok());
    EXPECT_EQ(again.value().figures, std::vector{spec});
}

TEST(HeadlessFigures, RefusesWhatThereIsNot) {
    const TempFolder folder;
    writeStudy(folder);
    FiguresArguments arguments;
    arguments.study = folder.path();
    arguments.out = folder.path() / "out";
    arguments.formats = {"eps"};
    EXPECT_EQ(figures(arguments).exit, Exit::usage);
    arguments.formats = {"png"};
    arguments.dpi = 5000;
    EXPECT_EQ(figures(arguments).exit, Exit::usage);
    arguments.dpi = 100;
    arguments.only = {"none"};
    const Said said = figures(arguments);
    EXPECT_EQ(said.exit, Exit::usage);
    EXPECT_THAT(said.messages, HasSubstr("curves_mean_glucose"));
    arguments.only.clear();
    arguments.spec = folder.path() / "missing.json";
    EXPECT_EQ(figures(arguments).exit, Exit::unreadable);
    EXPECT_FALSE(std::filesystem::exists(arguments.out));
}

}  // namespace
}  // namespace aftercurve
