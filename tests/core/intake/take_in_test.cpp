// Small tables whose study is written out by hand. All values are invented.
#include "core/intake/take_in.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/intake/guess.h"
#include "tests/core/files/problem_matchers.h"
#include "tests/support/memory_table.h"

namespace aftercurve {
namespace {

using test::MemoryCell;
using test::memoryTable;
using test::tableOf;
using test::textCell;

/// A mapping for long rows: columns by header, foods drink (reference) and barley, glucose in mmol/L.
Mapping longMapping(const std::vector<std::pair<std::string, ColumnRole>>& columns) {
    Mapping m;
    TableMapping table;
    for (std::size_t c = 0; c < columns.size(); ++c) {
        ColumnMapping column;
        column.column = c + 1;
        column.header = columns[c].first;
        column.role = columns[c].second;
        if (column.role == ColumnRole::analyte) {
            column.analyte = columns[c].first;
            column.unit = columns[c].first == "insulin" ? "pmol/L" : "mmol/L";
        }
        table.columns.push_back(column);
    }
    m.tables.push_back(table);
    m.foods.push_back({"drink", "Glucose drink", FoodRole::reference, {}, {}, {}});
    m.foods.push_back({"barley", "Barley porridge", FoodRole::test, {"BARLEY"}, {}, {}});
    m.analytes.push_back({"glucose", "mmol/L", "", "capillary plasma", 6.0});
    m.analytes.push_back({"insulin", "pmol/L", "", "", 6.0});
    return m;
}

const std::vector<std::pair<std::string, ColumnRole>> plainColumns{{"subject", ColumnRole::subject},
                                                                   {"food", ColumnRole::food},
                                                                   {"time", ColumnRole::time},
                                                                   {"glucose", ColumnRole::analyte}};

TakenIn take(const Mapping& mapping, std::vector<InputTable> tables) {
    return takeIn(tables, mapping);
}

#define ASSERT_TAKEN(taken) ASSERT_TRUE((taken).study) << linesOf((taken).problems)

TEST(TakeIn, LongRowsBecomeTheStudyWrittenOut) {
    TakeInOptions pilot;
    pilot.title = "Pilot";
    const auto taken = takeIn(std::vector{tableOf("lab.csv",
                                                  "subject,food,time,glucose\n"
                                                  "02,drink,0,4.5\n"
                                                  "02,drink,15,NA\n"
                                                  "01,BARLEY,0,5\n"
                                                  "01,BARLEY,15,<2.0\n")},
                              longMapping(plainColumns), pilot);
    ASSERT_TAKEN(taken);
    const Study& s = *taken.study;
    Study expected;
    expected.title = "Pilot";
    expected.foods = {{"drink", "Glucose drink", FoodRole::reference, {}, {}},
                      {"barley", "Barley porridge", FoodRole::test, {}, {}}};
    expected.analytes = {{"glucose", "mmol/L", "capillary plasma"}};
    expected.subjects.resize(2);
    expected.subjects[0].id = "02";
    expected.subjects[1].id = "01";
    expected.sampleFiles = {"samples.csv"};
    expected.draws = {
        {0, 0, 1, 0, 0.0, 0, 2}, {0, 0, 1, 0, 15.0, 0, 3}, {1, 1, 1, 0, 0.0, 0, 4}, {1, 1, 1, 0, 15.0, 0, 5}};
    expected.concentrations = {{4.5, std::nullopt, 5.0, std::nullopt}};
    expected.belowLimit = {{3, 0, 2.0}};
    EXPECT_EQ(s.draws, expected.draws);
    EXPECT_EQ(s.foods, expected.foods);
    EXPECT_EQ(s.analytes, expected.analytes);
    EXPECT_EQ(s.subjects, expected.subjects);
    EXPECT_EQ(s.concentrations, expected.concentrations);
    EXPECT_EQ(s.plan, expected.plan);
    EXPECT_EQ(s.belowLimit, expected.belowLimit);
    EXPECT_TRUE(s == expected);
    EXPECT_THAT(taken.problems, HasProblem(Severity::note, "",
                                           "'BARLEY' was taken for the food 'barley' in 2 rows (rows 4, 5)"));
    EXPECT_THAT(taken.problems, HasProblem(Severity::note, "lab.csv", "below the quantification limit"));
}

TEST(TakeIn, RowsThatRepeatTheHeaderAreLeftOutAndCounted) {
    const auto taken = take(longMapping(plainColumns), {tableOf("lab.csv",
                                                                "subject,food,time,glucose\n"
                                                                "01,drink,0,4.5\n"
                                                                "subject, food ,time,glucose\n"
                                                                "02,drink,0,4.7\n")});
    ASSERT_TAKEN(taken);
    EXPECT_EQ(taken.study->draws.size(), 2u);
    EXPECT_THAT(taken.problems, HasProblem(Severity::note, "lab.csv", "repeat the header: 1 row (row 3)"));
    // A part of the header, or the header and more, is no such row.
    for (const char* row : {"subject,food,time,\n", "subject,food,time,glucose,5\n"}) {
        EXPECT_FALSE(
            take(longMapping(plainColumns),
                 {tableOf("lab.csv", "subject,food,time,glucose\n01,drink,0,4.5\n" + std::string{row})})
                .study)
            << row;
    }
}

TEST(TakeIn, ARemarkOfSeveralLinesBecomesOne) {
    auto columns = plainColumns;
    columns.emplace_back("remark", ColumnRole::remark);
    const auto draw = [](const std::string& time, const std::string& remark) {
        return std::vector{textCell("01"), textCell("drink"), textCell(time), textCell("4"),
                           textCell(remark)};
    };
    const auto taken = take(longMapping(columns),
                            {memoryTable("lab.csv", {{textCell("subject"), textCell("food"), textCell("time"),
                                                      textCell("glucose"), textCell("remark")},
                                                     draw("0", "slept;\r\n\r\n  woken \n\ttwice"),
                                                     draw("15", "as it is")})});
    ASSERT_TAKEN(taken);
    EXPECT_EQ(remarkOn(*taken.study, 0), "slept; woken twice");
    EXPECT_EQ(remarkOn(*taken.study, 1), "as it is");
    EXPECT_THAT(taken.problems, HasProblem(Severity::note, "lab.csv",
                                           "line breaks of a remark became blanks in 1 row (row 2)"));
}

TEST(TakeIn, TwoFilesAreJoinedAndCounted) {
    Mapping m = longMapping(plainColumns);
    TableMapping second = m.tables[0];
    second.source = 2;
    second.columns[3].header = second.columns[3].analyte = "insulin";
    second.columns[3].unit = "µIU/mL";
    m.tables.push_back(second);
    const auto taken =
        take(m, {tableOf("glc.csv", "subject,food,time,glucose\n1,drink,0,4.5\n1,drink,30,8.25\n"),
                 tableOf("ins.csv", "subject,food,time,insulin\n1,drink,30,20\n1,drink,60,10\n", ',', 2)});
    ASSERT_TAKEN(taken);
    ASSERT_EQ(taken.study->draws.size(), 3u);
    EXPECT_EQ(taken.study->concentrations[0], (std::vector<std::optional<double>>{4.5, 8.25, std::nullopt}));
    // 1 µIU/mL = 6.00 pmol/L
    EXPECT_EQ(taken.study->concentrations[1],
              (std::vector<std::optional<double>>{std::nullopt, 120.0, 60.0}));
    EXPECT_THAT(taken.problems, HasProblem(Severity::note, "", "1 draws of several rows"));
    EXPECT_THAT(taken.problems, HasProblem(Severity::warning, "glc.csv",
                                           "1 draws stand in this table only; insulin is missing"));
    EXPECT_THAT(taken.problems, HasProblem(Severity::warning, "ins.csv",
                                           "1 draws stand in this table only; glucose is missing"));
    EXPECT_THAT(taken.problems, HasProblem(Severity::note, "ins.csv", "from µIU/mL to pmol/L: × 6"));
}

TEST(TakeIn, TwoValuesForOneDrawBlock) {
    const auto taken =
        take(longMapping(plainColumns),
             {tableOf("lab.csv", "subject,food,time,glucose\n1,drink,0,4.5\n1,drink,0,4.6\n")});
    EXPECT_FALSE(taken.study);
    EXPECT_THAT(taken.problems, HasProblem(Severity::error, "lab.csv:3",
                                           "(lab.csv:2 and this) differ in glucose: 4.5 and 4.6"));
    EXPECT_THAT(taken.problems, HasProblem(Severity::error, "lab.csv:3", "replicate for assay duplicates"));
}

TEST(TakeIn, ValueAgainstLimitIsAContradictionAndSameValueIsNot) {
    EXPECT_FALSE(take(longMapping(plainColumns),
                      {tableOf("lab.csv", "subject,food,time,glucose\n1,drink,0,4.5\n1,drink,0,<2\n")})
                     .study);
    const auto same = take(longMapping(plainColumns),
                           {tableOf("lab.csv", "subject,food,time,glucose\n1,drink,0,<2\n1,drink,0,<2\n")});
    ASSERT_TAKEN(same);
    EXPECT_EQ(same.study->draws.size(), 1u);
    EXPECT_EQ(same.study->belowLimit, (std::vector<BelowLimit>{{0, 0, 2.0}}));
    EXPECT_THAT(same.problems, HasProblem(Severity::warning, "", "1 concentrations stand twice"));
}

TEST(TakeIn, ReplicatesAreKeptApart) {
    auto columns = plainColumns;
    columns.emplace_back("rep", ColumnRole::replicate);
    const auto taken =
        take(longMapping(columns),
             {tableOf("lab.csv",
                      "subject,food,time,glucose,rep\n1,drink,0,4.5,1\n1,drink,0,4.6,2\n1,drink,0,4.7,c\n")});
    ASSERT_TAKEN(taken);
    EXPECT_EQ(taken.study->replicate, (std::vector<std::int32_t>{1, 2, 3}));
    EXPECT_EQ(taken.study->concentrations[0], (std::vector<std::optional<double>>{4.5, 4.6, 4.7}));
}

TEST(TakeIn, UnreadableCellsBlockWithPlaceAndColumn) {
    const auto taken = take(longMapping(plainColumns), {tableOf("lab.csv",
                                                                "subject,food,time,glucose\n"
                                                                "1,drink,0,QNS\n"
                                                                "1,drink,15,-4\n"
                                                                "1,drink,30,>33\n"
                                                                "1,tea,45,5\n"
                                                                "1,drink,soon,5\n"
                                                                ",drink,60,5\n"
                                                                "1,drink,,5\n"
                                                                "1,tea,90,5\n")});
    EXPECT_FALSE(taken.study);
    EXPECT_THAT(taken.problems, HasProblem(Severity::error, "lab.csv:2",
                                           "'QNS' is not a number; mend it in the file, or add"));
    EXPECT_THAT(taken.problems, HasProblem(Severity::error, "lab.csv:3", "'-4' is negative"));
    EXPECT_THAT(taken.problems, HasProblem(Severity::error, "lab.csv:4", "'>33' lies above"));
    EXPECT_THAT(taken.problems, HasProblem(Severity::error, "lab.csv:5",
                                           "the food 'tea' is not in the mapping: 2 rows (rows 5, 9)"));
    EXPECT_THAT(taken.problems, HasProblem(Severity::error, "lab.csv:6", "'soon' is no time"));
    EXPECT_THAT(taken.problems, HasProblem(Severity::error, "lab.csv:7", "no subject"));
    EXPECT_THAT(taken.problems, HasProblem(Severity::error, "lab.csv:8", "no time"));
    const auto qns = std::find_if(taken.problems.begin(), taken.problems.end(),
                                  [](const Problem& p) { return p.row == 2; });
    ASSERT_NE(qns, taken.problems.end());
    EXPECT_EQ(qns->column, "glucose");
}

TEST(TakeIn, MissingWordAndLimitTextUnblock) {
    Mapping m = longMapping(plainColumns);
    m.missingWords.emplace_back("QNS");
    m.limitTexts.push_back({"n.d.", "glucose", 1.5});
    const auto taken =
        take(m, {tableOf("lab.csv", "subject,food,time,glucose\n1,drink,0,QNS\n1,drink,15,n.d.\n")});
    ASSERT_TAKEN(taken);
    EXPECT_EQ(taken.study->belowLimit, (std::vector<BelowLimit>{{1, 0, 1.5}}));
    EXPECT_THAT(taken.problems, HasProblem(Severity::note, "lab.csv", "limit_texts"));
}

TEST(TakeIn, DecimalCommaIsReadByDialectOnly) {
    Mapping m = longMapping(plainColumns);
    m.tables[0].dialect = {"utf-8", ';', ','};
    const auto taken =
        take(m, {tableOf("lab.csv", "subject;food;time;glucose\n1;drink;-2,5;4,5\n1;drink;15;< 2,0\n", ';')});
    ASSERT_TAKEN(taken);
    EXPECT_EQ(taken.study->draws[0].timeMin, -2.5);
    EXPECT_EQ(taken.study->concentrations[0][0], 4.5);
    EXPECT_EQ(taken.study->belowLimit[0].limit, 2.0);
    const auto point = take(m, {tableOf("lab.csv", "subject;food;time;glucose\n1;drink;0;1.234\n", ';')});
    EXPECT_FALSE(point.study);
    EXPECT_THAT(point.problems, HasProblem(Severity::error, "lab.csv:2", "has a point where"));
}

TEST(TakeIn, CodesKeepTheirPaddingUnlessAsked) {
    const std::string text = "subject,food,time,glucose\n01,drink,0,4\n1,drink,0,5\n";
    const auto kept = take(longMapping(plainColumns), {tableOf("lab.csv", text)});
    ASSERT_TAKEN(kept);
    ASSERT_EQ(kept.study->subjects.size(), 2u);
    EXPECT_EQ(kept.study->subjects[0].id, "01");
    EXPECT_EQ(kept.study->subjects[1].id, "1");
    EXPECT_THAT(kept.problems, HasProblem(Severity::warning, "", "'01' and '1' are kept as two subjects"));
    Mapping m = longMapping(plainColumns);
    m.subjectDigits = 2;
    const auto padded =
        take(m, {tableOf("lab.csv", "subject,food,time,glucose\n01,drink,0,4\n1,drink,15,5\n")});
    ASSERT_TAKEN(padded);
    ASSERT_EQ(padded.study->subjects.size(), 1u);
    EXPECT_THAT(padded.problems, HasProblem(Severity::note, "lab.csv",
                                            "zeros were put before the subject's code in 1 row (row 3)"));
}

TEST(TakeIn, WorkbookCellsAreReadByKind) {
    const auto number = [](std::string text, double value) {
        return MemoryCell{CellKind::number, std::move(text), value};
    };
    Mapping m = longMapping(plainColumns);
    m.tables[0].sheet = "Lab";
    const auto taken =
        take(m, {memoryTable("lab.xlsx",
                             {{textCell("subject"), textCell("food"), textCell("time"), textCell("glucose")},
                              {number("1", 1.0), textCell("drink"), number("0", 0.0), number("4.5", 4.5)},
                              {number("1", 1.0),
                               textCell("drink"),
                               {CellKind::duration, "[01]:30:00", 0.0625},
                               textCell("4.75")}},
                             "Lab")});
    ASSERT_TAKEN(taken);
    EXPECT_EQ(taken.study->subjects[0].id, "1");
    EXPECT_DOUBLE_EQ(taken.study->draws[1].timeMin, 90.0);
    EXPECT_EQ(taken.study->concentrations[0][1], 4.75);
    const auto bad = take(
        m, {memoryTable(
               "lab.xlsx",
               {{textCell("subject"), textCell("food"), textCell("time"), textCell("glucose")},
                {number("1", 1.0), textCell("drink"), number("0", 0.0), {CellKind::error, "#DIV/0!", 0.0}}},
               "Lab")});
    EXPECT_THAT(bad.problems, HasProblem(Severity::error, "lab.xlsx [Lab]:2", "'#DIV/0!' is an error value"));
}

TEST(TakeIn, DilutionAsTheMappingSays) {
    auto columns = plainColumns;
    columns.emplace_back("dilution", ColumnRole::dilution);
    const std::string text =
        "subject,food,time,glucose,dilution\n1,drink,0,4,1\n1,drink,15,4,2\n1,drink,30,<1,10\n1,drink,45,4,"
        "\n";
    Mapping m = longMapping(columns);
    EXPECT_THAT(take(m, {tableOf("lab.csv", text)}).problems,
                HasProblem(Severity::error, "", "already-applied or multiply"));
    m.dilution = DilutionRule::multiply;
    const auto times = take(m, {tableOf("lab.csv", text)});
    ASSERT_TAKEN(times);
    EXPECT_EQ(times.study->concentrations[0],
              (std::vector<std::optional<double>>{4.0, 8.0, std::nullopt, 4.0}));
    EXPECT_EQ(times.study->belowLimit[0].limit, 10.0);
    EXPECT_THAT(times.problems,
                HasProblem(Severity::note, "lab.csv", "multiplied by the dilution in 2 rows (rows 3, 4)"));
    EXPECT_THAT(times.problems, HasProblem(Severity::warning, "lab.csv", "no dilution is given"));
    m.dilution = DilutionRule::alreadyApplied;
    const auto kept = take(m, {tableOf("lab.csv", text)});
    ASSERT_TAKEN(kept);
    EXPECT_EQ(kept.study->concentrations[0][1], 4.0);
}

TEST(TakeIn, SkippedRowsAreCounted) {
    Mapping m = longMapping(plainColumns);
    m.skipRowsNamed = {"Mean"};
    const auto taken = take(m, {tableOf("lab.csv",
                                        "subject,food,time,glucose\n"
                                        "# second batch,,,\n"
                                        "1,drink,0,4\n"
                                        ",,, \n"
                                        "Mean,,,4\n"
                                        "1,drink,,\n")});
    ASSERT_TAKEN(taken);
    EXPECT_EQ(taken.study->draws.size(), 1u);
    EXPECT_THAT(taken.problems, HasProblem(Severity::note, "lab.csv", "begin with '#': 1 row (row 2)"));
    EXPECT_THAT(taken.problems, HasProblem(Severity::note, "lab.csv", "every cell is empty: 1 row (row 4)"));
    EXPECT_THAT(taken.problems,
                HasProblem(Severity::note, "lab.csv", "skip_rows_named names them: 1 row (row 5)"));
    EXPECT_THAT(taken.problems, HasProblem(Severity::note, "lab.csv", "no value: 1 row (row 6)"));
}

TEST(TakeIn, FillDownAndLastRow) {
    Mapping m = longMapping(plainColumns);
    m.tables[0].fillDown = true;
    m.tables[0].lastRow = 4;
    const auto taken = take(
        m,
        {tableOf("lab.csv", "subject,food,time,glucose\n1,drink,0,4\n,,15,5\n2,barley,0,6\nfoot note,,,\n")});
    ASSERT_TAKEN(taken);
    ASSERT_EQ(taken.study->draws.size(), 3u);
    EXPECT_EQ(taken.study->draws[1].subject, 0u);
    EXPECT_EQ(taken.study->draws[1].timeMin, 15.0);
    EXPECT_THAT(taken.problems, HasProblem(Severity::note, "lab.csv", "from the row above in 1 row (row 3)"));
}

TEST(TakeIn, VisitFactsBecomeRecordsAndPeriods) {
    Mapping m = longMapping({{"subject", ColumnRole::subject},
                             {"food", ColumnRole::food},
                             {"visit", ColumnRole::visit},
                             {"date", ColumnRole::date},
                             {"time", ColumnRole::time},
                             {"glucose", ColumnRole::analyte},
                             {"note", ColumnRole::remark}});
    TableMapping visits;
    visits.source = 2;
    visits.layout = Layout::visits;
    visits.columns = {{1, "subject", ColumnRole::subject, "", "", {}, "", "", 0},
                      {2, "food", ColumnRole::food, "", "", {}, "", "", 0},
                      {3, "visit", ColumnRole::visit, "", "", {}, "", "", 0},
                      {4, "period", ColumnRole::period, "", "", {}, "", "", 0},
                      {5, "note", ColumnRole::remark, "", "", {}, "", "", 0}};
    m.tables.push_back(visits);
    TableMapping people;
    people.source = 3;
    people.layout = Layout::subjects;
    people.columns = {{1, "subject", ColumnRole::subject, "", "", {}, "", "", 0},
                      {2, "sex", ColumnRole::sex, "", "", {}, "", "", 0},
                      {3, "age", ColumnRole::age, "", "", {}, "", "", 0}};
    m.tables.push_back(people);
    m.dateOrder = DateOrder::dayMonth;
    const std::vector tables{
        tableOf("lab.csv",
                "subject,food,visit,date,time,glucose,note\n1,drink,V2,02/03/2026,0,4,\n1,drink,V2,02/03/"
                "2026,15,5,haemolysed\n"),
        tableOf("visits.csv", "subject,food,visit,period,note\n1,drink,2,1,late\n", ',', 2),
        tableOf("people.csv", "subject,sex,age\n1,f,31\n", ',', 3)};
    const auto taken = takeIn(tables, m);
    ASSERT_TAKEN(taken);
    EXPECT_EQ(taken.study->visits, (std::vector<VisitRecord>{{0, 0, 2, 1, "2026-03-02", "", "late", 2}}));
    EXPECT_EQ(taken.study->visitsFile, "visits.csv");
    EXPECT_EQ(taken.study->draws[1].period, 1);
    EXPECT_EQ(taken.study->draws[1].visit, 2);
    EXPECT_EQ(taken.study->remarks, (std::vector<DrawRemark>{{1, "haemolysed"}}));
    EXPECT_EQ(taken.study->subjectsFile, "subjects.csv");
    EXPECT_EQ(taken.study->subjects[0].sex, "f");
    EXPECT_EQ(taken.study->subjects[0].ageY, 31.0);
    m.dateOrder.reset();
    EXPECT_THAT(takeIn(tables, m).problems, HasProblem(Severity::error, "lab.csv:2", "set date_order"));
}

TEST(TakeIn, StopsWhenToldAndGivesNoStudy) {
    const std::vector tables{tableOf("lab.csv", "subject,food,time,glucose\n1,drink,0,4\n")};
    const auto taken = takeIn(tables, longMapping(plainColumns), {}, [](double) { return false; });
    EXPECT_TRUE(taken.stopped);
    EXPECT_FALSE(taken.study);
    TakeInOptions one;
    one.draws = 1;
    const auto few =
        takeIn(std::vector{tableOf("lab.csv", "subject,food,time,glucose\n1,drink,0,4\n1,drink,5,4\n")},
               longMapping(plainColumns), one);
    EXPECT_FALSE(few.study);
    EXPECT_THAT(few.problems, HasProblem(Severity::error, "lab.csv:3", "more than 1 draws"));
}

}  // namespace
}  // namespace aftercurve
