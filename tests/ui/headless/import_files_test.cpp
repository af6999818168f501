// `aftercurve-run import` on the files of tests/data/intake (invented, make_messy.py), as a process.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <QProcess>
#include <filesystem>

#include "core/files/study_folder.h"
#include "core/intake/mapping_json.h"
#include "tests/support/same_study.h"
#include "tests/support/temp_folder.h"

namespace aftercurve {
namespace {

using test::TempFolder;
using testing::HasSubstr;
namespace fs = std::filesystem;

const fs::path intake = fs::path{TEST_DATA} / "intake";

struct Ran {
    int exit = -1;
    std::string out;
    std::string messages;
};

Ran runImportOf(const std::vector<fs::path>& files, const std::vector<std::string>& options,
                const fs::path& workingFolder = fs::temp_directory_path()) {
    QStringList arguments{QStringLiteral("import")};
    for (const fs::path& file : files) {
        arguments << QString::fromStdString(file.string());
    }
    for (const std::string& option : options) {
        arguments << QString::fromStdString(option);
    }
    QProcess program;
    program.setWorkingDirectory(QString::fromStdString(workingFolder.string()));
    program.start(QStringLiteral(TEST_HEADLESS_PROGRAM), arguments);
    EXPECT_TRUE(program.waitForFinished(60000));
    return {program.exitCode(), program.readAllStandardOutput().toStdString(),
            program.readAllStandardError().toStdString()};
}

bool isEmpty(const TempFolder& folder) {
    return fs::directory_iterator(folder.path()) == fs::directory_iterator{};
}

TEST(HeadlessImportFiles, AnOpenQuestionEndsInThreeAndTheMappingIsWritten) {
    const TempFolder folder;
    const fs::path file = intake / "07-wrong-unit" / "readings.csv";
    const std::string mapping = (folder.path() / "asked.json").string();
    const Ran run =
        runImportOf({file}, {"--out", (folder.path() / "study").string(), "--save-mapping", mapping});
    EXPECT_EQ(run.exit, 3);
    EXPECT_THAT(run.messages, HasSubstr("question: analytes[0].file_unit: In which unit is glucose?"));
    EXPECT_FALSE(fs::exists(folder.path() / "study"));
    const MappingReading saved = readMapping(folder.read("asked.json"), "asked.json");
    ASSERT_TRUE(saved.mapping);
    EXPECT_EQ(saved.mapping->analytes.at(0).fileUnit, "");

    // The same mapping with the answer in it takes the file in.
    std::string text = folder.read("asked.json");
    const std::size_t at = text.find("\"file_unit\": null");
    ASSERT_NE(at, std::string::npos) << text;
    text.replace(at, 17, "\"file_unit\": \"mg/dL\"");
    folder.write("answered.json", text);
    const Ran again = runImportOf({file}, {"--out", (folder.path() / "study").string(), "--mapping",
                                           (folder.path() / "answered.json").string()});
    EXPECT_EQ(again.exit, 0) << again.messages;
    const StudyReading study = readStudyFolder(folder.path() / "study");
    ASSERT_TRUE(study.study);
    EXPECT_EQ(study.study->draws.size(), 9u * 3u * 8u);
}

TEST(HeadlessImportFiles, ADryRunWritesNothing) {
    const TempFolder folder;
    const Ran run =
        runImportOf({intake / "01-semicolons-latin1" / "kapillarblut.csv"}, {"--dry-run"}, folder.path());
    EXPECT_EQ(run.exit, 0) << run.messages;
    EXPECT_THAT(run.out, HasSubstr("8 subjects, 3 foods, 24 visits, 168 draws"));
    EXPECT_TRUE(isEmpty(folder));
}

TEST(HeadlessImportFiles, SeveralFilesWithTheirMappingBecomeTheStudy) {
    const TempFolder folder;
    const fs::path kind = intake / "05-two-files";
    const std::vector<std::string> options{"--out", (folder.path() / "study").string(), "--mapping",
                                           (kind / "mapping.json").string()};
    const std::vector<fs::path> files{kind / "glucose.csv", kind / "insulin.xlsx"};
    const Ran run = runImportOf(files, options);
    EXPECT_EQ(run.exit, 0) << run.messages;
    const StudyReading study = readStudyFolder(folder.path() / "study");
    const StudyReading expected = readStudyFolder(kind / "expected");
    ASSERT_TRUE(study.study && expected.study);
    EXPECT_EQ(test::differences(*study.study, *expected.study), "");

    // A folder with a study in it is not written over.
    const Ran again = runImportOf(files, options);
    EXPECT_EQ(again.exit, 3);
    const StudyReading after = readStudyFolder(folder.path() / "study");
    ASSERT_TRUE(after.study);
    EXPECT_TRUE(*after.study == *study.study);
}

TEST(HeadlessImportFiles, WithoutOutOrWithoutAFileItIsUsage) {
    EXPECT_EQ(runImportOf({}, {}).exit, 2);
    EXPECT_EQ(runImportOf({intake / "no-such-file.csv"}, {"--dry-run"}).exit, 3);
}

}  // namespace
}  // namespace aftercurve
