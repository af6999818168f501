#include "core/files/assays_csv.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/edit/read_back.h"
#include "core/edit/study_json_patch.h"
#include "tests/core/files/problem_matchers.h"
#include "tests/support/study_files.h"

namespace aftercurve {
namespace {

using testing::SizeIs;

constexpr const char* samplesText = "subject,food,time_min,glucose\n01,drink,0,4.5\n01,drink,30,6.5\n";
constexpr const char* header = "sample,run,replicate,time_min,value,sample_mass_mg,blank\n";

StudyReading readWith(
    const std::string& assays,
    const std::string& settings = R"(, "samples": [{"id": "flakes", "label": "Barley flakes",
 "food": "barley", "reference": true, "total_starch_percent": 60.5}, {"id": "=pea"}])") {
    test::StudyFiles files{samplesText,
                           test::smallStudyJson(R"(, "assays": {"file": "assays.csv")" + settings + "}")};
    files.folder.write("assays.csv", assays);
    return files.read();
}

TEST(AssaysCsv, HoldsReadingsBlanksAndSettings) {
    const auto reading =
        readWith(std::string{header} + "flakes,A,2,20,105.5,500,\n,A,1,20,-0.2,,yes\n'=pea,,,0,NA,,no\n");
    ASSERT_TRUE(reading.study) << linesOf(reading.problems);
    const AssayData& assays = reading.study->assays;
    ASSERT_THAT(assays.readings, SizeIs(3));
    EXPECT_EQ(assays.readings[0].replicate, 2);
    EXPECT_EQ(assays.readings[0].value, 105.5);
    EXPECT_EQ(assays.readings[0].sampleMassMg, 500.0);
    EXPECT_EQ(assays.readings[0].row, 2U);
    EXPECT_TRUE(assays.readings[1].blank);
    EXPECT_EQ(assays.readings[1].value, -0.2);
    EXPECT_EQ(assays.readings[2].sample, "=pea");
    EXPECT_EQ(assays.readings[2].run, "1");
    EXPECT_FALSE(assays.readings[2].value);
    EXPECT_EQ(assays.samples[0].totalStarchPercent, 60.5);
    EXPECT_EQ(assays.samples[1].label, "=pea");
    EXPECT_EQ(reading.study->inputs.back().file, "assays.csv");
    EXPECT_EQ(reading.study->inputs.back().sha256.size(), 64U);
}

TEST(AssaysCsv, WhatCannotBeReadIsNamedByRow) {
    const std::string head = header;
    EXPECT_THAT(readWith(head + "oat,A,1,20,5,500,\n"), Refused("assays.csv:2", "'oat'"));
    EXPECT_THAT(readWith(head + ",A,1,20,5,500,\n"), Refused("assays.csv:2", "the sample is empty"));
    EXPECT_THAT(readWith(head + "flakes,A,0,20,5,500,\n"), Refused("assays.csv:2", "the replicate '0'"));
    EXPECT_THAT(readWith(head + "flakes,A,1,-5,5,500,\n"), Refused("assays.csv:2", "before the begin"));
    EXPECT_THAT(readWith(head + "flakes,A,1,x,5,500,\n"), Refused("assays.csv:2", "the time"));
    EXPECT_THAT(readWith(head + "flakes,A,1,20,5,500,maybe\n"), Refused("assays.csv:2", "blank is 'maybe'"));
    EXPECT_THAT(readWith(head + "flakes,A,1,20,5,500,\nflakes,A,1,20.0,6,500,\n"),
                Refused("assays.csv:3", "is there twice"));
    EXPECT_THAT(readWith("sample,time_min\nflakes,20\n"), Refused("assays.csv:1", "'value' is missing"));
    EXPECT_THAT(readWith(head + "flakes,A,1,20\n"), Refused("assays.csv:2", ""));
    EXPECT_THAT(readWith(std::string("sample\0,value\n", 14)), Refused("assays.csv:1", ""));
}

