#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/core/files/problem_matchers.h"
#include "tests/support/study_files.h"

namespace aftercurve {
namespace {

using test::smallStudyJson;
using test::StudyFiles;
using testing::ElementsAre;
using testing::IsEmpty;
using testing::SizeIs;

StudyReading readWith(std::string_view subjects, std::string_view rows = "02,drink,0,5\n01,barley,0,4\n") {
    const StudyFiles files{"subject,food,time_min,glucose\n" + std::string{rows},
                           smallStudyJson(R"(, "subjects": "subjects.csv")")};
    files.folder.write("subjects.csv", subjects);
    return files.read();
}

TEST(SubjectsCsv, GivesTheOrderAndWhatIsKnownOfEach) {
    const auto reading = readWith("bmi_kg_m2,subject,sequence,sex,age_y\n22.5,01,AB,f,31\n,02,BA,NA,NA\n",
                                  "02,drink,0,5\n01,barley,0,4\n");
    ASSERT_TRUE(reading.study) << linesOf(reading.problems);
    EXPECT_THAT(reading.problems, IsEmpty());
    EXPECT_THAT(reading.study->subjects, ElementsAre(Subject{"01", "AB", "f", 31.0, 22.5},
                                                     Subject{"02", "BA", "", std::nullopt, std::nullopt}));
    EXPECT_EQ(reading.study->draws[0].subject, 1u);
    EXPECT_EQ(reading.study->subjectsFile, "subjects.csv");
}

TEST(SubjectsCsv, SubjectsInOneFileOnlyAreReported) {
    const auto reading = readWith("subject\n01\n03\n");
    ASSERT_TRUE(reading.study);
    EXPECT_THAT(reading.problems, SizeIs(2));
    EXPECT_THAT(reading.problems,
                HasProblem(Severity::warning, "samples.csv:2", "the subject '02' is not in 'subjects.csv'"));
    EXPECT_THAT(reading.problems, HasProblem(Severity::note, "subjects.csv", "the subject '03' has no row"));
    ASSERT_THAT(reading.study->subjects, SizeIs(3));
    EXPECT_EQ(reading.study->subjects[2].id, "02");
}

TEST(SubjectsCsv, FaultsOfIdentityLeaveNoStudy) {
    EXPECT_THAT(readWith("subject\n01\n02\n 01\n"),
                Refused("subjects.csv:4", "the subject '01' is there twice"));
    EXPECT_THAT(readWith("subject,sex\n01,f\n,m\n"), Refused("subjects.csv:3", "the subject is empty"));
    EXPECT_THAT(readWith("subject,sex\n01\n"),
                Refused("subjects.csv:2", "the row has 1 cell, the header has 2"));
    EXPECT_THAT(readWith("person\n01\n"), Refused("subjects.csv:1", "the column 'subject' is missing"));
    EXPECT_THAT(readWith("subject,sex,sex\n01,f,f\n"),
                Refused("subjects.csv:1", "the column 'sex' is there twice"));
    EXPECT_THAT(readWith(""), Refused("subjects.csv", "the file is empty"));
    EXPECT_THAT(readWith("subject;sex\n01;f\n"), Refused("subjects.csv:1", "semicolons"));
}

TEST(SubjectsCsv, AnAgeOrBmiThatMakesNoSenseIsLeftOutWithAWarning) {
    const auto reading = readWith("subject,age_y,bmi_kg_m2\n01,-3,\"22,5\"\n02,131,high\n");
    ASSERT_TRUE(reading.study);
    EXPECT_THAT(reading.problems, SizeIs(4));
    EXPECT_THAT(reading.problems,
                HasProblem(Severity::warning, "subjects.csv:2", "age_y: '-3' lies outside 0 to 130"));
    EXPECT_THAT(reading.problems, HasProblem(Severity::warning, "subjects.csv:2",
                                             "bmi_kg_m2: '22,5' is written with a decimal comma"));
    EXPECT_THAT(reading.problems,
                HasProblem(Severity::warning, "subjects.csv:3", "age_y: '131' lies outside"));
    EXPECT_THAT(reading.problems,
                HasProblem(Severity::warning, "subjects.csv:3", "bmi_kg_m2: 'high' is not a number"));
    for (const Subject& subject : reading.study->subjects) {
        EXPECT_EQ(subject.ageY, std::nullopt);
        EXPECT_EQ(subject.bmiKgM2, std::nullopt);
    }
}

TEST(SubjectsCsv, PersonalColumnsAreWarnedOfAndOthersNoted) {
    const auto reading = readWith("subject,Surname,room\n01,x,1\n02,y,2\n");
    ASSERT_TRUE(reading.study);
    EXPECT_THAT(reading.problems, SizeIs(2));
    EXPECT_THAT(reading.problems, HasProblem(Severity::warning, "subjects.csv:1",
                                             "'Surname' looks as if it identified people"));
    EXPECT_THAT(reading.problems, HasProblem(Severity::note, "subjects.csv:1", "'room' is not known"));
}

TEST(SubjectsCsv, ExclusionsOfUnknownSubjectsAreWarnedOf) {
    const StudyFiles files{
        "subject,food,time_min,glucose\n01,drink,0,5\n",
        smallStudyJson(
            R"(, "exclusions": [{"subject": "1", "reason": "x"}, {"subject": "01", "reason": "y"}])")};
    const auto reading = files.read();
    ASSERT_TRUE(reading.study);
    EXPECT_THAT(reading.problems, SizeIs(1));
    EXPECT_THAT(reading.problems, HasProblem(Severity::warning, "study.json",
                                             "exclusions[0].subject is '1', which is not in the study"));
}

}  // namespace
}  // namespace aftercurve
