#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <string>

#include "core/files/study_folder.h"
#include "tests/core/files/problem_matchers.h"
#include "tests/support/study_files.h"

namespace aftercurve {
namespace {

using test::smallStudyJson;
using test::StudyFiles;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Optional;
using testing::SizeIs;

constexpr const char* twoAnalytes = R"({"format": "aftercurve-study", "version": 1,
 "foods": [{"id": "drink", "role": "reference"}],
 "analytes": [{"id": "glucose", "unit": "mmol/L"}, {"id": "insulin", "unit": "pmol/L", "pmol_per_uiu": 6.945}],
 "samples": ["samples.csv"]})";

StudyReading readSamples(std::string_view samples) {
    return StudyFiles{samples}.read();
}

TEST(SamplesCsv, ReadsDrawsInFileOrderWithTheirPlace) {
    const auto reading = readSamples(
        "subject,food,visit,period,time_min,glucose\n"
        "02,drink,2,1,15,7.5\n"
        "01,barley,1,2,-5,4.25\n"
        "02,drink,2,1,0,NA\n");
    ASSERT_TRUE(reading.study) << linesOf(reading.problems);
    EXPECT_THAT(reading.problems, IsEmpty());
    const Study& study = *reading.study;
    EXPECT_THAT(study.draws, ElementsAre(Draw{0, 0, 2, 1, 15.0, 0, 2}, Draw{1, 1, 1, 2, -5.0, 0, 3},
                                         Draw{0, 0, 2, 1, 0.0, 0, 4}));
    EXPECT_THAT(study.concentrations, ElementsAre(ElementsAre(Optional(7.5), Optional(4.25), std::nullopt)));
    ASSERT_THAT(study.subjects, SizeIs(2));
    EXPECT_EQ(study.subjects[0].id, "02");
    EXPECT_EQ(study.subjects[1].id, "01");
    EXPECT_THAT(study.flaws, IsEmpty());
}

TEST(SamplesCsv, ColumnsMayStandInAnyOrderAndVisitAndPeriodMayBeLeftOut) {
    const auto reading = readSamples("glucose, time_min ,food,subject\n5,+30,barley, 07 \n");
    ASSERT_TRUE(reading.study) << linesOf(reading.problems);
    EXPECT_THAT(reading.study->draws, ElementsAre(Draw{0, 1, 1, 0, 30.0, 0, 2}));
    EXPECT_EQ(reading.study->subjects[0].id, "07");
}

TEST(SamplesCsv, UnsortedTimesAreFine) {
    const auto reading =
        readSamples("subject,food,time_min,glucose\n1,drink,120,5\n1,drink,0,4\n1,drink,60,6\n");
    ASSERT_TRUE(reading.study);
    EXPECT_THAT(reading.problems, IsEmpty());
}

TEST(SamplesCsv, AMissingPeriodCellMeansNotGivenAndAMissingVisitIsRefused) {
    EXPECT_EQ(readSamples("subject,food,period,time_min,glucose\n1,drink,,0,5\n").study->draws[0].period, 0);
    EXPECT_THAT(readSamples("subject,food,visit,time_min,glucose\n1,drink,,0,5\n"),
                Refused("samples.csv:2", "visit ''"));
}

TEST(SamplesCsv, MissingCellsAreAbsent) {
    const auto reading = readSamples(
        "subject,food,time_min,glucose\n1,drink,0,\n1,drink,15,NA\n1,drink,30,na\n1,drink,45,N/"
        "A\n1,drink,60,  \n"
        "1,drink,75,0\n1,drink,90,-0.0\n");
    ASSERT_TRUE(reading.study);
    EXPECT_THAT(reading.problems, IsEmpty());
    const auto& values = reading.study->concentrations[0];
    for (std::size_t i = 0; i < 5; ++i) {
        EXPECT_EQ(values[i], std::nullopt) << i;
    }
    EXPECT_THAT(values[5], Optional(0.0));
    ASSERT_TRUE(values[6]);
    EXPECT_FALSE(std::signbit(*values[6]));
}

