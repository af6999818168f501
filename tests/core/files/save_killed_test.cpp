// A saving program is killed at random moments; the folder must always hold one whole save.
#include <fcntl.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <poll.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <memory>
#include <random>
#include <string>
#include <thread>

#include "core/files/ledger.h"
#include "core/files/save_record.h"
#include "core/files/staged_save.h"
#include "tests/core/files/problem_matchers.h"
#include "tests/support/temp_folder.h"

namespace aftercurve {
namespace {

namespace fs = std::filesystem;
using test::TempFolder;
using testing::AnyOf;

/// The helper, running, and the reading end of what it prints.
struct Saver {
    pid_t process;
    FileDescriptor output;
};

Saver startSaver(const fs::path& folder, long first) {
    int ends[2];
    EXPECT_EQ(::pipe2(ends, O_CLOEXEC), 0);
    const std::string number = std::to_string(first);
    const pid_t process = ::fork();
    if (process == 0) {
        ::dup2(ends[1], STDOUT_FILENO);
        ::execl(TEST_SAVE_LOOP, TEST_SAVE_LOOP, folder.c_str(), number.c_str(), nullptr);
        ::_exit(127);
    }
    ::close(ends[1]);
    return {process, FileDescriptor{ends[0]}};
}

void waitForFirstSave(const Saver& saver) {
    pollfd ready{saver.output.get(), POLLIN, 0};
    EXPECT_EQ(::poll(&ready, 1, 20'000), 1);
}

/// Kills the saver; the last counter that it announced, or `before` where there was none.
long killSaver(const Saver& saver, long before) {
    ::kill(saver.process, SIGKILL);
    int status = 0;
    EXPECT_EQ(::waitpid(saver.process, &status, 0), saver.process);
    EXPECT_TRUE(WIFSIGNALED(status)) << "it must save until it is killed; exit code " << WEXITSTATUS(status);
    std::string text;
    char bytes[4096];
    for (ssize_t got = 0; (got = ::read(saver.output.get(), bytes, sizeof bytes)) > 0;) {
        text.append(bytes, static_cast<std::size_t>(got));
    }
    if (text.empty()) {
        return before;
    }
    const std::size_t line = text.rfind('\n', text.size() - 2);
    return std::stol(text.substr(line == std::string::npos ? 0 : line + 1));
}

/// The one counter that all files of the folder agree on; −1 where they do not.
long counterIn(const fs::path& folder) {
    const auto reading = readStudyFolder(folder);
    if (!reading.study) {
        ADD_FAILURE() << linesOf(reading.problems);
        return -1;
    }
    const Study& study = *reading.study;
    const long counter = std::stol(study.title);
    EXPECT_EQ(study.subjects[0].sequence, study.title);
    EXPECT_EQ(study.concentrations[0][0], static_cast<double>(counter));
    EXPECT_EQ(study.concentrations[0][1], static_cast<double>(counter));
    EXPECT_EQ(errorCount(reading.problems), 0u) << linesOf(reading.problems);
    for (const Problem& problem : reading.problems) {
        EXPECT_NE(problem.severity, Severity::warning) << lineFor(problem);
    }
    const auto ledger = readLedger(folder);
    if (!ledger || ledger.value().check.broken || ledger.value().check.entries.empty()) {
        ADD_FAILURE() << "the ledger is broken or empty";
        return -1;
    }
    EXPECT_EQ(ledger.value().check.entries.back().to, study.title);
    EXPECT_TRUE(changedOutside(folder, ledger.value().check.entries).empty());
    return counter;
}

TEST(SaveKilled, AtAnyMomentLeavesOneWholeSave) {
    constexpr int rounds = 200;
    constexpr int roundsInOneFolder = 20;
    std::mt19937_64 random{1906};  // seed
    std::unique_ptr<TempFolder> folder;
    long last = 0;
    int duringSave = 0;
    int afterCommit = 0;
    for (int round = 0; round < rounds && !testing::Test::HasFailure(); ++round) {
        if (round % roundsInOneFolder == 0) {
            folder = std::make_unique<TempFolder>();
            last = 0;
        }
        const fs::path& path = folder->path();
        const Saver saver = startSaver(path, last + 1);
        // Mostly in the middle of its work, sometimes while it starts and finishes what the last one left.
        if (last == 0 || random() % 4 != 0) {
            waitForFirstSave(saver);
        }
        std::this_thread::sleep_for(std::chrono::microseconds{random() % 12'000});
        const long announced = killSaver(saver, last);

        const bool staging = fs::exists(path / stagingName);
        const bool committed = fs::exists(path / stagingName / saveRecordName);
        duringSave += staging ? 1 : 0;
        afterCommit += committed ? 1 : 0;
        const long seen = counterIn(path);  // by a reader that writes nothing
        EXPECT_EQ(fs::exists(path / stagingName / saveRecordName), committed);
        EXPECT_THAT(seen, AnyOf(announced, announced + 1)) << "round " << round;

        if (round % 2 == 0) {  // else the next saver finishes it
            ASSERT_TRUE(finishInterruptedSave(path).ok());
            EXPECT_FALSE(fs::exists(path / stagingName));
            EXPECT_EQ(counterIn(path), seen) << "round " << round;
        }
        last = seen;
    }
    // The moments were not all between two saves.
    EXPECT_GT(duringSave, rounds / 10);
    EXPECT_GT(afterCommit, 0);
    RecordProperty("during_save", duringSave);
    RecordProperty("after_commit", afterCommit);
}

}  // namespace
}  // namespace aftercurve
