#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <sstream>

#include "tests/support/temp_folder.h"
#include "ui/headless/commands.h"

namespace aftercurve {

namespace {

using test::TempFolder;
using testing::HasSubstr;
namespace fs = std::filesystem;

const fs::path samples = TEST_SAMPLES;

struct Said {
    Exit exit = Exit::done;
    std::string lines;
    std::string messages;
};

Said reported(const ReportArguments& arguments) {
    std::ostringstream lines;
    std::ostringstream messages;
    Said said;
    said.exit = runReport(arguments, lines, messages, false);
    said.lines = lines.str();
    said.messages = messages.str();
    return said;
}

}  // namespace

TEST(ReportCommand, WritesBothFormatsWhereNoneIsNamed) {
    const TempFolder out;
    const Said said =
        reported({samples / "barley-index", out.path() / "new", "2026-03-02", false, false, false});
    EXPECT_EQ(said.exit, Exit::done) << said.messages;
    EXPECT_EQ(said.lines, "report.html\nreport.pdf\n");
    EXPECT_THAT(out.read("new/report.html"), HasSubstr("<dd>2026-03-02</dd>"));
    EXPECT_THAT(out.read("new/report.pdf"), HasSubstr("%PDF-1.6"));
    EXPECT_FALSE(fs::exists(out.path() / "new/results.json"));
}

TEST(ReportCommand, WritesTheOneThatIsNamed) {
    const TempFolder out;
    EXPECT_EQ(reported({samples / "barley-index", out.path(), "", true, false, false}).lines,
              "report.html\n");
    EXPECT_FALSE(fs::exists(out.path() / "report.pdf"));
    EXPECT_EQ(reported({samples / "barley-index", out.path(), "", false, true, false}).lines, "report.pdf\n");
}

TEST(ReportCommand, SaysWhatIsWrong) {
    const TempFolder out;
    const Said date = reported({samples / "barley-index", out.path(), "2 March", false, false, false});
    EXPECT_EQ(date.exit, Exit::usage);
    EXPECT_THAT(date.messages, HasSubstr("2026-03-02"));
    EXPECT_EQ(reported({out.path() / "none", out.path(), "", false, false, false}).exit, Exit::unreadable);
    out.write("file", "x");
    const Said folder = reported({samples / "barley-index", out.path() / "file/in", "", true, false, false});
    EXPECT_EQ(folder.exit, Exit::unreadable);
    EXPECT_THAT(folder.messages, HasSubstr("cannot be made"));
}

TEST(ReportCommand, AStudyWithErrorsIsReportedAndExitsFour) {
    const TempFolder out;
    const Said said = reported({samples / "pulse-wafer-crossover", out.path(), "", true, false, false});
    EXPECT_EQ(said.exit, Exit::partly);
    EXPECT_THAT(out.read("report.html"), HasSubstr("<span class=\"error\">error</span>"));
}

}  // namespace aftercurve
