// `aftercurve-run register`: the plan's hash, date and ledger entry, and what stands beside the run after.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "core/files/folder_lock.h"
#include "core/files/ledger.h"
#include "core/files/registered_plan_json.h"
#include "core/files/study_folder.h"
#include "tests/support/temp_folder.h"
#include "ui/headless/register_command.h"

namespace aftercurve {
namespace {

using test::TempFolder;
using testing::HasSubstr;

struct Said {
    Exit exit;
    std::string out;
    std::string messages;
};

Said registered(const std::filesystem::path& study, const std::string& on = "2026-03-02") {
    std::ostringstream out;
    std::ostringstream messages;
    const Exit exit = runRegister({study, "AB", on, "with the ward"}, out, messages);
    return {exit, out.str(), messages.str()};
}

void copySample(const TempFolder& folder) {
    std::filesystem::copy(std::filesystem::path(TEST_SAMPLES) / "pulse-wafer-crossover", folder.path(),
                          std::filesystem::copy_options::recursive);
}

TEST(RegisterCommand, WritesHashDateAndLedger) {
    const TempFolder folder;
    copySample(folder);
    const Said said = registered(folder.path());
    ASSERT_EQ(said.exit, Exit::done) << said.messages;
    const auto reading = readStudyFolder(folder.path());
    ASSERT_TRUE(reading.study);
    ASSERT_EQ(reading.study->registered.size(), 1U);
    const RegisteredPlan& entry = reading.study->registered[0];
    EXPECT_EQ(entry, registrationOf(reading.study->plan, "2026-03-02", "AB", "with the ward"));
    EXPECT_EQ(said.out, entry.sha256 + "\n");
    const auto ledger = readLedger(folder.path());
    ASSERT_TRUE(ledger.ok());
    EXPECT_FALSE(ledger.value().check.broken);
    const auto& entries = ledger.value().check.entries;
    EXPECT_TRUE(std::any_of(entries.begin(), entries.end(),
                            [](const LedgerEntry& e) { return e.what == "registration" && e.by == "AB"; }));
    const Said again = registered(folder.path(), "2026-04-01");
    EXPECT_EQ(again.exit, Exit::done);
    EXPECT_THAT(again.messages, HasSubstr("registered already, on 2026-03-02"));
    EXPECT_EQ(readStudyFolder(folder.path()).study->registered.size(), 1U);
}

TEST(RegisterCommand, RefusesAWrongDateAndALockedFolder) {
    const TempFolder folder;
    copySample(folder);
    const Said bad = registered(folder.path(), "today");
    EXPECT_EQ(bad.exit, Exit::unreadable);
    EXPECT_THAT(bad.messages, HasSubstr("2026-03-02"));
    const LockAnswer lock = lockFolder(folder.path(), "another program", "2026-03-02");
    ASSERT_EQ(lock.outcome, LockOutcome::locked);
    EXPECT_EQ(registered(folder.path()).exit, Exit::unreadable);
    EXPECT_TRUE(readStudyFolder(folder.path()).study->registered.empty());
}

TEST(RegisterCommand, RefusesAFolderThatIsNoStudy) {
    const TempFolder folder;
    const Said said = registered(folder.path());
    EXPECT_EQ(said.exit, Exit::unreadable);
    EXPECT_FALSE(said.messages.empty());
}

}  // namespace
}  // namespace aftercurve
