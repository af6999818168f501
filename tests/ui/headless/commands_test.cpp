#include "ui/headless/commands.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <QProcess>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "core/files/ledger.h"
#include "core/files/sha256.h"
#include "core/findings/table.h"
#include "tests/support/temp_folder.h"

namespace aftercurve {

namespace {

using test::TempFolder;
using testing::AllOf;
using testing::HasSubstr;
using testing::Not;
namespace fs = std::filesystem;

const fs::path samples = TEST_SAMPLES;

std::string textOf(const fs::path& path) {
    std::ifstream in(path, std::ios::binary);
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
}

void writeFile(const fs::path& path, const std::string& text) {
    std::ofstream(path, std::ios::binary) << text;
}

constexpr const char* smallStudy = R"({ "format": "aftercurve-study", "version": 1, "title": "small",
  "foods": [ { "id": "bread", "role": "control" }, { "id": "oats", "role": "test" } ],
  "analytes": [ { "id": "glucose", "unit": "mmol/L" } ], "samples": [ "samples.csv" ], "plan": { "index": false } })";

constexpr const char* smallSamples =
    "subject,food,time_min,glucose\n"
    "1,bread,0,5\n1,bread,60,8\n1,bread,120,5\n1,oats,0,5\n1,oats,60,6\n1,oats,120,5\n"
    "2,bread,0,5\n2,bread,60,9\n2,bread,120,5\n2,oats,0,5\n2,oats,60,6\n2,oats,120,5\n";

}  // namespace

TEST(HeadlessAnalyse, WritesResultsTablesFiguresAndReportOfTheIndexSample) {
    const TempFolder out;
    std::ostringstream messages;
    EXPECT_EQ(runAnalyse({samples / "barley-index", out.path(), true}, messages, false), Exit::done);
    const auto json = nlohmann::json::parse(textOf(out.path() / "results.json"));
    EXPECT_EQ(json["curves"].size(), 60U);
    EXPECT_EQ(json["index"].size(), 2U);
    EXPECT_EQ(json["inputs"][0]["file"], "study.json");
    EXPECT_EQ(json["inputs"][0]["sha256"].get<std::string>().size(), 64U);
    for (const TableKind& kind : tableList()) {
        EXPECT_TRUE(fs::exists(out.path() / "tables" / (std::string{kind.key} + ".csv"))) << kind.key;
    }
    for (const char* figure : {"curves_subjects_glucose", "curves_mean_glucose", "curves_increment_glucose",
                               "comparison_estimates_glucose", "index_glucose"}) {
        for (const char* ending : {".svg", ".pdf", ".png"}) {
            EXPECT_GT(fs::file_size(out.path() / "figures" / (figure + std::string{ending})), 500U) << figure;
        }
    }
    const std::string report = textOf(out.path() / "report.html");
    EXPECT_THAT(report, AllOf(HasSubstr("<svg"), HasSubstr("not for diagnosis"),
                              HasSubstr("High-fibre barley porridge"), Not(HasSubstr("<script")),
                              Not(HasSubstr("<?xml"))));
}

TEST(HeadlessAnalyse, TheCrossoverSampleIsWrittenAndExitsFourForItsDropout) {
    const TempFolder out;
    std::ostringstream messages;
    EXPECT_EQ(runAnalyse({samples / "pulse-wafer-crossover", out.path(), false}, messages, false),
              Exit::partly);
    EXPECT_THAT(messages.str(), HasSubstr("error: samples.csv:290: subject 17, pulse-wafer"));
    const auto json = nlohmann::json::parse(textOf(out.path() / "results.json"));
    EXPECT_EQ(json["comparisons"].size(), 4U);
    EXPECT_EQ(json["comparisons"][0]["n"], 17);
    EXPECT_FALSE(fs::exists(out.path() / "figures"));
}

