// The import command on tables in memory; the writer is a fake that keeps the study.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <sstream>

#include "tests/support/memory_table.h"
#include "tests/support/temp_folder.h"
#include "ui/headless/import_command.h"

namespace aftercurve {
namespace {

using test::tableOf;
using testing::HasSubstr;

struct Ran {
    Exit exit = Exit::usage;
    std::string out;
    std::string messages;
    std::vector<Study> written;
};

Ran import(const std::vector<InputTable>& tables, const ImportArguments& arguments) {
    Ran run;
    std::ostringstream out;
    std::ostringstream messages;
    run.exit = importTables(
        tables, arguments,
        [&run](const std::filesystem::path&, const Study& study) -> Result<Done> {
            run.written.push_back(study);
            return Done{};
        },
        out, messages, false);
    run.out = out.str();
    run.messages = messages.str();
    return run;
}

const std::vector<InputTable>& soundTables() {
    static const std::vector tables{tableOf("lab.csv",
                                            "subject,food,time,glucose mmol/L\n"
                                            "1,reference,0,4\n1,reference,15,<2\n2,barley,0,NA\n")};
    return tables;
}

TEST(HeadlessImport, PrintsTheGuessWritesTheStudyAndSumsUp) {
    ImportArguments arguments;
    arguments.out = "study";
    arguments.title = "Pilot";
    const Ran run = import(soundTables(), arguments);
    EXPECT_EQ(run.exit, Exit::done) << run.messages;
    ASSERT_EQ(run.written.size(), 1u);
    EXPECT_EQ(run.written[0].title, "Pilot");
    EXPECT_THAT(run.out,
                HasSubstr("'glucose mmol/L' of lab.csv is glucose in mmol/L, because the header says"));
    EXPECT_THAT(run.out, HasSubstr("2 subjects, 2 foods, 2 visits, 3 draws\n"));
    EXPECT_THAT(run.out,
                HasSubstr("glucose (mmol/L): 1 value, 1 below the limit of quantification, 1 missing\n"));
    EXPECT_THAT(run.messages, HasSubstr("note: lab.csv: below the quantification limit"));
}

TEST(HeadlessImport, DryRunWritesNothing) {
    ImportArguments arguments;
    arguments.dryRun = true;
    const Ran run = import(soundTables(), arguments);
    EXPECT_EQ(run.exit, Exit::done);
    EXPECT_TRUE(run.written.empty());
    EXPECT_THAT(run.out, HasSubstr("3 draws"));
}

TEST(HeadlessImport, OpenQuestionsEndItAndTheMappingIsWrittenToBeFilledIn) {
    const test::TempFolder folder;
    const std::vector tables{tableOf("lab.csv", "subject,food,time,glucose\n1,A,0,4\n1,B,0,5\n")};
    ImportArguments arguments;
    arguments.out = "study";
    arguments.saveMapping = folder.path() / "mapping.json";
    const Ran run = import(tables, arguments);
    EXPECT_EQ(run.exit, Exit::unreadable);
    EXPECT_TRUE(run.written.empty());
    EXPECT_THAT(run.messages, HasSubstr("question: analytes[0].file_unit: In which unit is glucose?"));
    EXPECT_THAT(run.messages, HasSubstr("question: foods[0].role: "));
    EXPECT_THAT(run.messages,
                HasSubstr("error: 3 questions are open; fill in the keys above in the mapping"));

    // Filled in, it is taken in.
    std::ifstream saved(arguments.saveMapping);
    std::string text{std::istreambuf_iterator<char>(saved), {}};
    const auto fill = [&text](const std::string& key, const std::string& value) {
        const std::size_t at = text.find("\"" + key + "\": null");
        ASSERT_NE(at, std::string::npos) << text;
        text.replace(at, key.size() + 8, "\"" + key + "\": \"" + value + "\"");
    };
    fill("file_unit", "mmol/L");
    fill("role", "reference");
    fill("role", "test");
    std::ofstream(folder.path() / "filled.json") << text;
    ImportArguments again;
    again.out = "study";
    again.mapping = folder.path() / "filled.json";
    const Ran second = import(tables, again);
    EXPECT_EQ(second.exit, Exit::done) << second.messages;
    ASSERT_EQ(second.written.size(), 1u);
    EXPECT_EQ(second.written[0].foods[0].role, FoodRole::reference);
}

TEST(HeadlessImport, FaultsExitThreeWithTheirPlace) {
    ImportArguments arguments;
    arguments.mapping = "no-such-mapping.json";
    EXPECT_EQ(import(soundTables(), arguments).exit, Exit::unreadable);
    arguments = {};
    arguments.dryRun = true;
    const std::vector negative{
        tableOf("lab.csv",
                "subject,food,time,glucose mmol/L\n1,reference,0,-4\n1,reference,15,5\n1,reference,30,6\n")};
    const Ran run = import(negative, arguments);
    EXPECT_EQ(run.exit, Exit::unreadable);
    EXPECT_THAT(run.messages, HasSubstr("error: lab.csv:2: '-4' is negative"));
}

TEST(HeadlessImport, SheetsAreChosenByName) {
    const std::string rows = "subject,food,time,glucose mmol/L\n1,reference,0,4\n";
    const std::vector tables{tableOf("lab.xlsx", rows, ',', 1, "March"),
                             tableOf("lab.xlsx", rows, ',', 1, "April")};
    ImportArguments arguments;
    arguments.dryRun = true;
    arguments.sheets = {"apr*"};
    const Ran run = import(tables, arguments);
    EXPECT_EQ(run.exit, Exit::done) << run.messages;
    EXPECT_THAT(run.out, Not(HasSubstr("March")));
    arguments.sheets = {"May"};
    const Ran none = import(tables, arguments);
    EXPECT_EQ(none.exit, Exit::unreadable);
    EXPECT_THAT(none.messages, HasSubstr("the sheets are: 'March' 'April'"));
}

}  // namespace
}  // namespace aftercurve
