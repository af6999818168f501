#include "core/files/atomic_write.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/stat.h>

#include <fstream>
#include <string>

#include "tests/support/child_process.h"
#include "tests/support/temp_folder.h"

namespace aftercurve {
namespace {

namespace fs = std::filesystem;
using test::allWell;
using test::becomeOrdinaryUser;
using test::inChild;
using test::mountSmallDisk;
using test::notPossibleHere;
using test::permissionsOf;
using test::TempFolder;
using testing::HasSubstr;

std::size_t entriesIn(const fs::path& folder) {
    return static_cast<std::size_t>(std::distance(fs::directory_iterator{folder}, fs::directory_iterator{}));
}

TEST(AtomicWrite, WritesANewFileAndReplacesAnOldOne) {
    const TempFolder folder;
    const fs::path file = folder.path() / "report.txt";
    ASSERT_TRUE(writeAtomically(file, "first\n").ok());
    EXPECT_EQ(folder.read("report.txt"), "first\n");
    EXPECT_EQ(permissionsOf(file), 0644u);
    const std::string large(3'000'000, 'x');
    ASSERT_TRUE(writeAtomically(file, large).ok());
    EXPECT_EQ(folder.read("report.txt"), large);
    ASSERT_TRUE(writeAtomically(file, "").ok());
    EXPECT_EQ(folder.read("report.txt"), "");
    EXPECT_EQ(entriesIn(folder.path()), 1u);
}

TEST(AtomicWrite, KeepsThePermissionsOfTheFileThatWasThere) {
    const TempFolder folder;
    const fs::path file = folder.write("report.txt", "old");
    ASSERT_EQ(::chmod(file.c_str(), 0640), 0);
    ASSERT_TRUE(writeAtomically(file, "new").ok());
    EXPECT_EQ(permissionsOf(file), 0640u);
}

TEST(AtomicWrite, AReaderThatHasTheOldFileOpenKeepsIt) {
    const TempFolder folder;
    const fs::path file = folder.write("report.txt", "old");
    std::ifstream reader(file);
    ASSERT_TRUE(writeAtomically(file, "new text").ok());
    std::string word;
    reader >> word;
    EXPECT_EQ(word, "old");
}

TEST(AtomicWrite, WritesThroughASymbolicLink) {
    const TempFolder folder;
    folder.write("data/real.txt", "old");
    fs::create_symlink("data/real.txt", folder.path() / "link.txt");
    ASSERT_TRUE(writeAtomically(folder.path() / "link.txt", "new").ok());
    EXPECT_TRUE(fs::is_symlink(folder.path() / "link.txt"));
    EXPECT_EQ(folder.read("data/real.txt"), "new");
}

TEST(AtomicWrite, WhatIsNotAFileIsLeftAlone) {
    const TempFolder folder;
    fs::create_directory(folder.path() / "sub");
    const auto onFolder = writeAtomically(folder.path() / "sub", "x");
    ASSERT_FALSE(onFolder.ok());
    EXPECT_THAT(onFolder.problem().what, HasSubstr("not a regular file"));
    const fs::path pipe = folder.path() / "pipe";
    ASSERT_EQ(::mkfifo(pipe.c_str(), 0600), 0);
    EXPECT_FALSE(writeAtomically(pipe, "x").ok());
    EXPECT_TRUE(fs::is_fifo(pipe));
    EXPECT_FALSE(writeAtomically("/dev/full", "x").ok());
    EXPECT_EQ(entriesIn(folder.path()), 2u);
}

TEST(AtomicWrite, AMissingFolderIsNamedWithTheReason) {
    const TempFolder folder;
    const auto result = writeAtomically(folder.path() / "absent" / "a\x1b.txt", "x");
    ASSERT_FALSE(result.ok());
    EXPECT_THAT(result.problem().what, HasSubstr("absent/a?.txt: No such file or directory"));
    EXPECT_EQ(result.problem().severity, Severity::error);
    EXPECT_FALSE(result.problem().remedy.empty());
}

TEST(AtomicWrite, AReadOnlyFolderLeavesTheOldFile) {
    const TempFolder folder;
    const fs::path file = folder.write("report.txt", "old");
    fs::permissions(folder.path(), fs::perms::owner_read | fs::perms::owner_exec | fs::perms::others_read |
                                       fs::perms::others_exec);
    const int code = inChild([&] {
        if (!becomeOrdinaryUser()) {
            return notPossibleHere;
        }
        const auto result = writeAtomically(file, "new");
        return !result.ok() && result.problem().what.find("Permission denied") != std::string::npos ? allWell
                                                                                                    : 1;
    });
    fs::permissions(folder.path(), fs::perms::owner_all);
    EXPECT_EQ(code, allWell);
    EXPECT_EQ(folder.read("report.txt"), "old");
}

TEST(AtomicWrite, AFileSizeLimitLeavesTheOldFileAndNoTemporaryOne) {
    const TempFolder folder;
    const fs::path file = folder.write("report.txt", "old");
    const int code = inChild([&] {
        if (!test::limitFileSize(4096)) {
            return notPossibleHere;
        }
        const auto result = writeAtomically(file, std::string(100'000, 'x'));
        return !result.ok() && result.problem().what.find("File too large") != std::string::npos ? allWell
                                                                                                 : 1;
    });
    ASSERT_EQ(code, allWell);
    EXPECT_EQ(folder.read("report.txt"), "old");
    EXPECT_EQ(entriesIn(folder.path()), 1u);
}

TEST(AtomicWrite, AFullDiskLeavesTheOldFileAndNoTemporaryOne) {
    const TempFolder folder;
    const fs::path disk = folder.path();
    const int code = inChild([&] {
        if (!mountSmallDisk(disk)) {
            return notPossibleHere;
        }
        const fs::path file = folder.write("report.txt", "old");
        const auto result = writeAtomically(file, std::string(1'000'000, 'x'));
        if (result.ok() || result.problem().what.find("No space left on device") == std::string::npos) {
            return 1;
        }
        return folder.read("report.txt") == "old" && entriesIn(disk) == 1 ? allWell : 2;
    });
    if (code == notPossibleHere) {
        GTEST_SKIP() << "no small file system can be mounted here";
    }
    EXPECT_EQ(code, allWell);
}

}  // namespace
}  // namespace aftercurve