TEST(HeadlessAnalyse, IgnoresTheExclusionsWhereAskedAndSaysSo) {
    const TempFolder with;
    const TempFolder without;
    std::ostringstream messages;
    const fs::path study = samples / "pulse-wafer-crossover";
    EXPECT_EQ(runAnalyse({study, with.path(), false, false}, messages, false), Exit::partly);
    EXPECT_THAT(messages.str(), Not(HasSubstr("--ignore-exclusions")));
    EXPECT_EQ(runAnalyse({study, without.path(), false, true}, messages, false), Exit::partly);
    EXPECT_THAT(messages.str(), HasSubstr("note: study.json: run with --ignore-exclusions: 1 of the study"));
    const auto applied = nlohmann::json::parse(textOf(with.path() / "results.json"));
    const auto ignored = nlohmann::json::parse(textOf(without.path() / "results.json"));
    EXPECT_EQ(applied["exclusions_ignored"], false);
    EXPECT_EQ(ignored["exclusions_ignored"], true);
    EXPECT_TRUE(ignored["ignoring_exclusions"].is_null());
    EXPECT_EQ(applied["ignoring_exclusions"]["comparisons"], ignored["comparisons"]);
}

TEST(HeadlessTables, WritesTheTablesThatAreAskedForAndNothingElse) {
    const TempFolder out;
    std::ostringstream lines;
    std::ostringstream messages;
    const TablesRequest request{{"xlsx", "csv"}, {"comparisons", "index"}};
    EXPECT_EQ(runTables({samples / "barley-index", out.path(), request}, lines, messages, false), Exit::done);
    EXPECT_EQ(lines.str(), "tables.xlsx\ncomparisons.csv\nindex.csv\n");
    EXPECT_FALSE(fs::exists(out.path() / "results.json"));
    EXPECT_TRUE(textOf(out.path() / "tables.xlsx").starts_with("PK"));
}

TEST(HeadlessTables, AnUnknownTableIsWrongUsage) {
    const TempFolder out;
    std::ostringstream lines;
    std::ostringstream messages;
    const TablesRequest request{{"xlsx"}, {"../index"}};
    EXPECT_EQ(runTables({samples / "barley-index", out.path(), request}, lines, messages, false),
              Exit::usage);
    EXPECT_THAT(messages.str(), HasSubstr("there is no table '../index'"));
    EXPECT_TRUE(fs::is_empty(out.path()));
}

TEST(HeadlessAnalyse, WritesTheTablesInFurtherFormats) {
    const TempFolder out;
    std::ostringstream messages;
    const AnalyseArguments arguments{samples / "barley-index", out.path(), false, false, {"odt"}};
    EXPECT_EQ(runAnalyse(arguments, messages, false), Exit::done);
    EXPECT_TRUE(fs::exists(out.path() / "tables" / "tables.odt"));
    EXPECT_TRUE(fs::exists(out.path() / "tables" / "index.csv"));
}

TEST(HeadlessAnalyse, TwiceTheSameBytes) {
    const TempFolder first;
    const TempFolder second;
    std::ostringstream messages;
    EXPECT_EQ(runAnalyse({samples / "barley-index", first.path(), true}, messages, false), Exit::done);
    EXPECT_EQ(runAnalyse({samples / "barley-index", second.path(), true}, messages, false), Exit::done);
    std::size_t files = 0;
    for (const auto& entry : fs::recursive_directory_iterator(first.path())) {
        if (entry.is_regular_file()) {
            const fs::path name = fs::relative(entry.path(), first.path());
            EXPECT_EQ(textOf(entry.path()), textOf(second.path() / name)) << name;
            ++files;
        }
    }
    EXPECT_GT(files, 25U);
}

TEST(HeadlessAnalyse, NothingIsWrittenForAStudyThatCannotBeReadOrAPlanThatIsInvalid) {
    const TempFolder study;
    const TempFolder out;
    const fs::path results = out.path() / "results";
    std::ostringstream messages;
    EXPECT_EQ(runAnalyse({study.path(), results, true}, messages, false), Exit::unreadable);
    EXPECT_THAT(messages.str(), HasSubstr("study.json"));
    EXPECT_FALSE(fs::exists(results));

    writeFile(study.path() / "study.json", smallStudy);
    writeFile(study.path() / "samples.csv", smallSamples);
    EXPECT_EQ(runAnalyse({study.path(), results, false}, messages, false), Exit::done) << messages.str();
    EXPECT_TRUE(fs::exists(results / "results.json"));

    const fs::path other = out.path() / "other";
    std::string invalid = smallStudy;
    invalid.replace(invalid.find("\"index\": false"), 14, "\"alpha\": 2");
    writeFile(study.path() / "study.json", invalid);
    std::ostringstream why;
    EXPECT_EQ(runAnalyse({study.path(), other, false}, why, false), Exit::unreadable);
    EXPECT_THAT(why.str(), HasSubstr("error: study.json: plan.alpha: 2 is no level of a test"));
    EXPECT_FALSE(fs::exists(other));
}

