#include "core/files/recovery_log.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/stat.h>

#include <csignal>
#include <string>

#include "core/files/sha256.h"
#include "core/files/staged_save.h"
#include "tests/core/files/problem_matchers.h"
#include "tests/support/child_process.h"
#include "tests/support/temp_folder.h"

namespace aftercurve {
namespace {

namespace fs = std::filesystem;
using test::allWell;
using test::inChild;
using test::notPossibleHere;
using test::TempFolder;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

constexpr const char* since = "2026-03-02T09:30:00Z";

RecoveryBase baseOf(const TempFolder& folder) {
    return {"AB", since, {{"samples.csv", sha256Hex(folder.read("samples.csv"))}}};
}

/// A folder with one input and a log of two edits.
struct Unsaved {
    TempFolder folder;
    Unsaved() {
        folder.write("samples.csv", "1\n");
        auto log = RecoveryLog::start(folder.path(), baseOf(folder));
        RecoveryLog open = std::move(log).value();
        EXPECT_TRUE(open.append(R"({"set": 1})").ok());
        EXPECT_TRUE(open.append(R"({"set": 2})").ok());
    }
    std::string log() const { return folder.read(unsavedLogName); }
    Result<std::optional<Recovery>> read() const { return readRecovery(folder.path()); }
    void append(const std::string& bytes) const { folder.write(unsavedLogName, log() + bytes); }
};

TEST(RecoveryLog, EditsComeBackInTheirOrderAndAsWritten) {
    const TempFolder folder;
    folder.write("samples.csv", "1\n");
    EXPECT_FALSE(readRecovery(folder.path()).value());
    auto started = RecoveryLog::start(folder.path(), baseOf(folder));
    ASSERT_TRUE(started.ok());
    RecoveryLog log = std::move(started).value();
    EXPECT_THAT(readRecovery(folder.path()).value()->edits, IsEmpty());
    ASSERT_TRUE(log.append(R"({"value": 1.10, "text": "µ\n"})").ok());
    ASSERT_TRUE(log.append("{\n  \"b\": 2,\r\n  \"a\": [] }").ok());
    const auto recovery = readRecovery(folder.path()).value();
    ASSERT_TRUE(recovery);
    EXPECT_EQ(recovery->base, baseOf(folder));
    EXPECT_THAT(recovery->edits,
                ElementsAre(R"({"value": 1.10, "text": "µ\n"})", R"({   "b": 2,    "a": [] })"));
    EXPECT_THAT(recovery->changed, IsEmpty());
    EXPECT_THAT(recovery->notes, IsEmpty());
    ASSERT_TRUE(discardRecovery(folder.path()).ok());
    EXPECT_FALSE(readRecovery(folder.path()).value());
    EXPECT_TRUE(discardRecovery(folder.path()).ok());
}

TEST(RecoveryLog, EachEditIsThereWhenTheProgramIsKilled) {
    const TempFolder folder;
    folder.write("samples.csv", "1\n");
    const pid_t child = ::fork();
    if (child == 0) {
        auto started = RecoveryLog::start(folder.path(), baseOf(folder));
        if (started.ok() && std::move(started).value().append(R"({"set": 1})").ok()) {
            ::raise(SIGKILL);
        }
        ::_exit(1);
    }
    int status = 0;
    ASSERT_EQ(::waitpid(child, &status, 0), child);
    ASSERT_TRUE(WIFSIGNALED(status));
    EXPECT_THAT(readRecovery(folder.path()).value()->edits, ElementsAre(R"({"set": 1})"));
}

TEST(RecoveryLog, AnEarlierLogIsNeverWrittenOver) {
    const Unsaved unsaved;
    const auto again = RecoveryLog::start(unsaved.folder.path(), baseOf(unsaved.folder));
    ASSERT_FALSE(again.ok());
    EXPECT_THAT(again.problem().what, HasSubstr("are still there"));
    EXPECT_THAT(unsaved.read().value()->edits, testing::SizeIs(2));
}

TEST(RecoveryLog, ATornLastLineIsDroppedAndResumingGoesOnAfterTheLastWholeEdit) {
    for (const std::string& torn : {std::string{"{\"se"}, std::string{"{\"set\": 3}"}, std::string(512, '\0'),
                                    std::string{"{\"se\n"}, std::string{"\xc2"}, std::string{"\n"}}) {
        const Unsaved unsaved;
        const std::string sound = unsaved.log();
        unsaved.append(torn);
        const auto recovery = unsaved.read().value();
        EXPECT_THAT(recovery->edits, ElementsAre(R"({"set": 1})", R"({"set": 2})"));
        EXPECT_EQ(recovery->soundBytes, sound.size());
        EXPECT_THAT(recovery->notes,
                    HasProblem(Severity::note, ".aftercurve-unsaved.jsonl:4", "was cut off"));
        auto resumed = RecoveryLog::resume(unsaved.folder.path());
        ASSERT_TRUE(resumed.ok());
        ASSERT_TRUE(std::move(resumed).value().append("{}").ok());
        EXPECT_EQ(unsaved.log(), sound + "{}\n");
    }
}

TEST(RecoveryLog, ADamagedLineEndsTheEditsWithAWarning) {
    const Unsaved unsaved;
    std::string log = unsaved.log();
    log.replace(log.find(R"({"set": 1})"), 5, "#####");
    unsaved.folder.write(unsavedLogName, log);
    const auto recovery = unsaved.read().value();
    EXPECT_THAT(recovery->edits, IsEmpty());
    EXPECT_THAT(recovery->notes, HasProblem(Severity::warning, ".aftercurve-unsaved.jsonl:2",
                                            "2 lines from this one on are left out"));
}

TEST(RecoveryLog, AnotherBaseIsSaidSo) {
    const Unsaved unsaved;
    unsaved.folder.write("samples.csv", "2\n");
    auto recovery = unsaved.read().value();
    EXPECT_THAT(recovery->changed, ElementsAre(ChangedFile{"samples.csv", FileChange::changed, {}}));
    EXPECT_THAT(recovery->notes, HasProblem(Severity::warning, ".aftercurve-unsaved.jsonl:1",
                                            "other files than those that are there now: 'samples.csv'"));
    fs::remove(unsaved.folder.path() / "samples.csv");
    recovery = unsaved.read().value();
    EXPECT_THAT(recovery->changed, ElementsAre(ChangedFile{"samples.csv", FileChange::missing, {}}));
}

TEST(RecoveryLog, WhatIsNoEditIsRefusedAndTheNextMayFollow) {
    const Unsaved unsaved;
    const std::string before = unsaved.log();
    auto resumed = RecoveryLog::resume(unsaved.folder.path());
    RecoveryLog log = std::move(resumed).value();
    for (const std::string& edit :
         {std::string{}, std::string{"[]"}, std::string{"{"}, std::string{"{}{}"},
          std::string{"{\"a\": \"\xff\"}"}, std::string{"{\"a\": \"x\ny\"}"}, std::string(100'000, '['),
          "{\"a\": \"" + std::string(mostEditBytes, 'x') + "\"}"}) {
        EXPECT_FALSE(log.append(edit).ok()) << edit.substr(0, 50);
    }
    EXPECT_EQ(unsaved.log(), before);
    EXPECT_TRUE(log.append("{}").ok());
    EXPECT_EQ(unsaved.log(), before + "{}\n");
}

TEST(RecoveryLog, AFullDiskLosesOnlyTheEditThatDidNotFit) {
    const Unsaved unsaved;
    const std::string before = unsaved.log();
    const int code = inChild([&] {
        if (!test::limitFileSize(before.size() + 20)) {
            return notPossibleHere;
        }
        auto resumed = RecoveryLog::resume(unsaved.folder.path());
        RecoveryLog log = std::move(resumed).value();
        const auto failed = log.append("{\"a\": \"" + std::string(100, 'x') + "\"}");
        if (failed.ok() || failed.problem().what.find("File too large") == std::string::npos) {
            return 1;
        }
        return log.append("{}").ok() ? allWell : 2;
    });
    ASSERT_EQ(code, allWell);
    EXPECT_EQ(unsaved.log(), before + "{}\n");
}

TEST(RecoveryLog, AReadOnlyFolderIsSaidSo) {
    const TempFolder folder;
    fs::permissions(folder.path(), fs::perms{0555});
    const int code = inChild([&] {
        if (!test::becomeOrdinaryUser()) {
            return notPossibleHere;
        }
        const auto started = RecoveryLog::start(folder.path(), {});
        return !started.ok() && started.problem().what.find("Permission denied") != std::string::npos
                   ? allWell
                   : 1;
    });
    fs::permissions(folder.path(), fs::perms{0755});
    EXPECT_EQ(code, allWell);
}

TEST(RecoveryLog, HostileLogsAreRefusedWithAReason) {
    const TempFolder folder;
    const std::string base = R"({"format":"aftercurve-unsaved","version":1,"by":"","since":"","inputs":)";
    const struct {
        std::string bytes;
        std::string reason;
    } cases[] = {
        {"", "was cut off"},
        {base, "was cut off"},
        {"\n", "it is empty"},
        {"[]\n", "not a JSON object"},
        {"{}\n", "not of a kind"},
        {"\xff\n", "not UTF-8"},
        {std::string(1'000'000, '[') + "\n", "not a JSON object"},
        {base + "5}\n", "'inputs' is not a list"},
        {base + "[{\"file\": \"a\", \"sha256\": \"x\"}]}\n", "with their hashes"},
        {R"({"format":"aftercurve-unsaved","version":2})"
         "\n",
         "not of a kind"},
    };
    for (const auto& [bytes, reason] : cases) {
        folder.write(unsavedLogName, bytes);
        const auto recovery = readRecovery(folder.path());
        ASSERT_FALSE(recovery.ok()) << reason;
        EXPECT_THAT(recovery.problem().what, HasSubstr(reason));
        EXPECT_TRUE(isFitForPrint({recovery.problem()}));
        EXPECT_FALSE(RecoveryLog::resume(folder.path()).ok());
        EXPECT_EQ(folder.read(unsavedLogName), bytes);
    }
    fs::resize_file(folder.path() / unsavedLogName, mostUnsavedBytes + 1);
    EXPECT_THAT(readRecovery(folder.path()).problem().what, HasSubstr("more than the 64 MiB"));
    fs::remove(folder.path() / unsavedLogName);
    folder.write("real", "{}\n");
    fs::create_symlink("real", folder.path() / unsavedLogName);
    EXPECT_THAT(readRecovery(folder.path()).problem().what, HasSubstr("symbolic link"));
    EXPECT_FALSE(RecoveryLog::start(folder.path(), {}).ok());
    EXPECT_EQ(folder.read("real"), "{}\n");
}

TEST(RecoveryLog, ABaseThatNamesFilesOutsideIsNotFollowed) {
    const TempFolder around;
    around.write("outside.csv", "x");
    around.write(
        std::string{"study/"} + unsavedLogName,
        R"({"format":"aftercurve-unsaved","version":1,"by":"","since":"","inputs":[{"file":"../outside.csv","sha256":")" +
            sha256Hex("x") + "\"}]}\n{}\n");
    const auto recovery = readRecovery(around.path() / "study").value();
    ASSERT_THAT(recovery->changed, testing::SizeIs(1));
    EXPECT_EQ(recovery->changed[0].how, FileChange::unreadable);
}

}  // namespace
}  // namespace aftercurve
