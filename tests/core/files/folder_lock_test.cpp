#include "core/files/folder_lock.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <csignal>
#include <string>
#include <utility>

#include "tests/support/child_process.h"
#include "tests/support/temp_folder.h"

namespace aftercurve {
namespace {

namespace fs = std::filesystem;
using test::allWell;
using test::inChild;
using test::notPossibleHere;
using test::TempFolder;
using testing::AllOf;
using testing::HasSubstr;

constexpr const char* since = "2026-03-02T09:30:00Z";

LockAnswer lockIn(const TempFolder& folder) {
    return lockFolder(folder.path(), "aftercurve", since);
}

TEST(FolderLock, ASecondOpenerLearnsWhoHoldsItSinceWhen) {
    const TempFolder folder;
    const LockAnswer first = lockIn(folder);
    ASSERT_EQ(first.outcome, LockOutcome::locked);
    EXPECT_FALSE(first.problem);
    // In this process, and in another.
    const LockAnswer second = lockIn(folder);
    ASSERT_EQ(second.outcome, LockOutcome::heldElsewhere);
    EXPECT_FALSE(second.lock);
    ASSERT_TRUE(second.holder);
    EXPECT_EQ(second.holder->pid, ::getpid());
    EXPECT_EQ(second.holder->since, since);
    EXPECT_THAT(second.problem->what,
                AllOf(HasSubstr("aftercurve (process " + std::to_string(::getpid())), HasSubstr(since)));
    EXPECT_EQ(inChild([&] { return lockIn(folder).outcome == LockOutcome::heldElsewhere ? allWell : 1; }),
              allWell);
}

TEST(FolderLock, IsFreeAfterItsScopeAndLeavesNoFile) {
    const TempFolder folder;
    {
        LockAnswer answer = lockIn(folder);
        ASSERT_TRUE(answer.lock);
        const FolderLock moved = std::move(*answer.lock);
        answer = LockAnswer{};
        EXPECT_EQ(lockIn(folder).outcome, LockOutcome::heldElsewhere);
    }
    EXPECT_TRUE(fs::is_empty(folder.path()));
    EXPECT_EQ(lockIn(folder).outcome, LockOutcome::locked);
}

TEST(FolderLock, AKilledHolderFreesIt) {
    const TempFolder folder;
    int ready[2];
    ASSERT_EQ(::pipe(ready), 0);
    const pid_t child = ::fork();
    if (child == 0) {
        const LockAnswer answer = lockFolder(folder.path(), "killed", since);
        const char byte = answer.lock ? 'y' : 'n';
        if (::write(ready[1], &byte, 1) == 1) {
            ::pause();
        }
        ::_exit(1);
    }
    char byte = 0;
    ASSERT_EQ(::read(ready[0], &byte, 1), 1);
    ASSERT_EQ(byte, 'y');
    const LockAnswer held = lockIn(folder);
    EXPECT_EQ(held.outcome, LockOutcome::heldElsewhere);
    EXPECT_EQ(held.holder->pid, child);
    ::kill(child, SIGKILL);
    ASSERT_EQ(::waitpid(child, nullptr, 0), child);
    EXPECT_TRUE(fs::exists(folder.path() / lockFileName)) << "what a killed holder leaves";
    const LockAnswer taken = lockIn(folder);
    ASSERT_EQ(taken.outcome, LockOutcome::locked);
    EXPECT_THAT(folder.read(lockFileName), HasSubstr("\"pid\":" + std::to_string(::getpid())));
    EXPECT_THAT(folder.read(lockFileName), testing::Not(HasSubstr("killed")));
    ::close(ready[0]);
    ::close(ready[1]);
}

TEST(FolderLock, AForkedChildThatLetsItGoDoesNotFreeIt) {
    const TempFolder folder;
    LockAnswer answer = lockIn(folder);
    ASSERT_TRUE(answer.lock);
    EXPECT_EQ(inChild([&] {
                  answer.lock.reset();
                  return lockIn(folder).outcome == LockOutcome::heldElsewhere ? allWell : 1;
              }),
              allWell);
    EXPECT_EQ(lockIn(folder).outcome, LockOutcome::heldElsewhere);
    EXPECT_TRUE(fs::exists(folder.path() / lockFileName));
}

TEST(FolderLock, AReadOnlyFolderIsAnAnswerOfItsOwn) {
    const TempFolder folder;
    fs::permissions(folder.path(), fs::perms{0555});
    const int code = inChild([&] {
        if (!test::becomeOrdinaryUser()) {
            return notPossibleHere;
        }
        const LockAnswer answer = lockIn(folder);
        return answer.outcome == LockOutcome::readOnly && !answer.lock &&
                       answer.problem->severity == Severity::note &&
                       answer.problem->what.find("Permission denied") != std::string::npos
                   ? allWell
                   : 1;
    });
    fs::permissions(folder.path(), fs::perms{0755});
    EXPECT_EQ(code, allWell);
    EXPECT_EQ(lockFolder(folder.path() / "absent", "x", since).outcome, LockOutcome::failed);
}

TEST(FolderLock, AStaleFileOfAnotherUserIsReplacedAndAHeldOneIsNot) {
    const TempFolder folder;
    folder.write(lockFileName, R"({"pid": 5, "host": "elsewhere", "program": "p", "since": "s"})");
    fs::permissions(folder.path() / lockFileName, fs::perms{0444});
    fs::permissions(folder.path(), fs::perms{0777});
    const int code = inChild([&] {
        if (!test::becomeOrdinaryUser()) {
            return notPossibleHere;
        }
        return lockIn(folder).outcome == LockOutcome::locked ? allWell : 1;
    });
    EXPECT_EQ(code, allWell);
    const LockAnswer held = lockIn(folder);
    ASSERT_EQ(held.outcome, LockOutcome::locked);
    fs::permissions(folder.path() / lockFileName, fs::perms{0444});
    EXPECT_EQ(inChild([&] {
                  test::becomeOrdinaryUser();
                  return lockIn(folder).outcome == LockOutcome::heldElsewhere ? allWell : 1;
              }),
              allWell);
}

TEST(FolderLock, HostileLockFilesAreNotFollowedAndNotShownRaw) {
    const TempFolder around;
    around.write("outside", "kept");
    fs::create_directory(around.path() / "study");
    const fs::path study = around.path() / "study";
    fs::create_symlink("../outside", study / lockFileName);
    const LockAnswer link = lockFolder(study, "x", since);
    EXPECT_EQ(link.outcome, LockOutcome::failed);
    EXPECT_THAT(link.problem->what, HasSubstr("symbolic link"));
    EXPECT_EQ(around.read("outside"), "kept");
    fs::remove(study / lockFileName);
    ASSERT_EQ(::mkfifo((study / lockFileName).c_str(), 0666), 0);
    EXPECT_EQ(lockFolder(study, "x", since).outcome, LockOutcome::failed);
    fs::remove(study / lockFileName);

    for (const std::string& text :
         {std::string{"\x1b[31m"}, std::string(100'000, '['), std::string{"\xff\xfe"},
          R"({"pid": 1, "host": ")" + std::string(3000, 'h') + R"(", "program": "\u202e"})"}) {
        const LockAnswer held = lockFolder(study, "x", since);
        ASSERT_EQ(held.outcome, LockOutcome::locked);
        around.write(std::string{"study/"} + lockFileName, text);  // by who heeds no locks
        const LockAnswer second = lockFolder(study, "y", since);
        EXPECT_EQ(second.outcome, LockOutcome::heldElsewhere);
        EXPECT_LT(second.problem->what.size(), 600u);
        EXPECT_EQ(second.problem->what.find('\x1b'), std::string::npos);
        EXPECT_EQ(second.problem->what.find("\u202e"), std::string::npos);
    }
}

}  // namespace
}  // namespace aftercurve
