#include "core/intake/check_mapping.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <functional>

#include "core/intake/guess.h"
#include "tests/core/files/problem_matchers.h"
#include "tests/support/memory_table.h"

namespace aftercurve {
namespace {

using test::tableOf;

const std::vector<InputTable>& labTables() {
    static const std::vector tables{
        tableOf("lab.csv", "subject,food,time,glucose mmol/L\n1,ref,0,4\n1,tea,0,5\n")};
    return tables;
}

/// The problems after one thing of a sound mapping was changed.
std::vector<Problem> after(const std::function<void(Mapping&)>& change) {
    Mapping mapping = guessMapping(labTables()).mapping;
    change(mapping);
    return checkMapping(mapping, labTables());
}

TEST(CheckMapping, ASoundOneHasNoErrors) {
    const auto problems = after([](Mapping&) {});
    EXPECT_EQ(errorCount(problems), 0u) << linesOf(problems);
}

TEST(CheckMapping, WhatIsMissingBlocksAndSaysWhatToDo) {
    const auto role = [](std::size_t column, ColumnRole to) {
        return after([=](Mapping& m) { m.tables[0].columns[column].role = to; });
    };
    EXPECT_THAT(role(0, ColumnRole::ignore),
                HasProblem(Severity::error, "lab.csv:1",
                           "no column is the subject; give one column the role subject"));
    EXPECT_THAT(role(1, ColumnRole::ignore),
                HasProblem(Severity::error, "lab.csv:1", "no column is the food"));
    EXPECT_THAT(role(2, ColumnRole::ignore),
                HasProblem(Severity::error, "lab.csv:1", "no column is the time"));
    EXPECT_THAT(role(3, ColumnRole::ignore),
                HasProblem(Severity::error, "lab.csv:1", "no column holds concentrations"));
    EXPECT_THAT(role(2, ColumnRole::subject),
                HasProblem(Severity::error, "lab.csv:1", "same role as another column: subject"));
    EXPECT_THAT(role(2, ColumnRole::clockTime),
                HasProblem(Severity::error, "lab.csv:1", "without a start of the meal"));
}

TEST(CheckMapping, OpenQuestionsBlock) {
    EXPECT_THAT(after([](Mapping& m) { m.foods[1].role.reset(); }),
                HasProblem(Severity::error, "",
                           "the food 'tea' has no role; set role to reference, control or test"));
    EXPECT_THAT(after([](Mapping& m) { m.subjectDigits.reset(); }),
                HasProblem(Severity::error, "", "subject_digits"));
    EXPECT_THAT(after([](Mapping& m) {
                    m.limitTexts = {{"n.d.", "", {}}};
                }),
                HasProblem(Severity::error, "", "'n.d.'"));
    EXPECT_THAT(after([](Mapping& m) {
                    m.timeTexts = {{"fasting", {}}};
                }),
                HasProblem(Severity::error, "", "'fasting'"));
    EXPECT_THAT(after([](Mapping& m) { m.tables[0].columns[3].unit.clear(); }),
                HasProblem(Severity::error, "", "set file_unit"));
    EXPECT_THAT(after([](Mapping& m) { m.tables[0].foodFrom = Origin::fixed; }),
                HasProblem(Severity::error, "lab.csv:1", "the food of the table is not given"));
    const auto keyed = after([](Mapping& m) { m.foods[1].role.reset(); });
    EXPECT_TRUE(std::any_of(keyed.begin(), keyed.end(),
                            [](const Problem& p) { return p.column == "foods[1].role"; }));
}

TEST(CheckMapping, ContradictionsBlock) {
    EXPECT_THAT(after([](Mapping& m) { m.foods[1].texts = {"ref"}; }),
                HasProblem(Severity::error, "", "'ref' stands for two foods"));
    EXPECT_THAT(after([](Mapping& m) { m.foods[1].id = "ref"; }),
                HasProblem(Severity::error, "", "declared twice"));
    EXPECT_THAT(after([](Mapping& m) { m.foods.clear(); }),
                HasProblem(Severity::error, "", "declares no food"));
    EXPECT_THAT(after([](Mapping& m) { m.analytes.clear(); }),
                HasProblem(Severity::error, "lab.csv:1", "which analytes does not declare"));
    EXPECT_THAT(after([](Mapping& m) { m.tables[0].columns[3].unit = "pmol/L"; }),
                HasProblem(Severity::error, "lab.csv:1", "'pmol/L' of glucose is not known"));
    EXPECT_THAT(after([](Mapping& m) { m.analytes[0].unit = "furlong"; }),
                HasProblem(Severity::error, "", "'furlong' is not a known unit"));
    EXPECT_THAT(after([](Mapping& m) { m.tables[0].firstRow = 1; }),
                HasProblem(Severity::error, "lab.csv:1", "in or above the header"));
    EXPECT_THAT(after([](Mapping& m) { m.tables[0].columns[2].unit = "days"; }),
                HasProblem(Severity::error, "lab.csv:1", "no unit of time"));
    EXPECT_THAT(after([](Mapping& m) { m.tables[0].layout = Layout::wideByTime; }),
                HasProblem(Severity::error, "lab.csv:1", "has no time; set time_min"));
}

TEST(CheckMapping, FilesAndTablesMustFit) {
    EXPECT_THAT(after([](Mapping& m) {
                    m.tables.push_back(m.tables[0]);
                    m.tables[1].source = 2;
                }),
                HasProblem(Severity::error, "", "speaks of file 2 ('lab.csv'), but 1 file is given"));
    EXPECT_THAT(after([](Mapping& m) {
                    m.tables[0].source = 7;
                    m.tables[0].use = false;
                }),
                HasProblem(Severity::error, "lab.csv", "no entry for this table"));
    EXPECT_THAT(after([](Mapping& m) { m.tables[0].use = false; }),
                HasProblem(Severity::error, "", "no table with concentrations is used"));
    EXPECT_THAT(after([](Mapping& m) { m.tables[0].columns[3].header = "Glukose"; }),
                HasProblem(Severity::error, "lab.csv:1", "the analyte column 'Glukose' is not in the table"));
    EXPECT_THAT(after([](Mapping& m) {
                    m.tables[0].headerRow = 9;
                    m.tables[0].firstRow = 10;
                }),
                HasProblem(Severity::error, "lab.csv:9", "no header in this row"));
}

TEST(CheckMapping, ColumnsMovedAndAddedAreFoundByTheirHeader) {
    const Mapping mapping = guessMapping(labTables()).mapping;
    const std::vector next{
        tableOf("next.csv", "time,batch,glucose mmol/L,food,subject,phone\n0,x,4,ref,1,5\n")};
    const auto problems = checkMapping(mapping, next);
    EXPECT_EQ(errorCount(problems), 0u) << linesOf(problems);
    EXPECT_THAT(problems,
                HasProblem(Severity::note, "next.csv:1", "not in the mapping and not read: 'batch'"));
    EXPECT_THAT(problems,
                HasProblem(Severity::warning, "next.csv:1", "'phone' looks as if it identified people"));
}

TEST(CheckMapping, WarnsWithoutReferenceAndOfPersonalColumnsInUse) {
    EXPECT_THAT(after([](Mapping& m) { m.foods[0].role = FoodRole::test; }),
                HasProblem(Severity::warning, "", "no food is the reference or the control"));
    const std::vector named{tableOf("lab.csv", "patient,food,time,glucose mmol/L\n1,ref,0,4\n")};
    Mapping m = guessMapping(labTables()).mapping;
    m.tables[0].columns[0].header = "patient";
    EXPECT_THAT(checkMapping(m, named),
                HasProblem(Severity::warning, "lab.csv:1",
                           "used as the mapping says; make sure that it holds codes only"));
}

}  // namespace
}  // namespace aftercurve
