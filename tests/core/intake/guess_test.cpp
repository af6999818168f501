// What is guessed, why, and what is asked. All tables are invented.
#include "core/intake/guess.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/intake/take_in.h"
#include "tests/core/files/problem_matchers.h"
#include "tests/support/memory_table.h"

namespace aftercurve {
namespace {

using test::tableOf;
using testing::HasSubstr;
using testing::IsEmpty;

std::vector<std::string> asked(const GuessedMapping& guessed) {
    std::vector<std::string> texts;
    for (const Question& question : guessed.questions) {
        texts.push_back(sentenceFor(question));
    }
    return texts;
}

std::vector<std::string> said(const GuessedMapping& guessed) {
    std::vector<std::string> texts;
    for (const GuessedItem& item : guessed.items) {
        texts.push_back(sentenceFor(item));
    }
    return texts;
}

GuessedMapping guess(std::vector<InputTable> tables) {
    return guessMapping(tables);
}

TEST(Guess, SaysWhatItReadAndWhy) {
    const auto guessed = guess({tableOf("lab.csv",
                                        "Subject,Test meal,Time (min),Glc mmol/l\n"
                                        "01,Reference,0,4.5\n01,Barley,0,4.7\n")});
    EXPECT_THAT(asked(guessed), IsEmpty());
    EXPECT_THAT(
        said(guessed),
        testing::Contains(
            "tables[0].columns[3]: column 4 'Glc mmol/l' of lab.csv is glucose in mmol/L, because the "
            "header says 'glc' (sure)"));
    EXPECT_THAT(said(guessed), testing::Contains(HasSubstr("'Reference' is the reference")));
    EXPECT_THAT(said(guessed), testing::Contains(HasSubstr("'Barley' is a test food")));
    EXPECT_EQ(guessed.mapping.tables[0].layout, Layout::longRows);
}

TEST(Guess, ValuesNeverOverrideTheHeader) {
    const auto guessed = guess({tableOf("lab.csv",
                                        "subject,food,time,glucose mmol/L\n"
                                        "01,ref,0,90\n01,ref,15,95\n01,ref,30,140\n")});
    ASSERT_EQ(guessed.questions.size(), 1u);
    EXPECT_EQ(guessed.questions[0].key, "analytes[0].file_unit");
    EXPECT_THAT(guessed.questions[0].ask, HasSubstr("says mmol/L; the median 95 fits mg/dL"));
    EXPECT_EQ(guessed.questions[0].answers, (std::vector<std::string>{"mmol/L", "mg/dL"}));
    EXPECT_EQ(guessed.mapping.tables[0].columns[3].unit, "");
    // Answered, it is taken in as answered.
    Mapping m = guessed.mapping;
    m.analytes[0].fileUnit = "mg/dL";
    const auto taken =
        takeIn(std::vector{tableOf("lab.csv", "subject,food,time,glucose mmol/L\n01,ref,0,90\n")}, m);
    ASSERT_TRUE(taken.study) << linesOf(taken.problems);
    EXPECT_EQ(taken.study->analytes[0].unit, "mg/dL");
    EXPECT_EQ(taken.study->concentrations[0][0], 90.0);
}

TEST(Guess, AsksForAUnitThatNoHeaderGives) {
    const auto guessed =
        guess({tableOf("lab.csv", "subject,food,time,glucose,insulin (mU/L)\n01,ref,0,5.1,900\n")});
    EXPECT_THAT(
        asked(guessed),
        testing::UnorderedElementsAre(
            AllOf(HasSubstr("analytes[0].file_unit"), HasSubstr("the median 5.1 fits mmol/L")),
            AllOf(HasSubstr("analytes[1].file_unit"), HasSubstr("says µIU/mL"), HasSubstr("fits pmol/L"))));
    EXPECT_THAT(takeIn(std::vector{tableOf("lab.csv",
                                           "subject,food,time,glucose,insulin (mU/L)\n01,ref,0,5.1,900\n")},
                       guessed.mapping)
                    .problems,
                HasProblem(Severity::error, "",
                           "set file_unit to the unit of the values in the file: mmol/L, mg/dL"));
}

TEST(Guess, FindsTheHeaderBelowTitlesAndUnitsBelowTheHeader) {
    const auto guessed = guess({tableOf("lab.csv",
                                        "Invented college laboratory;;;\n"
                                        "Glucose results, March;;;\n"
                                        ";;;\n"
                                        "# printed twice;;;\n"
                                        "Proband;Mahlzeit;Zeit;Wert\n"
                                        ";;min;mg/dl\n"
                                        "01;ref;0;90\n",
                                        ';')});
    EXPECT_THAT(asked(guessed), IsEmpty());
    const TableMapping& how = guessed.mapping.tables[0];
    EXPECT_EQ(how.headerRow, 5u);
    EXPECT_EQ(how.firstRow, 7u);
    EXPECT_EQ(how.analyte, "glucose");
    EXPECT_EQ(how.columns[3].unit, "mg/dL");
}

TEST(Guess, TwoHeaderRowsWithMergedHeadings) {
    // In a workbook each cell of a merged region repeats its value; in a text the others are empty.
    for (const std::string upper :
         {"Subject,Food,Glucose (mmol/L),Glucose (mmol/L),Glucose (mmol/L),Insulin pmol/L,Insulin pmol/L\n",
          ",,Glucose (mmol/L),,,Insulin pmol/L,\n"}) {
        const std::vector tables{
            tableOf("lab.csv", upper + "Subject,Food,-5,0,30,0,30\n01,ref,4.5,4.6,8,30,200\n")};
        const auto guessed = guessMapping(tables);
        EXPECT_THAT(asked(guessed), IsEmpty());
        EXPECT_EQ(guessed.mapping.tables[0].headerRows, 2u);
        EXPECT_EQ(guessed.mapping.tables[0].layout, Layout::wideByTime);
        const auto taken = takeIn(tables, guessed.mapping);
        ASSERT_TRUE(taken.study) << linesOf(taken.problems);
        ASSERT_EQ(taken.study->draws.size(), 3u);
        EXPECT_EQ(taken.study->draws[0].timeMin, -5.0);
        EXPECT_EQ(taken.study->concentrations[0], (std::vector<std::optional<double>>{4.5, 4.6, 8.0}));
        EXPECT_EQ(taken.study->concentrations[1],
                  (std::vector<std::optional<double>>{std::nullopt, 30.0, 200.0}));
    }
}

TEST(Guess, FoodAndAnalyteBySheetAndFile) {
    const auto sheets =
        guess({tableOf("lab.xlsx", "subject,time,glucose mmol/L\n1,0,4\n", ',', 1, "Reference"),
               tableOf("lab.xlsx", "subject,time,glucose mmol/L\n1,0,5\n", ',', 1, "Barley")});
    EXPECT_THAT(asked(sheets), IsEmpty());
    EXPECT_EQ(sheets.mapping.tables[1].foodFrom, Origin::sheet);
    EXPECT_EQ(sheets.mapping.foods[1].id, "Barley");
    const auto files =
        guess({tableOf("insulin.csv", "subject,food,0 min,30 min,60 min\n1,ref,30,40,50\n1,tea,20,30,70\n")});
    EXPECT_EQ(files.mapping.tables[0].analyte, "insulin");
    const auto none = guess({tableOf("lab.csv", "subject,time,glucose mmol/L\n1,0,4\n")});
    EXPECT_THAT(asked(none),
                testing::Contains(HasSubstr("tables[0].food: Which food was eaten in lab.csv?")));
}

TEST(Guess, ASheetOfAFoodThatNamesAnAnalyteIsAFoodBesideOtherFoods) {
    const std::string rows = "subject,time,glucose mmol/L\n1,0,4\n";
    const auto foods = guess(
        {tableOf("lab.xlsx", rows, ',', 1, "Glucose drink"), tableOf("lab.xlsx", rows, ',', 1, "Rye bread")});
    EXPECT_THAT(asked(foods), IsEmpty());
    ASSERT_EQ(foods.mapping.foods.size(), 2u);
    EXPECT_EQ(foods.mapping.foods[0].label, "Glucose drink");
    EXPECT_EQ(foods.mapping.foods[0].role, FoodRole::reference);
    // One word, or no other sheet that is named by its food: it is asked.
    const auto oneWord =
        guess({tableOf("lab.xlsx", rows, ',', 1, "Glucose"), tableOf("lab.xlsx", rows, ',', 1, "Rye bread")});
    EXPECT_THAT(asked(oneWord), testing::Contains(HasSubstr("tables[0].food: Which food was eaten")));
    const auto alone = guess({tableOf("lab.xlsx", rows, ',', 1, "Plasma glucose")});
    EXPECT_THAT(asked(alone), testing::Contains(HasSubstr("tables[0].food: Which food was eaten")));
}

TEST(Guess, HeadersThatStandAgainAreNoData) {
    const auto guessed = guess({tableOf("lab.csv",
                                        "subject,food,time,glucose mmol/L\n1,ref,0,4\n"
                                        "subject,food,time,glucose mmol/L\n2,oats,0,4.5\n")});
    EXPECT_THAT(asked(guessed), IsEmpty());
    ASSERT_EQ(guessed.mapping.foods.size(), 2u);
    EXPECT_EQ(guessed.mapping.foods[1].id, "oats");
}

TEST(Guess, AsksForDatesThatReadBothWays) {
    const std::string head = "subject,food,date,time,glucose mmol/L\n";
    EXPECT_THAT(asked(guess({tableOf("lab.csv", head + "1,ref,02/03/2026,0,4\n")})),
                testing::ElementsAre(
                    HasSubstr("date_order: Are dates written day first or month first? '02/03/2026'")));
    EXPECT_EQ(
        guess({tableOf("lab.csv", head + "1,ref,02/03/2026,0,4\n1,ref,13/03/2026,5,4\n")}).mapping.dateOrder,
        DateOrder::dayMonth);
    EXPECT_EQ(guess({tableOf("lab.csv", head + "1,ref,03/13/2026,0,4\n")}).mapping.dateOrder,
              DateOrder::monthDay);
    EXPECT_EQ(guess({tableOf("lab.csv", head + "1,ref,2.3.2026,0,4\n")}).mapping.dateOrder,
              DateOrder::dayMonth);
    EXPECT_FALSE(guess({tableOf("lab.csv", head + "1,ref,2026-03-02,0,4\n")}).mapping.dateOrder);
    EXPECT_EQ(
        asked(guess({tableOf("lab.csv", head + "1,ref,13/03/2026,0,4\n1,ref,03/13/2026,5,4\n")})).size(), 1u);
}

TEST(Guess, AsksForTheReferenceWhereNoNameTellsIt) {
    const auto guessed = guess({tableOf("lab.csv", "subject,food,time,glucose mmol/L\n1,A,0,4\n1,B,0,5\n")});
    EXPECT_THAT(asked(guessed), testing::ElementsAre(HasSubstr("foods[0].role: What is the food 'A'"),
                                                     HasSubstr("foods[1].role: What is the food 'B'")));
    EXPECT_FALSE(guessed.mapping.foods[0].role);
}

TEST(Guess, SpellingsThatDifferInCapitalsAreOneFood) {
    const auto guessed = guess({tableOf(
        "lab.csv", "subject,food,time,glucose mmol/L\n1,Ref,0,4\n2,Barley Bun,0,5\n3,barley bun,0,5\n")});
    ASSERT_EQ(guessed.mapping.foods.size(), 2u);
    EXPECT_EQ(guessed.mapping.foods[1].id, "barley-bun");
    EXPECT_EQ(guessed.mapping.foods[1].texts, (std::vector<std::string>{"Barley Bun", "barley bun"}));
    EXPECT_THAT(said(guessed), testing::Contains(HasSubstr("'barley bun' is the food 'barley-bun'")));
}

TEST(Guess, AsksWhatOddCellsMean) {
    const auto guessed = guess({tableOf("lab.csv",
                                        "subject,food,time,glucose mmol/L,dilution\n"
                                        "1,ref,fasting,n.d.,2\n01,ref,0,QNS,1\n01,ref,15,-,1\n"
                                        "Mean,ref,0,4.5,1\n")});
    EXPECT_THAT(asked(guessed), testing::UnorderedElementsAre(
                                    AllOf(HasSubstr("dilution"), HasSubstr("already multiplied")),
                                    HasSubstr("subject_digits: Are '01' and '1' one subject?"),
                                    HasSubstr("time_texts[0].minutes: Which time is 'fasting' (lab.csv:2)"),
                                    HasSubstr("limit_texts[0].limit: 'n.d.' (lab.csv:2)"),
                                    HasSubstr("missing_words: 'QNS' (1 cells, first lab.csv:3)")));
    EXPECT_EQ(guessed.mapping.skipRowsNamed, std::vector<std::string>{"Mean"});
    EXPECT_FALSE(guessed.mapping.subjectDigits);
    EXPECT_FALSE(guessed.mapping.limitTexts[0].limit);
}

TEST(Guess, PersonalColumnsAreLeftOut) {
    const std::vector tables{tableOf(
        "lab.csv", "subject,surname,date of birth,food,time,glucose mmol/L\n1,X,2000-01-01,ref,0,4\n")};
    const auto guessed = guessMapping(tables);
    EXPECT_EQ(guessed.mapping.tables[0].columns[1].role, ColumnRole::ignore);
    EXPECT_EQ(guessed.mapping.tables[0].columns[2].role, ColumnRole::ignore);
    const auto taken = takeIn(tables, guessed.mapping);
    ASSERT_TRUE(taken.study) << linesOf(taken.problems);
    EXPECT_THAT(taken.problems, HasProblem(Severity::warning, "lab.csv:1",
                                           "'surname' looks as if it identified people; it is not read"));
    EXPECT_THAT(taken.problems, HasProblem(Severity::warning, "lab.csv:1", "'date of birth'"));
}

TEST(Guess, TablesWithoutDrawsAreNotUsed) {
    const auto guessed =
        guess({tableOf("notes.csv", "buy more tubes\nand labels\n"), tableOf("empty.csv", "", ',', 2)});
    EXPECT_FALSE(guessed.mapping.tables[0].use);
    EXPECT_FALSE(guessed.mapping.tables[1].use);
    EXPECT_THAT(takeIn(std::vector{tableOf("notes.csv", "buy more tubes\n")}, guessed.mapping).problems,
                HasProblem(Severity::error, "", "no table with concentrations is used"));
}

TEST(Guess, HyphensAsDashesAndReplicateColumns) {
    const auto dashes =
        guess({tableOf("lab.csv", "subject,food,glucose-0,glucose-30,glucose-60\n1,ref,4,5,6\n")});
    EXPECT_EQ(dashes.mapping.tables[0].columns[3].timeMin, 30.0);
    const auto minus =
        guess({tableOf("lab.csv", "subject,food,glucose-10,glucose 0,glucose 30\n1,ref,4,5,6\n")});
    EXPECT_EQ(minus.mapping.tables[0].columns[2].timeMin, -10.0);
    const auto duplicates =
        guess({tableOf("lab.csv", "subject,food,time,glucose 1,glucose 2\n1,ref,0,4,5\n")});
    EXPECT_EQ(duplicates.mapping.tables[0].columns[4].replicate, 2);
}

TEST(Guess, ReadFailureIsReportedAndNotUsed) {
    InputTable broken = tableOf("bad.csv", "subject,food\n");
    broken.visit = [](const TextDialect&, const RowVisitor&, const ShareDone&) -> Result<Done> {
        Problem problem;
        problem.what = "the quote in line 3 is never closed";
        return problem;
    };
    const auto guessed = guess({broken});
    EXPECT_FALSE(guessed.mapping.tables[0].use);
    ASSERT_EQ(guessed.problems.size(), 1u);
    EXPECT_EQ(guessed.problems[0].what, "the quote in line 3 is never closed");
}

}  // namespace
}  // namespace aftercurve