TEST(HeadlessAnalyse, AnOutFolderThatCannotBeMadeIsNamed) {
    const TempFolder out;
    writeFile(out.path() / "file", "x");
    std::ostringstream messages;
    EXPECT_EQ(runAnalyse({samples / "barley-index", out.path() / "file" / "below", false}, messages, false),
              Exit::unreadable);
    EXPECT_THAT(messages.str(), HasSubstr("cannot make this folder"));
}

TEST(HeadlessCheck, PrintsProblemsAndWritesNothing) {
    const TempFolder study;
    writeFile(study.path() / "study.json", smallStudy);
    std::string spoiled = smallSamples;
    spoiled.replace(spoiled.find("60,8"), 4, "60,high");
    writeFile(study.path() / "samples.csv", spoiled);
    std::ostringstream messages;
    EXPECT_EQ(runCheck(study.path(), messages, false), Exit::partly);
    EXPECT_THAT(messages.str(), AllOf(HasSubstr("samples.csv:3"), HasSubstr("high")));
    EXPECT_EQ(std::distance(fs::directory_iterator(study.path()), fs::directory_iterator{}), 2);
}

// The program itself, without a display.
TEST(HeadlessProgram, ExitStatusesAndUsage) {
    const TempFolder out;
    const auto run = [](const QStringList& arguments) {
        QProcess process;
        QProcessEnvironment environment = QProcessEnvironment::systemEnvironment();
        environment.remove("DISPLAY");
        environment.remove("WAYLAND_DISPLAY");
        environment.remove("QT_QPA_PLATFORM");
        process.setProcessEnvironment(environment);
        process.start(QString::fromUtf8(TEST_HEADLESS_PROGRAM), arguments);
        EXPECT_TRUE(process.waitForFinished(60000));
        return process.exitCode();
    };
    const QString barley = QString::fromStdString((samples / "barley-index").string());
    const QString crossover = QString::fromStdString((samples / "pulse-wafer-crossover").string());
    const QString folder = QString::fromStdString(out.path().string());
    EXPECT_EQ(run({"--help"}), 0);
    EXPECT_EQ(run({}), 2);
    EXPECT_EQ(run({"divine", barley}), 2);
    EXPECT_EQ(run({"analyse", barley}), 2);
    EXPECT_EQ(run({"check", barley}), 0);
    EXPECT_EQ(run({"check", crossover}), 4);
    EXPECT_EQ(run({"check", folder}), 3);
    EXPECT_EQ(run({"analyse", barley, "--out", folder}), 0);
    EXPECT_TRUE(fs::exists(out.path() / "figures" / "index_glucose.svg"));
}

namespace {

LedgerEntry changeOf(const std::string& to) {
    LedgerEntry entry;
    entry.on = "2026-03-02T10:11:12Z";
    entry.by = "AB";
    entry.what = "value";
    entry.where.file = "samples.csv";
    entry.where.row = 2;
    entry.to = to;
    return entry;
}

/// A small study whose ledger says how the last save left its samples file.
void writeStudyWithLedger(const TempFolder& folder, const std::string& samplesNow) {
    writeFile(folder.path() / "study.json", smallStudy);
    writeFile(folder.path() / "samples.csv", samplesNow);
    LedgerEntry last = changeOf("5");
    last.inputs = {{"study.json", sha256Hex(smallStudy)}, {"samples.csv", sha256Hex(smallSamples)}};
    writeFile(folder.path() / "ledger.jsonl", appendedLedger({}, std::vector{changeOf("4"), last}).value());
}

}  // namespace