TEST(AssaysCsv, AValueThatCannotBeUsedIsFlagged) {
    const auto reading = readWith(std::string{header} +
                                  "flakes,A,1,20,\"5,4\",500,\nflakes,A,1,60,7,0,\nflakes,A,1,90,inf,500,\n");
    ASSERT_TRUE(reading.study) << linesOf(reading.problems);
    EXPECT_THAT(reading.problems, HasProblem(Severity::error, "assays.csv:2", "decimal comma"));
    EXPECT_THAT(reading.problems, HasProblem(Severity::error, "assays.csv:3", "not above 0"));
    EXPECT_THAT(reading.problems, HasProblem(Severity::error, "assays.csv:4", "cannot be used"));
    EXPECT_FALSE(reading.study->assays.readings[0].value);
    EXPECT_NE(reading.study->assays.readings[0].flaw, "");
    EXPECT_FALSE(reading.study->assays.readings[1].sampleMassMg);
}

TEST(AssaysJson, SettingsThatMakeNoSenseAreRefused) {
    const std::string rows = std::string{header} + "flakes,A,1,20,5,500,\n";
    const std::string one = R"(, "samples": [{"id": "flakes"}])";
    EXPECT_THAT(readWith(rows, one + R"(, "slow_cut_min": 10)"), Refused("study.json", "slow_cut_min"));
    EXPECT_THAT(readWith(rows, one + R"(, "glucose_to_starch": 1.5)"),
                Refused("study.json", "glucose_to_starch"));
    EXPECT_THAT(readWith(rows, one + R"(, "comparison": "guess")"), Refused("study.json", "comparison"));
    EXPECT_THAT(readWith(rows, one + R"(, "comparison": "dunnett")"),
                Refused("study.json", "no sample is the reference"));
    EXPECT_THAT(readWith(rows, one + R"(, "quantity": "mol")"), Refused("study.json", "quantity"));
    EXPECT_THAT(readWith(rows, R"(, "samples": [{"id": "flakes"}, {"id": "flakes"}])"),
                Refused("study.json", "twice"));
    EXPECT_THAT(readWith(rows, R"(, "samples": [{"id": "flakes", "moisture_percent": 100}])"),
                Refused("study.json", "moisture_percent"));
    EXPECT_THAT(readWith(rows, R"(, "samples": 3)"), Refused("study.json", "samples"));
    const auto odd = readWith(rows, R"(, "samples": [{"id": "flakes", "food": "rye"}])");
    ASSERT_TRUE(odd.study);
    EXPECT_THAT(odd.problems, HasProblem(Severity::warning, "study.json", "'rye'"));
}

TEST(AssaysJson, AFileOutsideTheFolderIsRefused) {
    test::StudyFiles files{
        samplesText,
        test::smallStudyJson(R"(, "assays": {"file": "../a.csv", "samples": [{"id": "flakes"}]})")};
    EXPECT_FALSE(files.read().study);
}

TEST(AssaysCsv, WrittenAndReadAgainTheyAreTheSame) {
    const auto reading = readWith(
        std::string{header} +
            "flakes,\"A,1\",2,20,105.5,500,\n,A,1,20,0.25,,yes\n'=pea,@b,,7.5,\"5,4\",-3,no\n",
        R"(, "quantity": "starch-percent", "basis": "dry", "last_min": 240, "interpolate": true, "mine": 1,
 "samples": [{"id": "flakes", "reference": true, "moisture_percent": 9.5, "kept": "x"}, {"id": "=pea"}])");
    ASSERT_TRUE(reading.study) << linesOf(reading.problems);
    Study study = *reading.study;
    study.assays.samples[0].moisturePercent = 8.25;
    const auto json = newStudyJson(study);
    ASSERT_TRUE(json.ok());
    EXPECT_NE(json.value().find("\"mine\": 1"), std::string::npos);
    EXPECT_NE(json.value().find("\"kept\": \"x\""), std::string::npos);
    const std::string csv = assaysCsv(study.assays);
    EXPECT_EQ(csv.find(",@b"), std::string::npos);
    const std::vector<StudyFile> files{
        {studyFileName, json.value()}, {"samples.csv", samplesText}, {"assays.csv", csv}};
    const auto read = studyIn(files);
    ASSERT_TRUE(read.ok()) << read.problem().what;
    EXPECT_FALSE(differenceBetween(study, read.value()));
    study.assays.readings[0].value = 1.0;
    EXPECT_EQ(differenceBetween(study, read.value()), "the assays");
}

}  // namespace
}  // namespace aftercurve