struct BadCell {
    const char* name;
    const char* cell;
    const char* named;
};

class BadConcentration : public testing::TestWithParam<BadCell> {};

TEST_P(BadConcentration, CostsItsCurveOnly) {
    const auto reading =
        readSamples(std::string{"subject,food,visit,time_min,glucose\n1,drink,1,0,4.5\n07,barley,2,15,"} +
                    GetParam().cell + "\n");
    ASSERT_TRUE(reading.study) << linesOf(reading.problems);
    EXPECT_THAT(reading.problems, HasProblem(Severity::error, "samples.csv:3", GetParam().named));
    ASSERT_THAT(reading.problems, SizeIs(1));
    const Problem& problem = reading.problems[0];
    EXPECT_EQ(problem.column, "glucose");
    EXPECT_EQ(problem.analyte, "glucose");
    EXPECT_EQ(problem.subject, "07");
    EXPECT_EQ(problem.food, "barley");
    EXPECT_EQ(problem.visit, 2);
    EXPECT_THAT(problem.timeMin, Optional(15.0));
    EXPECT_FALSE(problem.remedy.empty());
    ASSERT_THAT(reading.study->flaws, SizeIs(1));
    EXPECT_EQ(reading.study->flaws[0].draw, 1u);
    EXPECT_EQ(reading.study->flaws[0].analyte, 0u);
    EXPECT_THAT(reading.study->flaws[0].reason, HasSubstr(GetParam().named));
    EXPECT_THAT(reading.study->concentrations[0], ElementsAre(Optional(4.5), std::nullopt));
}

INSTANTIATE_TEST_SUITE_P(
    SamplesCsv, BadConcentration,
    testing::Values(BadCell{"text", "high", "'high' is not a number"},
                    BadCell{"trailingText", "5.4mM", "'5.4mM' is not a number"},
                    BadCell{"twoNumbers", "5.4 6", "'5.4 6' is not a number"},
                    BadCell{"decimalComma", "\"5,4\"", "'5,4' is written with a decimal comma"},
                    BadCell{"negativeDecimalComma", "\"-5,4\"", "'-5,4' is written with a decimal comma"},
                    BadCell{"thousands", "\"1,234,5\"", "'1,234,5' is not a number"},
                    BadCell{"negative", "-3.2", "'-3.2' is negative"},
                    BadCell{"belowNothing", "<0", "'<0' lies beyond the quantification limit"},
                    BadCell{"belowText", "<low", "'<low' lies beyond the quantification limit"},
                    BadCell{"belowBelow", "<<2", "'<<2' lies beyond the quantification limit"},
                    BadCell{"aboveLimit", "> 33.3", "'> 33.3' lies beyond the quantification limit"},
                    BadCell{"inf", "inf", "'inf' is not a finite number"},
                    BadCell{"minusInfinity", "-Infinity", "'-Infinity' is not a finite number"},
                    BadCell{"nan", "NaN", "'NaN' is not a finite number"},
                    BadCell{"overflow", "1e400", "'1e400' is larger than 1e9"},
                    BadCell{"large", "1e16", "'1e16' is larger than 1e9"},
                    BadCell{"hexadecimal", "0x1p3", "'0x1p3' is not a number"},
                    BadCell{"twoSigns", "+-5", "'+-5' is not a number"},
                    BadCell{"justPoint", ".", "'.' is not a number"},
                    BadCell{"control", "5\x1b[31m", "'5?[31m' is not a number"}),
    [](const auto& param) { return std::string{param.param.name}; });

struct BadRow {
    const char* name;
    const char* row;
    const char* column;
    const char* named;
};

class BadIdentity : public testing::TestWithParam<BadRow> {};

