#include "core/sensor/sensor_readings.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/sensor/meal_marks.h"
#include "core/sensor/sensor_clock.h"

namespace aftercurve {
namespace {

using testing::HasSubstr;

SensorReadingsRead readText(const std::string& text, const SensorReadOptions& options = {}) {
    const Result<Source> source = sourceFromBytes("sensor.csv", text);
    if (!source) {
        SensorReadingsRead failed;
        failed.problems.push_back(source.problem());
        return failed;
    }
    return readSensorReadings(source.value(), options);
}

std::string all(const std::vector<Problem>& problems) {
    std::string text;
    for (const Problem& problem : problems) {
        text += lineFor(problem) + "\n";
    }
    return text;
}

const std::string header = "subject,timestamp,glucose [mmol/L]\n";

/// Local minute of 2026-10-25 as a row.
std::string rowAt(int hour, int minute, const std::string& value, const std::string& subject = "01") {
    const auto two = [](int n) { return (n < 10 ? "0" : "") + std::to_string(n); };
    return subject + ",2026-10-25 " + two(hour) + ":" + two(minute) + "," + value + "\n";
}

TEST(SensorClock, ReadsTheLocalClockAsWritten) {
    // Days since 1970-01-01 from the calendar: 2026-03-02 is day 20514.
    const std::int64_t expected = 20514LL * 86400 + 8 * 3600 + 5 * 60;
    for (const char* text : {"2026-03-02T08:05", "2026-03-02 08:05", "2026-03-02 08:05:00", "2026-03-02 8:05",
                             "2026-03-02T08:05:00.750", "2026-03-02T08:05Z", "2026-03-02T08:05:00+02:00"}) {
        const SensorClock clock = readSensorClock(text, std::nullopt);
        EXPECT_EQ(clock.fault, SensorClockFault::none) << text;
        EXPECT_EQ(clock.second, expected) << text;
    }
    EXPECT_TRUE(readSensorClock("2026-03-02T08:05+02:00", std::nullopt).offsetIgnored);
    EXPECT_EQ(readSensorClock("2.3.2026 8:05", DateOrder::dayMonth).second, expected);
    EXPECT_EQ(readSensorClock("03/02/2026 8:05 am", DateOrder::monthDay).second, expected);
    EXPECT_EQ(readSensorClock("2.3.2026 8:05", std::nullopt).fault, SensorClockFault::needsOrder);
    EXPECT_EQ(readSensorClock("13.3.2026 8:05", DateOrder::monthDay).fault, SensorClockFault::unreadable);
    for (const char* text : {"", "2026-03-02", "2026-02-30 08:05", "2026-03-02 24:00", "2026-03-02 08:60",
                             "2026-03-02 08:05:61", "2026-03-02 08:05 soon", "08:05", "46083.5"}) {
        EXPECT_EQ(readSensorClock(text, DateOrder::dayMonth).fault, SensorClockFault::unreadable) << text;
    }
    EXPECT_EQ(sensorClockText(expected), "2026-03-02 08:05");
    EXPECT_EQ(sensorClockText(-1), "1969-12-31 23:59:59");
}

TEST(SensorReadings, RowsInAnyOrderOfSeveralSubjects) {
    const auto read = readText(header + rowAt(8, 10, "5.2") + rowAt(8, 0, "6.0", "02") + rowAt(8, 0, "5.0") +
                               rowAt(8, 5, "5.1"));
    ASSERT_TRUE(read.readings) << all(read.problems);
    const SensorReadings& readings = *read.readings;
    EXPECT_EQ(readings.unit, "mmol/L");
    EXPECT_EQ(readings.rows, 4U);
    ASSERT_EQ(readings.traces.size(), 2U);
    EXPECT_EQ(readings.traces[0].subject, "01");
    ASSERT_EQ(readings.traces[0].readings.size(), 3U);
    EXPECT_EQ(readings.traces[0].readings[0].value, 5.0);
    EXPECT_EQ(readings.traces[0].readings[2].value, 5.2);
    EXPECT_EQ(readings.traces[0].readings[2].row, 2U);
    EXPECT_TRUE(readings.traces[0].clockBack.empty()) << "two rows in the wrong order are no change of clock";
    EXPECT_THAT(all(read.problems), HasSubstr("not in order of time"));
}

TEST(SensorReadings, SemicolonsDecimalCommasAndTheUnit) {
    const auto read = readText(
        "Readings of a sensor, invented;;\nsubject;date and time;glucose (mg/dL)\n"
        "01;2.3.2026 8:00;90,08\n01;2.3.2026 8:05;108,096\n",
        {.dateOrder = DateOrder::dayMonth, .unit = "mmol/L"});
    ASSERT_TRUE(read.readings) << all(read.problems);
    // 18.016 mg/dL are 1 mmol/L (molar mass 180.16 g/mol).
    EXPECT_NEAR(read.readings->traces[0].readings[0].value, 5.0, 1e-12);
    EXPECT_NEAR(read.readings->traces[0].readings[1].value, 6.0, 1e-12);
    EXPECT_THAT(all(read.problems), HasSubstr("mg/dL are converted to mmol/L"));
    EXPECT_THAT(all(read.problems), HasSubstr("above the header"));
}

TEST(SensorReadings, AColumnOfUnits) {
    const auto read = readText(
        "subject,timestamp,value,unit\n01,2026-03-02 08:00,90.08,mg/dL\n01,2026-03-02 08:05,5.5,mmol/L\n");
    ASSERT_TRUE(read.readings) << all(read.problems);
    EXPECT_EQ(read.readings->unit, "mg/dL");
    EXPECT_NEAR(read.readings->traces[0].readings[1].value, 5.5 * 18.016, 1e-9);
    const auto unknown = readText("subject,timestamp,value,unit\n01,2026-03-02 08:00,90,spoons\n");
    EXPECT_FALSE(unknown.readings);
    EXPECT_THAT(all(unknown.problems), HasSubstr("spoons"));
}

TEST(SensorReadings, NoUnitIsNeverGuessed) {
    const std::string text = "subject,timestamp,glucose\n01,2026-03-02 08:00,5.5\n";
    EXPECT_FALSE(readText(text).readings);
    EXPECT_THAT(all(readText(text).problems), HasSubstr("unit of the readings is not given"));
    EXPECT_TRUE(readText(text, {.unit = "mmol/L"}).readings);
    EXPECT_FALSE(readText(text, {.unit = "spoons"}).readings);
}

TEST(SensorReadings, TheOrderOfDayAndMonthIsNeverGuessed) {
    const auto read = readText(header + "01,13.3.2026 8:00,5.0\n");
    EXPECT_FALSE(read.readings);
    EXPECT_THAT(all(read.problems), HasSubstr("day or the month"));
}

TEST(SensorReadings, BeyondTheSensorsRangeIsNoNumber) {
    const auto read =
        readText(header + rowAt(8, 0, "5.0") + rowAt(8, 5, "LOW") + rowAt(8, 10, "High") +
                 rowAt(8, 15, "<2.2") + rowAt(8, 20, ">22.2") + rowAt(8, 25, "") + rowAt(8, 30, "NA"));
    ASSERT_TRUE(read.readings) << all(read.problems);
    const SensorTrace& trace = read.readings->traces[0];
    EXPECT_EQ(trace.readings.size(), 1U);
    ASSERT_EQ(trace.outOfRange.size(), 4U);
    EXPECT_FALSE(trace.outOfRange[0].high);
    EXPECT_TRUE(trace.outOfRange[1].high);
    EXPECT_FALSE(trace.outOfRange[2].high);
    EXPECT_TRUE(trace.outOfRange[3].high);
    EXPECT_THAT(all(read.problems), HasSubstr("2 readings are given as below"));
    EXPECT_THAT(all(read.problems), HasSubstr("2 rows have a time and no reading"));
    EXPECT_EQ(errorCount(read.problems), 0U);
}

TEST(SensorReadings, CellsThatCannotBeUsedAreErrors) {
    const auto read = readText(header + rowAt(8, 0, "5.0") + rowAt(8, 5, "five") + rowAt(8, 10, "-4") +
                               rowAt(8, 15, "0") + rowAt(8, 20, "inf") + rowAt(8, 25, "1e300") +
                               "01,someday,5.0\n" + rowAt(8, 30, "5", "") + rowAt(8, 35, "55") + "01\n");
    ASSERT_TRUE(read.readings) << all(read.problems);
    EXPECT_EQ(read.readings->traces[0].readings.size(), 2U);
    EXPECT_EQ(errorCount(read.problems), 8U) << all(read.problems);
    EXPECT_THAT(all(read.problems), HasSubstr("55 lies outside what a sensor gives"));
}

TEST(SensorReadings, DoubledReadings) {
    const auto read = readText(header + rowAt(8, 0, "5.0") + rowAt(8, 0, "5.0") + rowAt(8, 5, "5.1") +
                               rowAt(8, 5, "7.7") + rowAt(8, 10, "5.2"));
    ASSERT_TRUE(read.readings);
    const auto& readings = read.readings->traces[0].readings;
    ASSERT_EQ(readings.size(), 2U);
    EXPECT_EQ(readings[0].value, 5.0);
    EXPECT_EQ(readings[1].value, 5.2);
    EXPECT_EQ(errorCount(read.problems), 1U);
    EXPECT_THAT(all(read.problems), HasSubstr("differ at 2026-10-25 08:05"));
    EXPECT_THAT(all(read.problems), HasSubstr("1 reading that stands twice"));
}

std::string nightWithTheClockSetBack(bool newestFirst) {
    std::vector<std::string> rows;
    for (int minute = 0; minute < 180; minute += 5) {
        rows.push_back(rowAt(minute / 60, minute % 60, "5.0"));
    }
    for (int minute = 121; minute < 300; minute += 5) {  // at 3 o'clock it is 2 o'clock again
        rows.push_back(rowAt(minute / 60, minute % 60, "6.0"));
    }
    if (newestFirst) {
        std::reverse(rows.begin(), rows.end());
    }
    std::string text = header;
    for (const std::string& row : rows) {
        text += row;
    }
    return text;
}

TEST(SensorReadings, AClockSetBackIsReported) {
    for (const bool newestFirst : {false, true}) {
        const auto read = readText(nightWithTheClockSetBack(newestFirst));
        ASSERT_TRUE(read.readings);
        const SensorTrace& trace = read.readings->traces[0];
        ASSERT_EQ(trace.clockBack.size(), 1U) << all(read.problems);
        EXPECT_EQ(sensorClockText(trace.clockBack[0].from), "2026-10-25 02:01");
        EXPECT_EQ(sensorClockText(trace.clockBack[0].to), "2026-10-25 02:55");
        EXPECT_THAT(all(read.problems), HasSubstr("the clock goes back from 2026-10-25 02:55"));
        EXPECT_EQ(trace.readings.size(), 72U);
    }
}

TEST(SensorReadings, RowsGivenAgainAreNoChangeOfClock) {
    std::string text = header;
    for (int part = 0; part < 2; ++part) {
        for (int minute = 60 * part; minute < 60 * part + 120; minute += 5) {
            text += rowAt(minute / 60, minute % 60, "5." + std::to_string(minute % 7));
        }
    }
    const auto read = readText(text);
    ASSERT_TRUE(read.readings);
    EXPECT_TRUE(read.readings->traces[0].clockBack.empty()) << all(read.problems);
    EXPECT_EQ(read.readings->traces[0].readings.size(), 36U);
    EXPECT_EQ(errorCount(read.problems), 0U);
}

TEST(SensorReadings, HostileFiles) {
    using namespace std::string_literals;
    EXPECT_FALSE(readText("").readings);
    EXPECT_FALSE(readText("\n\n").readings);
    EXPECT_FALSE(readText("a,b,c\n1,2,3\n").readings);
    EXPECT_THAT(all(readText("a,b,c\n1,2,3\n").problems), HasSubstr("subject, time stamp, glucose"));
    EXPECT_FALSE(readText(header).readings) << "no row";
    EXPECT_FALSE(readText(header + "01,2026-10-25 08:00,\"5.0\n").readings) << "a quote left open";
    EXPECT_FALSE(readText("PK\x03\x04 no workbook"s).readings);
    const auto nul = readText(header + rowAt(8, 0, "5.0") + "0\0001,2026-10-25 08:05,5.0\n"s +
                              "01,2026-10-25 08:10,5\0000\n"s);
    if (nul.readings) {
        EXPECT_EQ(readingCount(*nul.readings), 1U);
        EXPECT_EQ(errorCount(nul.problems), 2U) << all(nul.problems);
    }
    EXPECT_EQ(all(nul.problems).find('\0'), std::string::npos);
    const auto many = readText(header + rowAt(8, 0, "5.0") + rowAt(8, 5, "5.0"), {.mostRows = 1});
    EXPECT_FALSE(many.readings);
    EXPECT_THAT(all(many.problems), HasSubstr("more than the 1 rows"));
    const auto personal =
        readText("subject,timestamp,glucose [mmol/L],first_name\n01,2026-10-25 08:00,5,x\n");
    ASSERT_TRUE(personal.readings);
    EXPECT_THAT(all(personal.problems), HasSubstr("looks as if it identified people"));
    std::string bad = header + rowAt(8, 0, "5.0");
    for (int i = 0; i < 5000; ++i) {
        bad += "01,never,x\n";
    }
    EXPECT_LE(readText(bad).problems.size(), 201U);
}

TEST(SensorReadings, NamedColumnsAndAStop) {
    const std::string text = "who,when,what,subject,glucose [mmol/L]\n01,2026-10-25 08:00,5.5,x,9\n";
    const auto read = readText(
        text, {.subjectColumn = "who", .timeColumn = "When", .valueColumn = "what", .unit = "mmol/L"});
    ASSERT_TRUE(read.readings) << all(read.problems);
    EXPECT_EQ(read.readings->traces[0].subject, "01");
    EXPECT_EQ(read.readings->traces[0].readings[0].value, 5.5);
    EXPECT_FALSE(readText(text, {.subjectColumn = "nobody", .timeColumn = "when"}).readings);
    const Result<Source> source = sourceFromBytes("sensor.csv", header + rowAt(8, 0, "5.0"));
    ASSERT_TRUE(source);
    const auto stopped =
        readSensorReadings(source.value(), {}, [](double, std::string_view) { return false; });
    EXPECT_TRUE(stopped.stopped);
    EXPECT_FALSE(stopped.readings);
}

MealMarksRead readMarks(const std::string& text, const MealMarkOptions& options = {}) {
    const Result<Source> source = sourceFromBytes("meals.csv", text);
    EXPECT_TRUE(source);
    return readMealMarks(source.value(), options);
}

TEST(MealMarks, VisitsAreCountedByTimeWhereTheyAreNotGiven) {
    const auto read = readMarks(
        "subject,timestamp,food,visit\n01,2026-03-03 08:00,barley,\n02,2026-03-02 08:00,barley,\n"
        "01,2026-03-02 08:00,barley,\n01,2026-03-04 08:00,barley,2\n01,2026-03-05 08:00,pea,\n");
    ASSERT_TRUE(read.marks) << all(read.problems);
    const auto& marks = read.marks->marks;
    ASSERT_EQ(marks.size(), 5U);
    EXPECT_EQ(marks[0].visit, 1);
    EXPECT_EQ(marks[1].visit, 3) << "2 is given to another";
    EXPECT_EQ(marks[2].visit, 2);
    EXPECT_EQ(marks[3].food, "pea");
    EXPECT_EQ(marks[4].subject, "02");
    EXPECT_TRUE(read.problems.empty()) << all(read.problems);
}

TEST(MealMarks, WhatCannotBeUsedIsLeftOut) {
    const auto read = readMarks(
        "subject,timestamp,food,visit\n01,2026-03-02 08:00,barley,1\n01,2026-03-02 08:00,pea,1\n"
        "01,2026-03-03 08:00,barley,1\n01,soon,barley,2\n,2026-03-03 08:00,barley,2\n"
        "01,2026-03-04 08:00,,2\n01,2026-03-05 08:00,barley,two\n");
    ASSERT_TRUE(read.marks);
    EXPECT_EQ(read.marks->marks.size(), 1U);
    EXPECT_EQ(errorCount(read.problems), 6U) << all(read.problems);
    const auto none = readMarks("subject,timestamp,food\n");
    ASSERT_TRUE(none.marks);
    EXPECT_TRUE(none.marks->marks.empty());
    EXPECT_THAT(all(none.problems), HasSubstr("marks no meal"));
    EXPECT_FALSE(readMarks("who,when\n1,2\n").marks);
}

}  // namespace
}  // namespace aftercurve
