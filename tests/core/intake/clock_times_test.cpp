// Times of day turned into minutes from the meal. Expected minutes are counted by hand.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/intake/guess.h"
#include "core/intake/take_in.h"
#include "tests/core/files/problem_matchers.h"
#include "tests/support/memory_table.h"

namespace aftercurve {
namespace {

using test::MemoryCell;
using test::memoryTable;
using test::tableOf;
using test::textCell;

TakenIn guessedAndTaken(const std::vector<InputTable>& tables) {
    const GuessedMapping guessed = guessMapping(tables);
    std::string asked;
    for (const Question& question : guessed.questions) {
        asked += sentenceFor(question) + "\n";
    }
    EXPECT_EQ(asked, "");
    return takeIn(tables, guessed.mapping);
}

std::vector<double> timesOf(const TakenIn& taken) {
    std::vector<double> times;
    for (const Draw& draw : taken.study ? taken.study->draws : std::vector<Draw>{}) {
        times.push_back(draw.timeMin);
    }
    return times;
}

TEST(ClockTimes, FromTheMealStartColumnAcrossMidnight) {
    const auto taken = guessedAndTaken({tableOf("lab.csv",
                                                "subject,food,meal start,clock time,glucose (mmol/L)\n"
                                                "1,reference,23:50,23:45,4.5\n"
                                                "1,reference,23:50,23:50,4.5\n"
                                                "1,reference,23:50,0:20,8\n"
                                                "1,reference,23:50,01:50:30,5\n")});
    ASSERT_TRUE(taken.study) << linesOf(taken.problems);
    EXPECT_EQ(timesOf(taken), (std::vector<double>{-5.0, 0.0, 30.0, 120.5}));
    ASSERT_EQ(taken.study->visits.size(), 1u);
    EXPECT_EQ(taken.study->visits[0].mealStart, "23:50");
    EXPECT_TRUE(taken.study->nominalMin.empty());
}

TEST(ClockTimes, FromTheRowWithNominalTimeZero) {
    const auto taken = guessedAndTaken({tableOf("lab.csv",
                                                "subject,food,nominal time,clock time,glucose (mmol/L)\n"
                                                "1,reference,-5,07:54,4.5\n"
                                                "1,reference,0,08:00,4.5\n"
                                                "1,reference,30,08:31,8\n"
                                                "2,reference,0,09:00,4\n"
                                                "2,reference,30,,7\n")});
    ASSERT_TRUE(taken.study) << linesOf(taken.problems);
    EXPECT_EQ(timesOf(taken), (std::vector<double>{-6.0, 0.0, 31.0, 0.0, 30.0}));
    EXPECT_EQ(taken.study->nominalMin, (std::vector<std::optional<double>>{-5.0, 0.0, 30.0, 0.0, 30.0}));
    EXPECT_EQ(taken.study->visits[0].mealStart, "08:00");
    EXPECT_THAT(taken.problems,
                HasProblem(Severity::warning, "lab.csv", "the nominal one stands for it in 1 row (row 6)"));
}

TEST(ClockTimes, MinutesBesideTimesOfDayAreNominal) {
    const auto taken = guessedAndTaken({tableOf("lab.csv",
                                                "subject,food,time (min),Uhrzeit,glucose (mmol/L)\n"
                                                "1,reference,0,08:00,4.5\n"
                                                "1,reference,1440,08:10,5\n")});
    ASSERT_TRUE(taken.study) << linesOf(taken.problems);
    // The nominal day later: 24 h and 10 min.
    EXPECT_EQ(timesOf(taken), (std::vector<double>{0.0, 1450.0}));
}

TEST(ClockTimes, WorkbookClockCellsAreExactToTheSecond) {
    const auto clock = [](double hours, std::string text) {
        return MemoryCell{CellKind::clock, std::move(text), hours / 24.0};
    };
    const auto taken = guessedAndTaken(
        {memoryTable("lab.xlsx",
                     {{textCell("subject"), textCell("food"), textCell("meal start"), textCell("clock time"),
                       textCell("glucose mmol/L")},
                      {textCell("1"), textCell("reference"), clock(8.0 + 1.0 / 12.0, "08:05:00"),
                       clock(8.25, "08:15:00"), textCell("5")}},
                     "Lab")});
    ASSERT_TRUE(taken.study) << linesOf(taken.problems);
    EXPECT_EQ(timesOf(taken), (std::vector<double>{10.0}));
}

TEST(ClockTimes, WithoutAStartTheVisitIsNamed) {
    const std::vector tables{tableOf("lab.csv",
                                     "subject,food,meal start,clock time,glucose (mmol/L)\n"
                                     "1,reference,08:00,08:05,4.5\n"
                                     "7,reference,,08:05,4.5\n")};
    const auto taken = takeIn(tables, guessMapping(tables).mapping);
    EXPECT_FALSE(taken.study);
    EXPECT_THAT(taken.problems, HasProblem(Severity::error, "lab.csv:3", "no start of the meal"));
    const std::vector two{tableOf("lab.csv",
                                  "subject,food,meal start,clock time,glucose (mmol/L)\n"
                                  "1,reference,08:00,08:05,4.5\n"
                                  "1,reference,08:10,08:15,4.5\n")};
    EXPECT_THAT(takeIn(two, guessMapping(two).mapping).problems,
                HasProblem(Severity::error, "lab.csv:3", "starts at 08:00 in another row and at 08:10 here"));
}

}  // namespace
}  // namespace aftercurve
