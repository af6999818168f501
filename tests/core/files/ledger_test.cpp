#include "core/files/ledger.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <map>
#include <random>
#include <string>

#include "core/files/sha256.h"
#include "core/files/staged_save.h"
#include "tests/core/files/problem_matchers.h"
#include "tests/support/study_files.h"

namespace aftercurve {
namespace {

using test::StudyFiles;
using test::TempFolder;
using testing::ElementsAre;
using testing::Field;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::SizeIs;

LedgerEntry valueEntry(const std::string& from, const std::string& to) {
    LedgerEntry entry;
    entry.on = "2026-03-02T10:11:12Z";
    entry.by = "AB";
    entry.what = "value";
    entry.where = {"samples", "samples.csv", 14, "07", "drink", 2, 15.0, "glucose"};
    entry.from = from;
    entry.to = to;
    entry.why = "typing error";
    return entry;
}

std::string threeLines() {
    return appendedLedger({}, std::vector{valueEntry("1", "2"), valueEntry("2", "3"), valueEntry("3", "4")})
        .value();
}

TEST(Ledger, WritesALineThatAnyoneCanReadAndReadsItBack) {
    LedgerEntry entry = valueEntry("5.4", "5.6");
    entry.why = "typing error, µ\nsecond line";
    entry.inputs = {{"study.json", sha256Hex("a")}};
    LedgerEntry bare;
    bare.what = "a word of a newer program";
    const std::string bytes = appendedLedger({}, std::vector{entry, bare}).value();
    // The form that docs/formats.md gives.
    const std::string first =
        R"({"n":1,"on":"2026-03-02T10:11:12Z","by":"AB","what":"value",)"
        R"("where":{"table":"samples","file":"samples.csv","row":14,"subject":"07","food":"drink","visit":2,)"
        R"("time_min":15,"field":"glucose"},"from":"5.4","to":"5.6","why":"typing error, µ\nsecond line",)"
        R"("inputs":[{"file":"study.json","sha256":")" +
        sha256Hex("a") + R"("}],"previous":""})";
    const std::string second = R"({"n":2,"on":"","by":"","what":"a word of a newer program","previous":")" +
                               sha256Hex(first) + "\"}";
    EXPECT_EQ(bytes, first + "\n" + second + "\n");

    const LedgerCheck check = checkLedger(bytes);
    EXPECT_FALSE(check.broken);
    EXPECT_EQ(check.lines, 2u);
    EXPECT_EQ(check.lastHash, sha256Hex(second));
    ASSERT_THAT(check.entries, SizeIs(2));
    entry.n = 1;
    EXPECT_EQ(check.entries[0], entry);
    EXPECT_FALSE(check.entries[1].from);
}

TEST(Ledger, IsContinuedByAppending) {
    const TempFolder folder;
    EXPECT_THAT(readLedger(folder.path()).value().check.entries, IsEmpty());
    for (int i = 1; i <= 3; ++i) {
        const Ledger old = readLedger(folder.path()).value();
        const std::string bytes =
            appendedLedger(old, std::vector{valueEntry(std::to_string(i), std::to_string(i + 1))}).value();
        EXPECT_TRUE(bytes.starts_with(old.bytes));
        ASSERT_TRUE(saveTogether(folder.path(), std::vector<NewFile>{{ledgerName, bytes}}).ok());
    }
    EXPECT_EQ(folder.read(ledgerName), threeLines());
}

