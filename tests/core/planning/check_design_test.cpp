#include "core/planning/check_design.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/planning/given_schedule.h"

namespace aftercurve {

namespace {

using testing::AllOf;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

DesignCheck checked(const std::string& text) {
    const GivenReading reading = readSchedule(text, "plan.csv");
    EXPECT_TRUE(reading.schedule) << (reading.problems.empty() ? "" : reading.problems[0].what);
    return reading.schedule ? checkDesign(*reading.schedule) : DesignCheck{};
}

std::string refusal(const std::string& text) {
    const GivenReading reading = readSchedule(text, "plan.csv");
    EXPECT_FALSE(reading.schedule) << text;
    for (const Problem& problem : reading.problems) {
        if (problem.severity == Severity::error) {
            return problem.what;
        }
    }
    return {};
}

constexpr const char* williamsOfThree =
    "subject,period_1,period_2,period_3\n"
    "1,A,B,C\n2,B,C,A\n3,C,A,B\n4,C,B,A\n5,A,C,B\n6,B,A,C\n";

}  // namespace

// Counted by hand: each of three foods twice in each period, each of six ordered pairs twice.
TEST(CheckDesign, WilliamsSquaresOfThree) {
    const DesignCheck check = checked(williamsOfThree);
    EXPECT_THAT(check.findings, IsEmpty());
    EXPECT_TRUE(check.all.periodsBalanced && check.all.carryOverBalanced && check.all.sequencesBalanced);
    for (const auto& row : check.all.foodInPeriod) {
        EXPECT_THAT(row, ElementsAre(2U, 2U, 2U));
    }
    EXPECT_THAT(check.all.follows[0], ElementsAre(0U, 2U, 2U));
    EXPECT_EQ(check.all.sequences.size(), 6U);
    EXPECT_THAT(textOf(check),
                AllOf(HasSubstr("6 subjects; foods over periods balanced, carry-over balanced"),
                      HasSubstr("period 3"), HasSubstr("after C"), HasSubstr("A B C\t1")));
}

// A cyclic square: B always after A, never before it.
TEST(CheckDesign, CyclicSquareIsNotBalancedForCarryOver) {
    const DesignCheck check = checked("subject,period_1,period_2,period_3\n1,A,B,C\n2,B,C,A\n3,C,A,B\n");
    EXPECT_TRUE(check.all.periodsBalanced);
    EXPECT_FALSE(check.all.carryOverBalanced);
    ASSERT_EQ(check.findings.size(), 1U);
    EXPECT_EQ(check.findings[0].severity, Severity::warning);
    EXPECT_THAT(check.findings[0].what,
                HasSubstr("food 'A' follows 'C' 2 times, food 'A' follows 'B' 0 times"));
}

TEST(CheckDesign, SaysWhichFoodStandsTooOftenInAPeriod) {
    const DesignCheck check = checked("subject,period_1,period_2\n1,A,B\n2,A,B\n3,A,B\n4,B,A\n");
    ASSERT_EQ(check.findings.size(), 3U);
    EXPECT_THAT(check.findings[0].what,
                HasSubstr("food 'A' stands 3 times in period 1, food 'A' 1 times in period 2"));
    EXPECT_EQ(check.findings[0].severity, Severity::warning);
    EXPECT_THAT(check.findings[2].what, HasSubstr("'A B' 3 times, 'B A' 1 times"));
}

TEST(CheckDesign, AnUnevennessThatCannotBeAvoidedIsANote) {
    const DesignCheck check = checked("subject,period_1,period_2\n1,A,B\n2,B,A\n3,A,B\n");
    ASSERT_EQ(check.findings.size(), 3U);
    EXPECT_EQ(check.findings[1].severity, Severity::note);  // 3 pairs over 2
    EXPECT_EQ(check.findings[2].severity, Severity::note);  // 3 subjects over 2 orders
}

TEST(CheckDesign, EachStratumIsCountedByItself) {
    const DesignCheck check =
        checked("subject,stratum,period_1,period_2\n1,men,A,B\n2,men,A,B\n3,women,B,A\n4,women,B,A\n");
    EXPECT_TRUE(check.all.periodsBalanced);
    ASSERT_EQ(check.strata.size(), 2U);
    EXPECT_FALSE(check.strata[0].periodsBalanced);
    EXPECT_THAT(check.findings[0].what, HasSubstr("stratum 'men': foods and periods"));
}

TEST(CheckDesign, RowsOfVisitsInAnyOrder) {
    const DesignCheck check =
        checked("subject,food,visit,period,date\n2,A,1,2,\n1,A,1,1,2026-02-03\n1,B,1,2,\n2,B,1,1,\n");
    EXPECT_TRUE(check.all.periodsBalanced && check.all.carryOverBalanced && check.all.sequencesBalanced);
    EXPECT_EQ(check.all.subjects, 2U);
}

TEST(CheckDesign, MissingAndRepeatedFoodsAreNoted) {
    const DesignCheck check = checked("subject,period_1,period_2,period_3\n1,A,A,B\n2,B,,A\n3,A,,\n");
    EXPECT_THAT(check.findings[0].what,
                AllOf(HasSubstr("1 subject does not eat every food"), HasSubstr("'3'")));
    EXPECT_THAT(check.findings[1].what,
                AllOf(HasSubstr("1 subject eats a food more than once"), HasSubstr("'1'")));
    EXPECT_EQ(check.all.follows[0][0], 1U);
    EXPECT_THAT(textOf(check), HasSubstr("B – A\t1"));
}

TEST(CheckDesign, OneSubjectOneFoodOnePeriod) {
    const DesignCheck one = checked("subject,period_1\n1,A\n");
    EXPECT_THAT(one.findings, IsEmpty());
    EXPECT_FALSE(one.all.carryOverBalanced);
    const DesignCheck none = checked("subject,period_1\n1,\n");
    EXPECT_TRUE(none.foods.empty());
    const DesignCheck two = checked("subject,period_1\n1,A\n2,B\n");
    ASSERT_EQ(two.findings.size(), 2U);
    EXPECT_THAT(two.findings[1].what, HasSubstr("no food follows another"));
}

TEST(CheckDesign, FilesThatAreNoScheduleAreRefused) {
    EXPECT_THAT(refusal(""), HasSubstr("empty"));
    EXPECT_THAT(refusal("subject,period_1\n"), HasSubstr("no row"));
    EXPECT_THAT(refusal("person,period_1\n1,A\n"), HasSubstr("no column subject"));
    EXPECT_THAT(refusal("subject,food\n1,A\n"), HasSubstr("columns of the foods"));
    EXPECT_THAT(refusal("subject,period_1,period_3\n1,A,B\n"), HasSubstr("no column period_2"));
    EXPECT_THAT(refusal("subject,period_1,period_1\n1,A,B\n"), HasSubstr("stands twice"));
    EXPECT_THAT(refusal("subject,period_1\n1,A\n1,B\n"), HasSubstr("'1' stands twice"));
    EXPECT_THAT(refusal("subject,period_1\n,A\n"), HasSubstr("no subject's code"));
    EXPECT_THAT(refusal("subject,period,food\n1,1,A\n1,1,B\n"), HasSubstr("period 1 twice"));
    for (const char* period : {"0", "-1", "1.5", "x", "101", "99999999999999999999", ""}) {
        EXPECT_THAT(refusal("subject,period,food\n1," + std::string{period} + ",A\n"),
                    HasSubstr("whole number"));
    }
    EXPECT_FALSE(refusal(std::string("subject,period_1\n1,A\0B\n", 23)).empty());
    EXPECT_FALSE(refusal("subject,period_1\n1,\"A\n").empty());
    EXPECT_FALSE(refusal("subject,period_1\n1,A,B\n").empty());
    EXPECT_FALSE(refusal("subject;period_1\n1;A\n").empty());
    std::string wide = "subject";
    for (int i = 1; i <= 101; ++i) {
        wide += ",period_" + std::to_string(i);
    }
    EXPECT_THAT(refusal(wide + "\n"), HasSubstr("more than 100 periods"));
    std::string foods = "subject,period_1\n";
    for (int i = 0; i < 1001; ++i) {
        foods += std::to_string(i) + ",f" + std::to_string(i) + "\n";
    }
    EXPECT_THAT(refusal(foods), HasSubstr("more than 1000 foods"));
}

}  // namespace aftercurve
