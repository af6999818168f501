// Several files saved as one act: what is written, what is refused, and what stands after a failure.
#include "core/files/staged_save.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/file.h>
#include <sys/stat.h>

#include <map>
#include <string>

#include "core/files/save_record.h"
#include "tests/support/child_process.h"
#include "tests/support/temp_folder.h"

namespace aftercurve {
namespace {

namespace fs = std::filesystem;
using test::allWell;
using test::becomeOrdinaryUser;
using test::inChild;
using test::notPossibleHere;
using test::permissionsOf;
using test::TempFolder;
using testing::HasSubstr;

/// Every file of the folder with its bytes, hidden ones too.
std::map<std::string, std::string> filesIn(const fs::path& folder) {
    std::map<std::string, std::string> files;
    for (const auto& entry : fs::recursive_directory_iterator{folder}) {
        if (entry.is_regular_file()) {
            std::ifstream in(entry.path(), std::ios::binary);
            files[entry.path().lexically_relative(folder).string()] =
                std::string{std::istreambuf_iterator<char>{in}, {}};
        } else {
            files[entry.path().lexically_relative(folder).string()] = "(folder)";
        }
    }
    return files;
}

using Files = std::map<std::string, std::string>;

std::string failureOf(const Result<Done>& saved) {
    return saved.ok() ? "saved" : saved.problem().what;
}

TEST(StagedSave, WritesNewFilesAndReplacesOldOnes) {
    const TempFolder folder;
    folder.write("study.json", "old");
    folder.write("data/samples.csv", "old");
    const std::string large(3'000'000, 'x');
    ASSERT_EQ(failureOf(saveTogether(folder.path(), std::vector<NewFile>{{"study.json", "new"},
                                                                         {"data/samples.csv", large},
                                                                         {"ledger.jsonl", ""}})),
              "saved");
    EXPECT_EQ(
        filesIn(folder.path()),
        (Files{
            {"study.json", "new"}, {"data", "(folder)"}, {"data/samples.csv", large}, {"ledger.jsonl", ""}}));
    ASSERT_TRUE(saveTogether(folder.path(), {}).ok());
    EXPECT_EQ(folder.read("study.json"), "new");
}

TEST(StagedSave, KeepsPermissionsAndHeedsTheUmaskForNewFiles) {
    const TempFolder folder;
    ASSERT_EQ(::chmod(folder.write("old.csv", "1").c_str(), 0664), 0);
    const mode_t before = ::umask(027);
    const auto saved = saveTogether(folder.path(), std::vector<NewFile>{{"old.csv", "2"}, {"new.csv", "2"}});
    ::umask(before);
    ASSERT_EQ(failureOf(saved), "saved");
    EXPECT_EQ(permissionsOf(folder.path() / "old.csv"), 0664u);
    EXPECT_EQ(permissionsOf(folder.path() / "new.csv"), 0640u);
}

TEST(StagedSave, ALinkStaysOneAndItsTargetIsReplaced) {
    const TempFolder folder;
    folder.write("data/real.csv", "old");
    fs::create_symlink("data/real.csv", folder.path() / "samples.csv");
    ASSERT_EQ(failureOf(saveTogether(folder.path(), std::vector<NewFile>{{"samples.csv", "new"}})), "saved");
    EXPECT_TRUE(fs::is_symlink(folder.path() / "samples.csv"));
    EXPECT_EQ(folder.read("data/real.csv"), "new");
}

TEST(StagedSave, RefusesWhatIsNotAPlainFileInsideAndLeavesAllAsItWas) {
    const TempFolder around;
    around.write("outside.csv", "outside");
    around.write("study/samples.csv", "old");
    const fs::path study = around.path() / "study";
    fs::create_symlink("../outside.csv", study / "out.csv");
    fs::create_symlink("nowhere.csv", study / "dangling.csv");
    fs::create_symlink("samples.csv", study / "alias.csv");
    fs::create_directory_symlink(around.path(), study / "up");
    fs::create_directory(study / "sub");
    ASSERT_EQ(::mkfifo((study / "pipe").c_str(), 0600), 0);
    const struct {
        std::string name;
        std::string reason;
    } cases[] = {
        {"../outside.csv", "leads out of"},
        {(around.path() / "outside.csv").string(), "leads out of"},
        {"up/outside.csv", "leads out of"},
        {"out.csv", "leads out of"},
        {"dangling.csv", "leads nowhere"},
        {"sub", "not a regular file"},
        {"pipe", "not a regular file"},
        {"absent/a.csv", "is not there"},
        {"", "cannot be a file name"},
        {".", "cannot be a file name"},
        {"sub/", "cannot be a file name"},
        {"a\nb", "cannot be a file name"},
        {"\xff.csv", "is not UTF-8"},
        {".aftercurve-save/record.json", "keeps for itself"},
        {".aftercurve-lock", "keeps for itself"},
        {"alias.csv", "are one file"},
        {"./samples.csv", "are one file"},
    };
    for (const auto& [name, reason] : cases) {
        const auto saved = saveTogether(study, std::vector<NewFile>{{"samples.csv", "new"}, {name, "new"}});
        EXPECT_THAT(failureOf(saved), HasSubstr(reason)) << name;
        EXPECT_EQ(around.read("study/samples.csv"), "old") << name;
        EXPECT_EQ(around.read("outside.csv"), "outside") << name;
        EXPECT_FALSE(fs::exists(study / stagingName)) << name;
    }
    EXPECT_THAT(failureOf(saveTogether(study / "absent", std::vector<NewFile>{{"a", "b"}})),
                HasSubstr("No such file or directory"));
    EXPECT_THAT(failureOf(saveTogether(study, std::vector<NewFile>(1001))), HasSubstr("more than 1000"));
}

TEST(StagedSave, AReadOnlyFolderLeavesTheOldFilesAndSaysWhy) {
    const TempFolder folder;
    folder.write("samples.csv", "old");
    const Files before = filesIn(folder.path());
    ASSERT_EQ(::chmod(folder.path().c_str(), 0555), 0);
    const int code = inChild([&] {
        if (!becomeOrdinaryUser()) {
            return notPossibleHere;
        }
        const auto saved = saveTogether(folder.path(), std::vector<NewFile>{{"samples.csv", "new"}});
        return failureOf(saved).find("samples.csv: Permission denied") != std::string::npos ? allWell : 1;
    });
    EXPECT_EQ(::chmod(folder.path().c_str(), 0755), 0);
    EXPECT_EQ(code, allWell);
    EXPECT_EQ(filesIn(folder.path()), before);
}

TEST(StagedSave, ASubfolderThatCannotBeWrittenIsFoundBeforeAnythingIs) {
    const TempFolder folder;
    folder.write("study.json", "old");
    folder.write("data/samples.csv", "old");
    ASSERT_EQ(::chmod(folder.path().c_str(), 0777), 0);
    ASSERT_EQ(::chmod((folder.path() / "data").c_str(), 0555), 0);
    const Files before = filesIn(folder.path());
    const int code = inChild([&] {
        if (!becomeOrdinaryUser()) {
            return notPossibleHere;
        }
        const auto saved = saveTogether(
            folder.path(), std::vector<NewFile>{{"study.json", "new"}, {"data/samples.csv", "new"}});
        return failureOf(saved).find("data/samples.csv: Permission denied") != std::string::npos ? allWell
                                                                                                 : 1;
    });
    EXPECT_EQ(::chmod((folder.path() / "data").c_str(), 0755), 0);
    EXPECT_EQ(code, allWell);
    EXPECT_EQ(filesIn(folder.path()), before);
}

TEST(StagedSave, AFileSizeLimitLeavesTheOldFiles) {
    const TempFolder folder;
    folder.write("study.json", "old");
    folder.write("samples.csv", "old");
    const Files before = filesIn(folder.path());
    // The limits let pass: nothing; the first file; both files but not the record.
    for (const rlim_t limit : {rlim_t{0}, rlim_t{10}, rlim_t{100}}) {
        const int code = inChild([&] {
            if (!test::limitFileSize(limit)) {
                return notPossibleHere;
            }
            const std::string second(100, 'x');
            const auto saved = saveTogether(
                folder.path(), std::vector<NewFile>{{"study.json", "new"}, {"samples.csv", second}});
            return failureOf(saved).find("File too large") != std::string::npos ? allWell : 1;
        });
        EXPECT_EQ(code, allWell) << limit;
        EXPECT_EQ(filesIn(folder.path()), before) << limit;
    }
}

TEST(StagedSave, AFullDiskAtAnyStepLeavesAllOldOrAllNew) {
    const TempFolder folder;
    const fs::path disk = folder.path();
    const int code = inChild([&] {
        if (!test::mountSmallDisk(disk)) {
            return notPossibleHere;
        }
        folder.write("study.json", "old");
        folder.write("samples.csv", "old");
        bool failed = false;
        bool saved = false;
        // From hardly any free space to enough: each step meets the full disk once.
        for (std::size_t fill = 60'000; fill > 0; fill -= 4'000) {
            folder.write("fill", "");
            std::error_code error;
            std::ofstream{disk / "fill"} << std::string(fill, 'x') << std::flush;
            const Files before = filesIn(disk);
            const std::string text(9'000, 'n');
            const auto result =
                saveTogether(disk, std::vector<NewFile>{{"study.json", text}, {"samples.csv", text}});
            Files after = filesIn(disk);
            if (result.ok()) {
                saved = true;
                if (after["study.json"] != text || after["samples.csv"] != text) {
                    return 1;
                }
                folder.write("study.json", "old");
                folder.write("samples.csv", "old");
                continue;
            }
            failed = true;
            if (result.problem().what.find("No space left on device") == std::string::npos ||
                after != before) {
                return 2;
            }
        }
        return failed && saved ? allWell : 3;
    });
    if (code == notPossibleHere) {
        GTEST_SKIP() << "no small file system can be mounted here";
    }
    EXPECT_EQ(code, allWell);
}

TEST(StagedSave, ATargetOnAnotherDiskIsRefusedBeforeAnythingIsWritten) {
    const TempFolder folder;
    folder.write("study.json", "old");
    fs::create_directory(folder.path() / "data");
    const int code = inChild([&] {
        if (!test::mountSmallDisk(folder.path() / "data")) {
            return notPossibleHere;
        }
        const auto saved = saveTogether(
            folder.path(), std::vector<NewFile>{{"study.json", "new"}, {"data/samples.csv", "new"}});
        return failureOf(saved).find("on another disk") != std::string::npos ? allWell : 1;
    });
    if (code == notPossibleHere) {
        GTEST_SKIP() << "no small file system can be mounted here";
    }
    EXPECT_EQ(code, allWell);
    EXPECT_EQ(folder.read("study.json"), "old");
    EXPECT_FALSE(fs::exists(folder.path() / stagingName));
}

TEST(StagedSave, WhatIsInTheWayOfTheHiddenFolderIsNotWrittenThrough) {
    const TempFolder around;
    around.write("study/a.csv", "old");
    fs::create_directory(around.path() / "elsewhere");
    const fs::path study = around.path() / "study";
    fs::create_directory_symlink("../elsewhere", study / stagingName);
    EXPECT_THAT(failureOf(saveTogether(study, std::vector<NewFile>{{"a.csv", "new"}})),
                HasSubstr("is a link"));
    fs::remove(study / stagingName);
    around.write("study/.aftercurve-save", "a file");
    EXPECT_THAT(failureOf(saveTogether(study, std::vector<NewFile>{{"a.csv", "new"}})),
                HasSubstr("is a link"));
    EXPECT_EQ(around.read("study/a.csv"), "old");
    EXPECT_TRUE(fs::is_empty(around.path() / "elsewhere"));
}

// In a folder with the sticky bit everyone may write, but replace only what is theirs: the renames fail after
// the commit.
TEST(StagedSave, ARenameThatFailsTakesTheSaveBackOrLeavesItToBeFinished) {
    if (::geteuid() != 0) {
        GTEST_SKIP() << "only the superuser can make files of two owners";
    }
    for (const bool firstFails : {true, false}) {
        const TempFolder folder;
        folder.write("theirs.csv", "old");
        ASSERT_EQ(::chown(folder.write("mine.csv", "old").c_str(), 65534, 65534), 0);
        ASSERT_EQ(::chmod(folder.path().c_str(), 01777), 0);
        const Files before = filesIn(folder.path());
        const int code = inChild([&] {
            if (!becomeOrdinaryUser()) {
                return notPossibleHere;
            }
            const NewFile mine{"mine.csv", "new"};
            const NewFile theirs{"theirs.csv", "new"};
            const auto saved = saveTogether(
                folder.path(), firstFails ? std::vector{theirs, mine} : std::vector{mine, theirs});
            const std::string what = failureOf(saved);
            const bool saysReason = what.find("Operation not permitted") != std::string::npos;
            const bool saysCommitted = what.find("is committed") != std::string::npos;
            return saysReason && saysCommitted == !firstFails ? allWell : 1;
        });
        EXPECT_EQ(code, allWell) << firstFails;
        if (firstFails) {
            EXPECT_EQ(filesIn(folder.path()), before);
            continue;
        }
        EXPECT_EQ(readInside(folder.path(), "theirs.csv", 10).value().view(), "new");
        EXPECT_EQ(readInside(folder.path(), "mine.csv", 10).value().view(), "new");
        ASSERT_TRUE(finishInterruptedSave(folder.path()).ok());
        EXPECT_EQ(filesIn(folder.path()), (Files{{"mine.csv", "new"}, {"theirs.csv", "new"}}));
    }
}

TEST(StagedSave, OneSaverAtATime) {
    const TempFolder folder;
    folder.write("a.csv", "old");
    const FileDescriptor other{::open(folder.path().c_str(), O_RDONLY | O_DIRECTORY)};
    ASSERT_EQ(::flock(other.get(), LOCK_EX), 0);
    EXPECT_THAT(failureOf(saveTogether(folder.path(), std::vector<NewFile>{{"a.csv", "new"}})),
                HasSubstr("another program is saving"));
    EXPECT_EQ(folder.read("a.csv"), "old");
    ASSERT_EQ(::flock(other.get(), LOCK_UN), 0);
    EXPECT_TRUE(saveTogether(folder.path(), std::vector<NewFile>{{"a.csv", "new"}}).ok());
}

}  // namespace
}  // namespace aftercurve