TEST_P(BadIdentity, LeavesNoStudy) {
    const auto reading =
        readSamples(std::string{"subject,food,visit,period,time_min,glucose\n1,drink,1,1,0,4.5\n"} +
                    GetParam().row + "\n1,drink,1,1,15,5\n");
    EXPECT_THAT(reading, Refused("samples.csv:3", GetParam().named));
    ASSERT_THAT(reading.problems, SizeIs(1));
    EXPECT_EQ(reading.problems[0].column, GetParam().column);
    EXPECT_FALSE(reading.problems[0].remedy.empty());
    EXPECT_TRUE(isFitForPrint(reading.problems));
}

INSTANTIATE_TEST_SUITE_P(
    SamplesCsv, BadIdentity,
    testing::Values(BadRow{"subjectEmpty", ",drink,1,1,0,5", "subject", "the subject is empty"},
                    BadRow{"subjectBlank", "  ,drink,1,1,0,5", "subject", "the subject is empty"},
                    BadRow{"subjectMissing", "NA,drink,1,1,0,5", "subject",
                           "the subject is 'NA', which stands for a missing value"},
                    BadRow{"subjectWithLineBreak", "\"0\n7\",drink,1,1,0,5", "subject",
                           "'0?7' holds control characters"},
                    BadRow{"foodEmpty", "1,,1,1,0,5", "food", "the food is empty"},
                    BadRow{"foodNotDeclared", "1,rye,1,1,0,5", "food", "the food 'rye' is not declared"},
                    BadRow{"visitZero", "1,drink,0,1,0,5", "visit", "visit '0' is not a whole number from 1"},
                    BadRow{"visitNegative", "1,drink,-1,1,0,5", "visit", "visit '-1'"},
                    BadRow{"visitFraction", "1,drink,1.5,1,0,5", "visit", "visit '1.5'"},
                    BadRow{"visitHuge", "1,drink,99999999999,1,0,5", "visit", "visit '99999999999'"},
                    BadRow{"periodText", "1,drink,1,first,0,5", "period", "period 'first'"},
                    BadRow{"timeText", "1,drink,1,1,noon,5", "time_min", "time_min: 'noon' is not a number"},
                    BadRow{"timeEmpty", "1,drink,1,1,,5", "time_min", "time_min: the cell is empty"},
                    BadRow{"timeDecimalComma", "1,drink,1,1,\"7,5\",5", "time_min",
                           "'7,5' is written with a decimal comma"},
                    BadRow{"timeNan", "1,drink,1,1,nan,5", "time_min", "'nan' is not a finite number"},
                    BadRow{"timeHuge", "1,drink,1,1,2e6,5", "time_min", "'2e6' lies beyond 1000000 min"},
                    BadRow{"fewCells", "1,drink,1,1,0", "", "the row has 5 cells, the header has 6"},
                    BadRow{"manyCells", "1,drink,1,1,0,5,4", "", "the row has 7 cells, the header has 6"}),
    [](const auto& param) { return std::string{param.param.name}; });

TEST(SamplesCsv, EveryBadRowIsListedUpToTheLimitAndTheRestCounted) {
    std::string samples = "subject,food,time_min,glucose\n";
    for (int row = 0; row < 50; ++row) {
        samples += "1,rye,0,5\n";
    }
    ReadLimits limits;
    limits.problemsListed = 20;
    const auto reading = StudyFiles{samples}.read(limits);
    EXPECT_FALSE(reading.study);
    ASSERT_THAT(reading.problems, SizeIs(21));
    EXPECT_EQ(reading.problems[19].row, 21u);
    EXPECT_THAT(lineFor(reading.problems[20]), HasSubstr("30 further problems are not listed"));
    EXPECT_EQ(reading.problems[20].severity, Severity::error);
}

TEST(SamplesCsv, TheReasonForAFailureIsNotCrowdedOutByBadCells) {
    std::string samples = "subject,food,time_min,glucose\n";
    for (int row = 0; row < 50; ++row) {
        samples += "1,drink," + std::to_string(row) + ",high\n";
    }
    samples += "1,rye,0,5\n";
    ReadLimits limits;
    limits.problemsListed = 20;
    const auto reading = StudyFiles{samples}.read(limits);
    EXPECT_THAT(reading, Refused("samples.csv:52", "'rye' is not declared"));
    EXPECT_THAT(reading.problems, SizeIs(21));
}

