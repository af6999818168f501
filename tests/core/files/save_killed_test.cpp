// A saving program is killed at random moments; the folder must always hold one whole save.
#include <fcntl.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <cstdint>
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

using Clock = std::chrono::steady_clock;

/// In memory where there is such a disk: what is tested is the order of the steps, which does not need a slow
/// one.
fs::path quickDisk() {
    const bool there = ::access("/dev/shm", W_OK | X_OK) == 0;
    return there ? fs::path{"/dev/shm"} : fs::temp_directory_path();
}

/// The helper, running, and what it has printed.
class Saver {
  public:
    Saver(const fs::path& folder, long first) {
        int ends[2];
        EXPECT_EQ(::pipe2(ends, O_CLOEXEC), 0);
        const std::string number = std::to_string(first);
        process_ = ::fork();
        if (process_ == 0) {
            ::dup2(ends[1], STDOUT_FILENO);
            ::execl(TEST_SAVE_LOOP, TEST_SAVE_LOOP, folder.c_str(), number.c_str(), nullptr);
            ::_exit(127);
        }
        ::close(ends[1]);
        output_ = FileDescriptor{ends[0]};
    }

    /// Waits until it has announced a save more than before.
    void waitForSave() {
        const std::size_t before = text_.size();
        while (text_.find('\n', before) == std::string::npos && readSome()) {
        }
    }

    /// Kills it; the last counter that it announced, or `before` where there was none.
    long kill(long before) {
        ::kill(process_, SIGKILL);
        int status = 0;
        EXPECT_EQ(::waitpid(process_, &status, 0), process_);
        EXPECT_TRUE(WIFSIGNALED(status))
            << "it must save until it is killed; exit code " << WEXITSTATUS(status);
        while (readSome()) {
        }
        if (text_.empty()) {
            return before;
        }
        const std::size_t line = text_.rfind('\n', text_.size() - 2);
        return std::stol(text_.substr(line == std::string::npos ? 0 : line + 1));
    }

  private:
    /// False at the end.
    bool readSome() {
        char bytes[4096];
        const ssize_t got = ::read(output_.get(), bytes, sizeof bytes);
        text_.append(bytes, got > 0 ? static_cast<std::size_t>(got) : 0);
        return got > 0;
    }

    pid_t process_ = -1;
    FileDescriptor output_;
    std::string text_;
};

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
            folder = std::make_unique<TempFolder>(quickDisk());
            last = 0;
        }
        const fs::path& path = folder->path();
        Saver saver{path, last + 1};
        std::chrono::nanoseconds most = std::chrono::milliseconds{6};
        // Mostly in the middle of its work, sometimes while it starts and finishes what the last one left.
        if (last == 0 || random() % 4 != 0) {
            saver.waitForSave();
            const auto first = Clock::now();
            saver.waitForSave();
            most = 2 * (Clock::now() - first) + std::chrono::microseconds{1};
        }
        std::this_thread::sleep_for(std::chrono::nanoseconds{
            static_cast<std::int64_t>(random() % static_cast<std::uint64_t>(most.count()))});
        // In every fourth round as soon as a save is seen to be committed, which a blind shot meets seldom.
        const auto until = Clock::now() + std::chrono::milliseconds{20};
        while (round % 4 == 3 && !fs::exists(path / stagingName / saveRecordName) && Clock::now() < until) {
        }
        const long announced = saver.kill(last);

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