TEST(HeadlessHistory, PrintsEveryChangeAndExitsZero) {
    const TempFolder study;
    writeStudyWithLedger(study, smallSamples);
    std::ostringstream lines;
    std::ostringstream messages;
    EXPECT_EQ(runHistory(study.path(), lines, messages), Exit::done);
    EXPECT_EQ(lines.str(),
              "1  2026-03-02T10:11:12Z  AB  value  samples.csv:2: (nothing) -> 4\n"
              "2  2026-03-02T10:11:12Z  AB  value  samples.csv:2: (nothing) -> 5\n");
    EXPECT_EQ(messages.str(), "");
    EXPECT_EQ(runCheck(study.path(), messages, false), Exit::done);
    EXPECT_THAT(messages.str(), Not(HasSubstr("warning: ")));
}

TEST(HeadlessHistory, ABrokenChainExitsThreeAndCheckAndAnalyseWarn) {
    const TempFolder study;
    writeStudyWithLedger(study, smallSamples);
    std::string ledger = textOf(study.path() / "ledger.jsonl");
    writeFile(study.path() / "ledger.jsonl", ledger.replace(ledger.find("AB"), 2, "CD"));
    std::ostringstream lines;
    std::ostringstream messages;
    EXPECT_EQ(runHistory(study.path(), lines, messages), Exit::unreadable);
    EXPECT_THAT(lines.str(), AllOf(HasSubstr("1  2026"), Not(HasSubstr("2  2026-03-02T10:11:12Z"))));
    EXPECT_THAT(messages.str(), HasSubstr("ledger.jsonl:2: the chain of changes is broken at line 2"));

    std::ostringstream checked;
    EXPECT_EQ(runCheck(study.path(), checked, false), Exit::done);
    EXPECT_THAT(checked.str(), HasSubstr("warning: ledger.jsonl:2: the chain of changes is broken"));
    const TempFolder out;
    std::ostringstream analysed;
    EXPECT_EQ(runAnalyse({study.path(), out.path(), false}, analysed, false), Exit::done);
    EXPECT_THAT(analysed.str(), HasSubstr("warning: ledger.jsonl:2"));
    EXPECT_THAT(textOf(out.path() / "results.json"), HasSubstr("the chain of changes is broken"));
}

TEST(HeadlessHistory, AChangeFromOutsideIsAWarningOfCheck) {
    const TempFolder study;
    writeStudyWithLedger(study, std::string{smallSamples} + "\n");
    std::ostringstream messages;
    EXPECT_EQ(runCheck(study.path(), messages, false), Exit::done);
    EXPECT_THAT(
        messages.str(),
        HasSubstr("warning: samples.csv: 'samples.csv' was changed by another program since the last save"));
}

TEST(HeadlessHistory, AFolderWithoutChangesOrThatIsNone) {
    const TempFolder study;
    std::ostringstream lines;
    std::ostringstream messages;
    EXPECT_EQ(runHistory(study.path(), lines, messages), Exit::done);
    EXPECT_THAT(messages.str(), HasSubstr("no change is on record"));
    EXPECT_EQ(runHistory(study.path() / "absent", lines, messages), Exit::unreadable);
    fs::create_directory(study.path() / "ledger.jsonl");
    EXPECT_EQ(runHistory(study.path(), lines, messages), Exit::unreadable);
    EXPECT_EQ(lines.str(), "");
}

TEST(HeadlessHistory, IsACommandOfTheProgram) {
    const TempFolder study;
    writeStudyWithLedger(study, smallSamples);
    QProcess program;
    program.start(QStringLiteral(TEST_HEADLESS_PROGRAM),
                  {QStringLiteral("history"), QString::fromStdString(study.path().string())});
    ASSERT_TRUE(program.waitForFinished(60000));
    EXPECT_EQ(program.exitCode(), 0);
    EXPECT_THAT(program.readAllStandardOutput().toStdString(), HasSubstr("samples.csv:2: (nothing) -> 5\n"));
}

}  // namespace aftercurve