TEST(SamplesCsv, TooManyBadCellsEndTheReading) {
    std::string samples = "subject,food,time_min,glucose\n";
    for (int row = 0; row < 50; ++row) {
        samples += "1,drink," + std::to_string(row) + ",high\n";
    }
    ReadLimits limits;
    limits.flaws = 10;
    EXPECT_THAT(StudyFiles{samples}.read(limits),
                Refused("samples.csv:12", "more than 10 concentrations cannot be used"));
}

TEST(SamplesCsv, RowAndCellLimitsHold) {
    const std::string samples = "subject,food,time_min,glucose\n1,drink,0,5\n1,drink,15,5\n1,drink,30,5\n";
    ReadLimits limits;
    limits.rows = 2;
    EXPECT_THAT(StudyFiles{samples}.read(limits), Refused("samples.csv:4", "more than the 2 rows"));
    limits.rows = 3;
    EXPECT_TRUE(StudyFiles{samples}.read(limits).study);
    limits.cells = 2;
    EXPECT_THAT(StudyFiles{samples}.read(limits), Refused("samples.csv:4", "more than the 2 rows"));
}

TEST(SamplesCsv, MissingColumnsAreNamedWithThoseFound) {
    for (const char* column : {"subject", "food", "time_min"}) {
        std::string header = "subject,food,time_min,glucose\n";
        header.replace(header.find(column), std::string{column}.size(), "thing");
        const auto reading = readSamples(header + "1,drink,0,5\n");
        EXPECT_THAT(reading, Refused("samples.csv:1", std::string{"the column '"} + column + "' is missing"));
        EXPECT_THAT(reading, Refused("samples.csv:1", "'glucose'"));
        EXPECT_EQ(reading.problems[0].column, column);
    }
}

TEST(SamplesCsv, AnAnalyteWithoutAColumnIsNamed) {
    EXPECT_THAT(StudyFiles("subject,food,time_min,glucose\n1,drink,0,5\n", twoAnalytes).read(),
                Refused("study.json", "'insulin' has no column in any samples file"));
}

TEST(SamplesCsv, AColumnThatIsThereTwiceIsRefused) {
    EXPECT_THAT(readSamples("subject,food,time_min,glucose,subject\n1,drink,0,5,1\n"),
                Refused("samples.csv:1", "the column 'subject' is there twice"));
    EXPECT_THAT(readSamples("subject,food,time_min,glucose,glucose\n1,drink,0,5,1\n"),
                Refused("samples.csv:1", "the column 'glucose' is there twice"));
    EXPECT_THAT(readSamples("subject,food,time_min,glucose,glucose [mg/dL]\n1,drink,0,5,90\n"),
                Refused("samples.csv:1", "the column 'glucose' is there twice"));
}

TEST(SamplesCsv, UnknownColumnsAreNotedOnceAndNotRead) {
    const auto reading =
        readSamples("subject,food,time_min,glucose,nurse_shift,\n1,drink,0,5,a,\n1,drink,15,5,b,\n");
    ASSERT_TRUE(reading.study);
    EXPECT_THAT(reading.problems, SizeIs(2));
    EXPECT_THAT(reading.problems, HasProblem(Severity::note, "samples.csv:1", "'nurse_shift' is not known"));
    EXPECT_THAT(reading.problems, HasProblem(Severity::note, "samples.csv:1", "column 6 has no name"));
}

TEST(SamplesCsv, ColumnsThatLookPersonalAreWarnedOf) {
    for (const char* column :
         {"name", "First Name", "surname", "date_of_birth", "Birthdate", "DOB", "e-mail", "patient_id"}) {
        const auto reading =
            readSamples(std::string{"subject,food,time_min,glucose,"} + column + "\n1,drink,0,5,x\n");
        ASSERT_TRUE(reading.study);
        EXPECT_THAT(reading.problems, SizeIs(1));
        EXPECT_THAT(reading.problems, HasProblem(Severity::warning, "samples.csv:1",
                                                 std::string{"'"} + column + "' looks as if"));
    }
}