TEST(Ledger, ABrokenChainNamesTheLineAndWhatStands) {
    const std::string sound = threeLines();
    const std::size_t second = sound.find('\n') + 1;
    const std::size_t third = sound.find('\n', second) + 1;
    std::string edited = sound;
    edited.replace(edited.find(R"("to":"3")"), 8, R"("to":"9")");
    std::string firstEdited = sound;
    firstEdited.replace(firstEdited.find("AB"), 2, "CD");
    std::string renumbered = sound;
    renumbered.replace(renumbered.find("\"n\":2"), 5, "\"n\":7");
    const struct {
        std::string bytes;
        std::size_t line;
        std::string reason;
    } cases[] = {
        {edited, 3, "does not follow the line before it"},
        {firstEdited, 2, "does not follow the line before it"},
        {renumbered, 2, "has the number 7"},
        {sound.substr(0, second) + sound.substr(third), 2, "has the number 3"},
        {sound.substr(second), 1, "has the number 2"},
        {sound + "\n", 4, "it is empty"},
        {sound + "{}\n", 4, "it has no number"},
        {sound + "[1]\n", 4, "not a JSON object"},
        {sound + "{\"n\":4,\n", 4, "not a JSON object"},
        {sound + "\xff\n", 4, "not UTF-8"},
        {sound + std::string(100, '\0'), 4, "not UTF-8"},
        {sound + std::string(500'000, '[') + "\n", 4, "not a JSON object"},
        {sound + std::string(mostLedgerLineBytes + 1, 'x'), 4, "longer than 1048576 bytes"},
        {sound + R"({"n":4,"by":5})", 4, "its key 'by' is not a text"},
        {sound + R"({"n":4,"where":[]})", 4, "'where' is not an object"},
        {sound + R"({"n":4,"where":{"visit":99999999999}})", 4, "out of range"},
        {sound + R"({"n":4,"where":{"row":-1}})", 4, "out of range"},
        {sound + R"({"n":4,"inputs":[{"file":"a","sha256":"zz"}]})", 4, "with their hashes"},
        {sound + R"({"n":4,"n":4})", 4, "not a JSON object"},
        {sound + R"({"n":1e400})", 4, "not a JSON object"},
    };
    for (const auto& [bytes, line, reason] : cases) {
        const LedgerCheck check = checkLedger(bytes);
        ASSERT_TRUE(check.broken) << reason;
        EXPECT_EQ(check.broken->row, line) << reason;
        EXPECT_EQ(check.broken->severity, Severity::warning);
        EXPECT_THAT(check.broken->what, HasSubstr("broken at line " + std::to_string(line) + ": "));
        EXPECT_THAT(check.broken->what, HasSubstr(reason));
        EXPECT_THAT(check.broken->what,
                    HasSubstr(line == 1 ? "none of it stands"
                                        : "everything before line " + std::to_string(line) + " stands"));
        EXPECT_THAT(check.entries, SizeIs(line - 1)) << reason;
        EXPECT_TRUE(isFitForPrint({*check.broken}));
        // Saving goes on; the break stays where it is.
        const std::string more = appendedLedger({bytes, check}, std::vector{valueEntry("4", "5")}).value();
        EXPECT_TRUE(more.starts_with(bytes));
        EXPECT_EQ(checkLedger(more).broken->row, line) << reason;
    }
}

TEST(Ledger, ALastLineWithoutItsEndIsSoundAndContinuedOnANewLine) {
    std::string bytes = threeLines();
    bytes.pop_back();
    const LedgerCheck check = checkLedger(bytes);
    EXPECT_FALSE(check.broken);
    const std::string more = appendedLedger({bytes, check}, std::vector{valueEntry("4", "5")}).value();
    EXPECT_FALSE(checkLedger(more).broken);
    EXPECT_EQ(checkLedger(more).lines, 4u);
}

TEST(Ledger, RefusesWhatItCouldNotReadAgain) {
    LedgerEntry entry = valueEntry("1", "\xff");
    EXPECT_THAT(appendedLedger({}, std::vector{entry}).problem().what, HasSubstr("not UTF-8"));
    entry.to = std::string(mostLedgerLineBytes, 'x');
    EXPECT_THAT(appendedLedger({}, std::vector{entry}).problem().what, HasSubstr("longer than 1 MiB"));
    Ledger full;
    full.bytes.assign(mostLedgerBytes, 'x');
    EXPECT_THAT(appendedLedger(full, std::vector{valueEntry("1", "2")}).problem().what, HasSubstr("64 MiB"));

    const TempFolder folder;
    std::filesystem::resize_file(folder.write(ledgerName, ""), mostLedgerBytes + 1);
    EXPECT_THAT(readLedger(folder.path()).problem().what, HasSubstr("more than the 64 MiB"));
    std::filesystem::remove(folder.path() / ledgerName);
    std::filesystem::create_symlink("../elsewhere", folder.path() / ledgerName);
    EXPECT_FALSE(readLedger(folder.path()).ok());
    std::filesystem::remove(folder.path() / ledgerName);
    std::filesystem::create_directory(folder.path() / ledgerName);
    EXPECT_THAT(readLedger(folder.path()).problem().what, HasSubstr("is a folder"));
}

TEST(LedgerHistory, IsThatOfTheCellAlsoWhenItsRowMoved) {
    std::vector<LedgerEntry> entries(6, valueEntry("1", "2"));
    for (std::size_t i = 0; i < entries.size(); ++i) {
        entries[i].n = i + 1;
    }
    entries[1].where.timeMin = 30.0;
    entries[2].where.field = "insulin";
    entries[3].where.row = 99;
    entries[4].what = "row-removed";
    entries[4].where.field = "";
    entries[5].what = "exclusion";
    entries[5].where = {"exclusions", "study.json", 0, "07", "", {}, {}, ""};
    const LedgerPlace cell{"samples", "", 14, "07", "drink", 2, 15.0, "glucose"};
    const auto n = [](std::uint64_t value) { return Field(&LedgerEntry::n, value); };
    EXPECT_THAT(historyOf(entries, cell), ElementsAre(n(1), n(4), n(5)));
    EXPECT_THAT(historyOf(entries, {"", "", 0, "07", "", {}, {}, ""}), SizeIs(6));
    EXPECT_THAT(historyOf(entries, {"", "", 0, "08", "", {}, {}, ""}), IsEmpty());
    EXPECT_THAT(historyOf(entries, {"", "", 0, "", "", {}, {}, "insulin"}), ElementsAre(n(3), n(5)));
}

TEST(LedgerLine, SaysWhatAPersonWantsToKnowAndNothingATerminalObeys) {
    LedgerEntry entry = valueEntry("5.4", "5.6");
    entry.n = 12;
    EXPECT_EQ(
        lineFor(entry),
        "12  2026-03-02T10:11:12Z  AB  value  samples.csv:14, subject 07, drink, visit 2, 15 min, glucose: "
        "5.4 -> 5.6 (typing error)");
    entry.from.reset();
    entry.where = {"samples", "", 0, "", "", {}, {}, ""};
    entry.why = "\x1b[2J\u202e";
    EXPECT_EQ(lineFor(entry), "12  2026-03-02T10:11:12Z  AB  value  samples: (nothing) -> 5.6 (?[2J?)");
}

constexpr const char* samplesCsv = "subject,food,time_min,glucose\n01,drink,0,5\n01,barley,0,4\n";

TEST(ChangedOutside, WarnsOfFilesThatTheLastSaveLeftOtherwise) {
    const StudyFiles files{samplesCsv};
    const auto inputs = files.read().study->inputs;
    LedgerEntry save = valueEntry("1", "2");
    save.inputs = inputs;
    const std::vector<LedgerEntry> entries{save, valueEntry("2", "3")};
    files.folder.write(ledgerName, appendedLedger({}, entries).value());
    EXPECT_THAT(files.read().problems, IsEmpty());
    EXPECT_THAT(changedOutside(files.folder.path(), entries), IsEmpty());

    files.folder.write("samples.csv", std::string{samplesCsv} + "02,drink,0,5\n");
    const auto reading = files.read();
    ASSERT_TRUE(reading.study);
    EXPECT_THAT(reading.problems, ElementsAre(Field(&Problem::what,
                                                    "'samples.csv' was changed by another program since the "
                                                    "last save")));
    EXPECT_EQ(reading.problems[0].severity, Severity::warning);
    EXPECT_THAT(changedOutside(files.folder.path(), entries), SizeIs(1));
    std::filesystem::remove(files.folder.path() / "samples.csv");
    EXPECT_THAT(changedOutside(files.folder.path(), entries),
                HasProblem(Severity::warning, "samples.csv", "is not there any more"));
    EXPECT_THAT(changedOutside(std::vector{inputs[0]}, entries),
                HasProblem(Severity::warning, "samples.csv", "does not any more"));
}

TEST(ChangedOutside, ABrokenOrUnreadableLedgerIsAWarningAndTheStudyIsRead) {
    const StudyFiles files{samplesCsv};
    files.folder.write(ledgerName, "{\n");
    auto reading = files.read();
    EXPECT_TRUE(reading.study);
    EXPECT_THAT(reading.problems, HasProblem(Severity::warning, "ledger.jsonl:1", "broken at line 1"));
    std::filesystem::resize_file(files.folder.path() / ledgerName, mostLedgerBytes + 1);
    reading = files.read();
    EXPECT_TRUE(reading.study);
    EXPECT_THAT(reading.problems, HasProblem(Severity::warning, "ledger.jsonl", "more than the 64 MiB"));
}

// Property: whatever was saved in whatever order, the ledger replayed from the beginning gives the present.
TEST(LedgerProperty, ReplayedFromTheStartItGivesThePresent) {
    const TempFolder folder;
    std::mt19937_64 random{20260302};  // seed
    const auto pick = [&](int most) { return static_cast<int>(random() % static_cast<unsigned>(most)); };
    std::map<std::string, std::string> table;  // subject to value
    for (int save = 0; save < 60; ++save) {
        std::vector<LedgerEntry> entries;
        for (int change = pick(4); change >= 0; --change) {
            const std::string subject = std::to_string(pick(9));
            LedgerEntry entry = valueEntry("", "");
            entry.where.subject = subject;
            entry.from.reset();
            entry.to.reset();
            if (table.contains(subject)) {
                entry.from = table[subject];
            }
            if (table.contains(subject) && pick(4) == 0) {
                entry.what = "row-removed";
                table.erase(subject);
            } else {
                entry.what = table.contains(subject) ? "value" : "row-added";
                table[subject] = std::to_string(pick(1000));
                entry.to = table[subject];
            }
            entries.push_back(entry);
        }
        std::string csv = "subject,value\n";
        for (const auto& [subject, value] : table) {
            csv += subject + "," + value + "\n";
        }
        entries.back().inputs = {{"values.csv", sha256Hex(csv)}};
        const std::string bytes = appendedLedger(readLedger(folder.path()).value(), entries).value();
        ASSERT_TRUE(
            saveTogether(folder.path(), std::vector<NewFile>{{"values.csv", csv}, {ledgerName, bytes}}).ok());
    }
    const Ledger ledger = readLedger(folder.path()).value();
    ASSERT_FALSE(ledger.check.broken);
    std::map<std::string, std::string> replayed;
    for (const LedgerEntry& entry : ledger.check.entries) {
        const auto found = replayed.find(entry.where.subject);
        EXPECT_EQ(entry.from, found == replayed.end() ? std::nullopt : std::optional{found->second});
        if (entry.to) {
            replayed[entry.where.subject] = *entry.to;
        } else {
            replayed.erase(entry.where.subject);
        }
    }
    EXPECT_EQ(replayed, table);
    EXPECT_THAT(changedOutside(folder.path(), ledger.check.entries), IsEmpty());
    for (const auto& [subject, value] : table) {
        EXPECT_EQ(historyOf(ledger.check.entries, {"", "", 0, subject, "", {}, {}, ""}).back().to, value);
    }
}

}  // namespace
}  // namespace aftercurve
