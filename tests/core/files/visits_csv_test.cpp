#include "core/files/visits_csv.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/core/files/problem_matchers.h"
#include "tests/support/temp_folder.h"

namespace aftercurve {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;
using testing::Optional;
using testing::SizeIs;

StudyReading readWith(const std::string& samples, const std::string& visits, const std::string& more = "") {
    test::TempFolder folder;
    folder.write("study.json", R"({"format": "aftercurve-study", "version": 1,
 "foods": [{"id": "drink", "role": "reference"}, {"id": "oats", "role": "test"}],
 "analytes": [{"id": "glucose", "unit": "mmol/L"}], "samples": ["samples.csv"])" +
                                   std::string{visits.empty() ? "" : R"(, "visits": "visits.csv")"} + more +
                                   "}");
    folder.write("samples.csv", samples);
    if (!visits.empty()) {
        folder.write("visits.csv", visits);
    }
    return readStudyFolder(folder.path());
}

constexpr const char* plainSamples = "subject,food,time_min,glucose\n01,drink,0,4.5\n01,drink,30,6.5\n";

}  // namespace

TEST(VisitsCsv, HoldsDatesAndMealStarts) {
    const auto reading = readWith(plainSamples,
                                  "subject,food,visit,period,date,meal_start,remark\n"
                                  "01,drink,1,1,2024-02-29,08:05,arrived late\n"
                                  "02,oats,,,,NA,\n");
    ASSERT_TRUE(reading.study) << linesOf(reading.problems);
    ASSERT_THAT(reading.study->visits, SizeIs(2));
    const VisitRecord& first = reading.study->visits[0];
    EXPECT_EQ(first.date, "2024-02-29");
    EXPECT_EQ(first.mealStart, "08:05");
    EXPECT_EQ(first.period, 1);
    EXPECT_EQ(first.remark, "arrived late");
    EXPECT_EQ(first.row, 2U);
    EXPECT_EQ(reading.study->visits[1].visit, 1);
    ASSERT_THAT(reading.study->subjects, SizeIs(2));
    EXPECT_EQ(reading.study->subjects[1].id, "02");
    EXPECT_THAT(reading.problems, HasProblem(Severity::note, "visits.csv:3", "has visits but no samples"));
    EXPECT_EQ(reading.study->inputs.back().file, "visits.csv");
}

TEST(VisitsCsv, WhatCannotBeReadIsNamed) {
    const std::string header = "subject,food,visit,date,meal_start\n";
    EXPECT_THAT(readWith(plainSamples, header + "01,tea,1,,\n"),
                Refused("visits.csv:2", "'tea' is not declared"));
    EXPECT_THAT(readWith(plainSamples, header + "01,drink,0,,\n"), Refused("visits.csv:2", "the visit '0'"));
    EXPECT_THAT(readWith(plainSamples, header + "01,drink,1,,\n01,drink,1,,\n"),
                Refused("visits.csv:3", "is there twice"));
    EXPECT_THAT(readWith(plainSamples, "subject,visit\n01,1\n"),
                Refused("visits.csv:1", "'food' is missing"));
    const auto odd = readWith(plainSamples, header + "01,drink,1,2023-02-29,24:00\n");
    ASSERT_TRUE(odd.study);
    EXPECT_THAT(odd.study->visits[0].date, IsEmpty());
    EXPECT_THAT(odd.problems, HasProblem(Severity::warning, "visits.csv:2", "'2023-02-29' is not a date"));
    EXPECT_THAT(odd.problems, HasProblem(Severity::warning, "visits.csv:2", "'24:00' is not a clock time"));
}

TEST(SamplesCsv, NominalTimesDeterminationsAndRemarks) {
    const auto reading = readWith(
        "subject,food,time_min,nominal_min,replicate,glucose,remark\n"
        "01,drink,1,0,1,<2.0,haemolysed\n"
        "01,drink,,15,1,5.0,\n"
        "01,drink,15,15,2,5.2,\n",
        "");
    ASSERT_TRUE(reading.study) << linesOf(reading.problems);
    const Study& study = *reading.study;
    EXPECT_THAT(study.nominalMin, ElementsAre(Optional(0.0), Optional(15.0), Optional(15.0)));
    EXPECT_EQ(study.draws[1].timeMin, 15.0);
    EXPECT_THAT(study.replicate, ElementsAre(1, 1, 2));
    EXPECT_THAT(study.belowLimit, ElementsAre(BelowLimit{0, 0, 2.0}));
    EXPECT_FALSE(study.concentrations[0][0]);
    EXPECT_THAT(study.remarks, ElementsAre(DrawRemark{0, "haemolysed"}));
    EXPECT_EQ(belowLimitAt(study, 0, 0), 2.0);
    EXPECT_FALSE(belowLimitAt(study, 1, 0));
    EXPECT_EQ(remarkOn(study, 0), "haemolysed");
    EXPECT_EQ(remarkOn(study, 1), "");
    EXPECT_THAT(reading.problems, HasProblem(Severity::note, "", "1 row gives no time_min"));
}

TEST(SamplesCsv, LimitsAreConvertedWithTheirColumn) {
    const auto reading =
        readWith("subject,food,time_min,glucose [mg/dL]\n01,drink,0,<36.032\n01,drink,30,90.08\n", "");
    ASSERT_TRUE(reading.study) << linesOf(reading.problems);
    ASSERT_THAT(reading.study->belowLimit, SizeIs(1));
    EXPECT_NEAR(reading.study->belowLimit[0].limit, 2.0, 1e-12);  // 36.032 / 18.016
}

TEST(StudyJson, AcceptedWarningsAndSampleExclusions) {
    const auto reading = readWith(plainSamples, "",
                                  R"(, "accepted": [{"check": "fasting-range", "subject": "01", "time_min": 0,
 "because": "repeated, same value", "by": "KM", "on": "2026-03-02"}],
 "exclusions": [{"subject": "01", "time_min": 30, "reason": "clotted"}])");
    ASSERT_TRUE(reading.study) << linesOf(reading.problems);
    ASSERT_THAT(reading.study->accepted, SizeIs(1));
    EXPECT_EQ(reading.study->accepted[0].check, "fasting-range");
    EXPECT_EQ(reading.study->accepted[0].timeMin, 0.0);
    EXPECT_EQ(reading.study->accepted[0].because, "repeated, same value");
    EXPECT_EQ(reading.study->exclusions[0].timeMin, 30.0);
    EXPECT_THAT(readWith(plainSamples, "", R"(, "accepted": [{"check": "x"}])"),
                Refused("study.json", "because"));
}

}  // namespace aftercurve
