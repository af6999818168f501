// What is found after a save was cut short, built by hand for each moment, and what a stranger may have put
// there.
#include <fcntl.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/stat.h>

#include <nlohmann/json.hpp>
#include <string>

#include "core/files/file_hash.h"
#include "core/files/recovery_log.h"
#include "core/files/save_record.h"
#include "core/files/sha256.h"
#include "core/files/staged_save.h"
#include "tests/core/files/problem_matchers.h"
#include "tests/support/study_files.h"

namespace aftercurve {
namespace {

namespace fs = std::filesystem;
using test::smallStudyJson;
using test::StudyFiles;
using test::TempFolder;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::SizeIs;

constexpr const char* oldSamples = "subject,food,time_min,glucose\n01,drink,0,5\n01,barley,0,4\n";
constexpr const char* newSamples = "subject,food,time_min,glucose\n01,drink,0,6\n01,barley,0,7\n";

std::string newJson() {
    std::string json = smallStudyJson();
    return json.replace(json.find("Invented barley study"), 21, "Saved anew");
}

std::string recordText(const std::string& firstName = "study.json") {
    return saveRecordText({{{firstName, sha256Hex(newJson()), sha256Hex(smallStudyJson())},
                            {"samples.csv", sha256Hex(newSamples), sha256Hex(oldSamples)}},
                           false});
}

/// A study whose save was committed and cut short before anything was renamed.
struct Committed : StudyFiles {
    Committed() : StudyFiles(oldSamples) {
        folder.write(".aftercurve-save/file-0", newJson());
        folder.write(".aftercurve-save/file-1", newSamples);
        folder.write(".aftercurve-save/record.json", recordText());
    }
    fs::path staging() const { return folder.path() / stagingName; }
};

std::string outcomeOf(const Result<FinishedSave>& finished) {
    if (!finished.ok()) {
        return finished.problem().what;
    }
    switch (finished.value().found) {
        case InterruptedSave::none:
            return "none";
        case InterruptedSave::finished:
            return "finished";
        case InterruptedSave::discarded:
            return "discarded";
    }
    return "";
}

TEST(InterruptedSave, BeforeTheCommitTheOldFilesStandAndTheRestIsDiscarded) {
    for (const bool recordBegun : {false, true}) {
        const Committed files;
        fs::remove(files.staging() / "record.json");
        if (recordBegun) {
            files.folder.write(".aftercurve-save/record.part", recordText().substr(0, 50));
        }
        const auto reading = files.read();
        ASSERT_TRUE(reading.study);
        EXPECT_EQ(reading.study->title, "Invented barley study");
        EXPECT_THAT(reading.problems, IsEmpty());
        EXPECT_FALSE(stagedBytesFor(files.folder.path(), "study.json").value());
        EXPECT_EQ(outcomeOf(finishInterruptedSave(files.folder.path())), "discarded");
        EXPECT_FALSE(fs::exists(files.staging()));
        EXPECT_EQ(files.folder.read("samples.csv"), oldSamples);
        EXPECT_EQ(outcomeOf(finishInterruptedSave(files.folder.path())), "none");
    }
}

TEST(InterruptedSave, AfterTheCommitItIsReadAndFinishedWhereverItStopped) {
    // 0: nothing renamed yet; 1, 2: so many files in place.
    for (int renamed = 0; renamed <= 2; ++renamed) {
        const Committed files;
        const fs::path folder = files.folder.path();
        if (renamed > 0) {
            fs::rename(files.staging() / "file-0", folder / "study.json");
        }
        if (renamed > 1) {
            fs::rename(files.staging() / "file-1", folder / "samples.csv");
        }
        const auto reading = files.read();
        ASSERT_TRUE(reading.study) << linesOf(reading.problems);
        EXPECT_EQ(reading.study->title, "Saved anew");
        EXPECT_EQ(reading.study->concentrations[0][1], 7.0);
        EXPECT_EQ(reading.study->inputs[1].sha256, sha256Hex(newSamples));
        EXPECT_THAT(reading.problems, HasProblem(Severity::note, stagingName, "was interrupted after"));
        EXPECT_EQ(sha256Inside(folder, "samples.csv").value(), sha256Hex(newSamples));
        EXPECT_EQ(stagedBytesFor(folder, "samples.csv").value().has_value(), renamed < 2);
        EXPECT_FALSE(stagedBytesFor(folder, "other.csv").value());
        EXPECT_TRUE(fs::exists(files.staging() / "record.json")) << "looking must not write";

        const auto finished = finishInterruptedSave(folder);
        ASSERT_EQ(outcomeOf(finished), "finished");
        EXPECT_THAT(finished.value().notes, IsEmpty());
        EXPECT_EQ(files.folder.read("study.json"), newJson());
        EXPECT_EQ(files.folder.read("samples.csv"), newSamples);
        EXPECT_FALSE(fs::exists(files.staging()));
    }
}

TEST(InterruptedSave, TheNextSaveFinishesItFirst) {
    const Committed files;
    ASSERT_TRUE(saveTogether(files.folder.path(), std::vector<NewFile>{{"notes.txt", "x"}}).ok());
    EXPECT_EQ(files.folder.read("study.json"), newJson());
    EXPECT_EQ(files.folder.read("notes.txt"), "x");
    EXPECT_FALSE(fs::exists(files.staging()));
}

TEST(InterruptedSave, IsSeenThroughByEveryNameOfTheFile) {
    const Committed files;
    const fs::path folder = files.folder.path();
    fs::create_symlink("samples.csv", folder / "link.csv");
    EXPECT_EQ(readInside(folder, "link.csv", 1000).value().view(), newSamples);
    EXPECT_EQ(readInside(folder, "./samples.csv", 1000).value().view(), newSamples);
    EXPECT_EQ(sizeInside(folder, "samples.csv"), std::string{newSamples}.size());
    EXPECT_FALSE(readInside(folder, "samples.csv", 10).ok());
}

TEST(InterruptedSave, AFileThatIsNewInItIsReadToo) {
    const TempFolder folder;
    folder.write(".aftercurve-save/file-0", "new");
    folder.write(".aftercurve-save/record.json",
                 saveRecordText({{{"new.csv", sha256Hex("new"), ""}}, false}));
    EXPECT_EQ(readInside(folder.path(), "new.csv", 10).value().view(), "new");
    ASSERT_EQ(outcomeOf(finishInterruptedSave(folder.path())), "finished");
    EXPECT_EQ(folder.read("new.csv"), "new");
}

TEST(InterruptedSave, AChangeFromOutsideMeanwhileIsKeptBeside) {
    const Committed files;
    files.folder.write("samples.csv", "edited in a spreadsheet");
    const auto finished = finishInterruptedSave(files.folder.path());
    ASSERT_EQ(outcomeOf(finished), "finished");
    EXPECT_THAT(finished.value().notes,
                HasProblem(Severity::warning, "samples.csv", "was changed by another program"));
    EXPECT_EQ(files.folder.read("samples.csv"), newSamples);
    const std::string aside =
        "samples.csv.changed-outside-" + sha256Hex("edited in a spreadsheet").substr(0, 8);
    EXPECT_EQ(files.folder.read(aside), "edited in a spreadsheet");
}

TEST(InterruptedSave, ADamagedStagedCopyIsNeverReadNorPutInPlace) {
    const Committed files;
    files.folder.write(".aftercurve-save/file-1", "damaged");
    EXPECT_THAT(files.read(), Refused("samples.csv", "is not the one that was to be saved"));
    EXPECT_FALSE(sha256Inside(files.folder.path(), "samples.csv").ok());
    EXPECT_FALSE(stagedBytesFor(files.folder.path(), "samples.csv").ok());
    EXPECT_THAT(outcomeOf(finishInterruptedSave(files.folder.path())), HasSubstr("is not the one"));
    EXPECT_EQ(files.folder.read("study.json"), smallStudyJson()) << "nothing may be half done";
    EXPECT_FALSE(saveTogether(files.folder.path(), std::vector<NewFile>{{"a", "b"}}).ok());
    // As the message advises:
    fs::rename(files.staging(), files.folder.path() / "aside");
    EXPECT_TRUE(files.read().study);
}

TEST(InterruptedSave, TheLogOfUnsavedEditsGoesWithTheSaveThatHoldsThem) {
    const TempFolder folder;
    const RecoveryBase base{"AB", "2026-03-02T10:00:00Z", {}};
    ASSERT_TRUE(RecoveryLog::start(folder.path(), base).ok());
    ASSERT_TRUE(saveTogether(folder.path(), std::vector<NewFile>{{"a.csv", "1"}}).ok());
    EXPECT_TRUE(fs::exists(folder.path() / unsavedLogName));
    ASSERT_TRUE(saveTogether(folder.path(), std::vector<NewFile>{{"a.csv", "2"}}, UnsavedLog::discard).ok());
    EXPECT_FALSE(fs::exists(folder.path() / unsavedLogName));

    // Cut short after the commit: there is nothing to recover, and finishing removes the log.
    ASSERT_TRUE(RecoveryLog::start(folder.path(), base).ok());
    folder.write(".aftercurve-save/file-0", "3");
    folder.write(".aftercurve-save/record.json",
                 saveRecordText({{{"a.csv", sha256Hex("3"), sha256Hex("2")}}, true}));
    ASSERT_TRUE(readRecovery(folder.path()).ok());
    EXPECT_FALSE(readRecovery(folder.path()).value());
    ASSERT_EQ(outcomeOf(finishInterruptedSave(folder.path())), "finished");
    EXPECT_FALSE(fs::exists(folder.path() / unsavedLogName));
}

/// A hostile folder: reading and finishing refuse with a reason, and nothing in or around it changes.
void expectRefused(const std::string& record, const std::string& reason) {
    const TempFolder around;
    around.write("outside.csv", "outside");
    around.write("study/study.json", smallStudyJson());
    around.write("study/samples.csv", oldSamples);
    around.write("study/.aftercurve-save/file-0", newJson());
    around.write("study/.aftercurve-save/record.json", record);
    const fs::path study = around.path() / "study";
    const auto reading = readStudyFolder(study);
    EXPECT_FALSE(reading.study);
    ASSERT_THAT(reading.problems, SizeIs(1));
    EXPECT_THAT(reading.problems[0].what, HasSubstr(reason)) << record.substr(0, 200);
    EXPECT_TRUE(isFitForPrint(reading.problems));
    EXPECT_THAT(outcomeOf(finishInterruptedSave(study)), HasSubstr(reason));
    EXPECT_THAT(saveTogether(study, std::vector<NewFile>{{"a", "b"}}).ok(), false);
    EXPECT_EQ(around.read("outside.csv"), "outside");
    EXPECT_EQ(around.read("study/study.json"), smallStudyJson());
    EXPECT_EQ(around.read("study/samples.csv"), oldSamples);
}

TEST(HostileRecord, IsRefusedWithAReason) {
    expectRefused("", "cannot be used");
    expectRefused("{", "is not JSON");
    expectRefused("[]", "no JSON object");
    expectRefused("{}", "not of a kind");
    expectRefused("{\"format\": \"\xff\"}", "is not UTF-8");
    expectRefused(std::string(2 << 20, ' '), "at most 1 MiB");
    expectRefused(std::string(500'000, '['), "nested deeper");
    std::string newer = recordText();
    expectRefused(newer.replace(newer.find("\"version\": 1"), 12, "\"version\": 9"), "not of a kind");
    std::string shortHash = recordText();
    expectRefused(shortHash.replace(shortHash.find(sha256Hex(newSamples)), 64, "00"),
                  "64 hexadecimal digits");
    for (const char* name : {"../outside.csv", "/etc/hostname", "a/../../outside.csv"}) {
        expectRefused(recordText(name), "leads out of the study folder");
    }
    expectRefused(recordText(".aftercurve-lock"), "keeps for itself");
    expectRefused(recordText(""), "cannot be a file name");
    expectRefused(recordText("absent/study.json"), "is not there");
    SaveRecord many;
    many.files.resize(1001, {"study.json", sha256Hex(""), ""});
    expectRefused(saveRecordText(many), "more than 1000 files");
}

TEST(HostileRecord, LinksAndPipesInTheHiddenFolderAreNotFollowed) {
    const Committed files;
    const fs::path secret = files.folder.write("secret/newjson", newJson());
    fs::remove(files.staging() / "file-0");
    fs::create_symlink(secret, files.staging() / "file-0");
    EXPECT_FALSE(files.read().study);
    EXPECT_FALSE(finishInterruptedSave(files.folder.path()).ok());
    fs::remove(files.staging() / "file-0");
    ASSERT_EQ(::mkfifo((files.staging() / "file-0").c_str(), 0600), 0);
    EXPECT_FALSE(files.read().study);
    EXPECT_FALSE(finishInterruptedSave(files.folder.path()).ok());
    fs::remove(files.staging() / "record.json");
    ASSERT_EQ(::mkfifo((files.staging() / "record.json").c_str(), 0600), 0);
    EXPECT_THAT(files.read(), Refused(".aftercurve-save/record.json", "not a file of at most 1 MiB"));
    EXPECT_EQ(files.folder.read("study.json"), smallStudyJson());
}

TEST(HostileRecord, ForeignThingsInTheHiddenFolderStay) {
    const TempFolder folder;
    folder.write(".aftercurve-save/file-0", "x");
    folder.write(".aftercurve-save/file-0x", "mine");
    folder.write(".aftercurve-save/mine/deep.txt", "mine");
    fs::create_symlink("../samples.csv", folder.path() / stagingName / "file-1");
    folder.write("samples.csv", "kept");
    EXPECT_EQ(outcomeOf(finishInterruptedSave(folder.path())), "discarded");
    EXPECT_FALSE(fs::exists(folder.path() / stagingName / "file-0"));
    EXPECT_FALSE(fs::is_symlink(folder.path() / stagingName / "file-1"));
    EXPECT_EQ(folder.read(".aftercurve-save/file-0x"), "mine");
    EXPECT_EQ(folder.read(".aftercurve-save/mine/deep.txt"), "mine");
    EXPECT_EQ(folder.read("samples.csv"), "kept");
    EXPECT_TRUE(saveTogether(folder.path(), std::vector<NewFile>{{"samples.csv", "new"}}).ok());
}

}  // namespace
}  // namespace aftercurve
