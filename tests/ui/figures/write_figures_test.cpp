#include "ui/figures/write_figures.h"

#include <gmock/gmock.h>

#include <QTemporaryDir>
#include <fstream>

#include "tests/support/figure_fixture.h"

namespace aftercurve {
namespace {

namespace fs = std::filesystem;

TEST(WriteFigures, WritesEveryAvailableFigureInThreeFormats) {
    const QTemporaryDir folder;
    ASSERT_TRUE(folder.isValid());
    const fs::path target = fs::path(folder.path().toStdString()) / "figures";
    const auto input = fixture::smallInput();
    double last = -1.0;
    const auto written =
        writeFigures(input.study, input.findings, target, [&](double fraction) { last = fraction; });
    ASSERT_TRUE(written.ok());
    std::vector<std::string> names;
    for (const WrittenFigure& figure : written.value()) {
        EXPECT_FALSE(figure.title.empty());
        EXPECT_NE(figure.svg.find("<svg"), std::string::npos);
        for (const std::string& name : figure.files) {
            EXPECT_GT(fs::file_size(target / name), 500u) << name;
            names.push_back(name);
        }
    }
    EXPECT_THAT(names,
                testing::IsSupersetOf({"curves_subjects_glucose.svg", "curves_mean_glucose.pdf",
                                       "curves_increment_glucose.png", "comparison_paired_glucose_bread.svg",
                                       "comparison_estimates_glucose.svg", "index_glucose.png"}));
    EXPECT_EQ(names.size(), 18u);
    EXPECT_EQ(last, 1.0);
}

TEST(WriteFigures, WritesNothingForAnEmptyStudy) {
    const QTemporaryDir folder;
    const auto written = writeFigures({}, {}, folder.path().toStdString());
    ASSERT_TRUE(written.ok());
    EXPECT_THAT(written.value(), testing::IsEmpty());
}

TEST(WriteFigures, NamesTheFolderThatItCannotMake) {
    const QTemporaryDir folder;
    const fs::path file = fs::path(folder.path().toStdString()) / "file";
    std::ofstream(file) << "x";
    const auto input = fixture::smallInput();
    const auto written = writeFigures(input.study, input.findings, file / "figures");
    ASSERT_FALSE(written.ok());
    EXPECT_NE(written.problem().file.find("figures"), std::string::npos);
}

TEST(WriteFigures, KeepsFoodsApartWhoseIdsGiveTheSameName) {
    const QTemporaryDir folder;
    auto input = fixture::smallInput();
    ComparisonFinding second = input.findings.comparisons[0];
    input.findings.comparisons[0].food = "rye/bread";
    second.food = "rye bread";
    input.findings.comparisons.push_back(second);
    const auto written = writeFigures(input.study, input.findings, folder.path().toStdString());
    ASSERT_TRUE(written.ok());
    std::vector<std::string> stems;
    for (const WrittenFigure& figure : written.value()) {
        stems.push_back(figure.files.front());
    }
    EXPECT_THAT(stems, testing::IsSupersetOf({"comparison_paired_glucose_rye-bread.svg",
                                              "comparison_paired_glucose_rye-bread-2.svg"}));
}

TEST(FileNamePart, LeavesNothingThatCouldLeaveTheFolder) {
    EXPECT_EQ(fileNamePart("Barley Bread 2"), "barley-bread-2");
    EXPECT_EQ(fileNamePart("../../etc/passwd"), "etc-passwd");
    EXPECT_EQ(fileNamePart("õunamahl"), "unamahl");
    EXPECT_EQ(fileNamePart("///"), "x");
    EXPECT_EQ(fileNamePart(std::string(500, 'a')).size(), 60u);
}

}  // namespace
}  // namespace aftercurve