TEST(SamplesCsv, UnitsInTheHeaderAreConverted) {
    const auto reading =
        StudyFiles("subject,food,time_min,glucose [mg/dL],insulin [uIU/mL]\n1,drink,0,90.08,10\n",
                   twoAnalytes)
            .read();
    ASSERT_TRUE(reading.study) << linesOf(reading.problems);
    // 18.016 mg/dL per mmol/L, so 90.08 mg/dL is 5 mmol/L; 6.945 pmol per µIU as study.json asks (from
    // memory).
    EXPECT_DOUBLE_EQ(reading.study->concentrations[0][0].value(), 5.0);
    EXPECT_DOUBLE_EQ(reading.study->concentrations[1][0].value(), 69.45);
    EXPECT_THAT(reading.problems,
                HasProblem(Severity::note, "samples.csv:1",
                           "insulin is converted from uIU/mL to pmol/L by the factor 6.945"));
}

TEST(SamplesCsv, AUnitThatIsNotKnownIsRefusedWithThoseThatAre) {
    const auto reading = readSamples("subject,food,time_min,glucose [mg/mL]\n1,drink,0,5\n");
    EXPECT_THAT(reading, Refused("samples.csv:1", "'mg/mL'"));
    EXPECT_THAT(reading, Refused("samples.csv:1", "mmol/L, mg/dL"));
}

TEST(SamplesCsv, AUnitGivenInTheHeaderAloneBecomesTheAnalytes) {
    std::string json = smallStudyJson();
    json.replace(json.find(R"(, "unit": "mmol/L")"), 18, "");
    const auto reading = StudyFiles("subject,food,time_min,glucose [mg/dl]\n1,drink,0,90\n", json).read();
    ASSERT_TRUE(reading.study) << linesOf(reading.problems);
    EXPECT_EQ(reading.study->analytes[0].unit, "mg/dL");
    EXPECT_THAT(reading.study->concentrations[0], ElementsAre(Optional(90.0)));

    const auto without = StudyFiles("subject,food,time_min,glucose\n1,drink,0,90\n", json).read();
    ASSERT_TRUE(without.study);
    EXPECT_THAT(without.problems, HasProblem(Severity::warning, "study.json", "analytes[0].unit is missing"));

    json.replace(json.find(R"(["samples.csv"])"), 15, R"(["samples.csv", "more.csv"])");
    const StudyFiles mixed("subject,food,time_min,glucose [mg/dL]\n1,drink,0,90\n", json);
    mixed.folder.write("more.csv", "subject,food,time_min,glucose\n1,drink,15,5\n");
    EXPECT_THAT(mixed.read(), Refused("more.csv:1", "both with and without a unit"));
}

TEST(SamplesCsv, SeveralFilesMayHoldDifferentAnalytes) {
    std::string json = twoAnalytes;
    json.replace(json.find(R"(["samples.csv"])"), 15, R"(["samples.csv", "lab/insulin.csv"])");
    const StudyFiles files("subject,food,time_min,glucose\n1,drink,0,5\n", json);
    files.folder.write("lab/insulin.csv", "subject,food,time_min,insulin\n1,drink,0,60\n2,drink,0,30\n");
    const auto reading = files.read();
    ASSERT_TRUE(reading.study) << linesOf(reading.problems);
    EXPECT_THAT(reading.study->concentrations,
                ElementsAre(ElementsAre(Optional(5.0), std::nullopt, std::nullopt),
                            ElementsAre(std::nullopt, Optional(60.0), Optional(30.0))));
    EXPECT_EQ(reading.study->draws[2], (Draw{1, 0, 1, 0, 0.0, 1, 3}));
    ASSERT_THAT(reading.study->inputs, SizeIs(3));
    EXPECT_EQ(reading.study->inputs[0].file, "study.json");
    EXPECT_EQ(reading.study->inputs[2].file, "lab/insulin.csv");
}

}  // namespace
}  // namespace aftercurve
