#include "core/edit/save_study.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <limits>

#include "core/base/number_text.h"
#include "core/edit/study_cells.h"
#include "core/files/ledger.h"
#include "core/files/recovery_log.h"
#include "tests/core/files/problem_matchers.h"
#include "tests/support/random_study.h"
#include "tests/support/study_files.h"

namespace aftercurve {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::Not;
using testing::SizeIs;

/// A folder, the study in it, and the changes made to that.
class SaveStudy : public testing::Test {
  protected:
    void open(std::string_view samples, std::string_view json = test::smallStudyJson()) {
        files_.emplace(samples, json);
        read();
    }
    void read() {
        StudyReading reading = files_->read();
        ASSERT_TRUE(reading.study) << linesOf(reading.problems);
        study_ = std::move(*reading.study);
    }
    void change(const Change& wanted) {
        const std::string text = describe(study_, wanted);
        const auto done = apply(study_, wanted);
        ASSERT_TRUE(done) << text << ": " << done.problem().what;
        changes_.push_back({wanted, text, "", "", "AB", "2026-03-02T10:11:12Z", "typing error"});
    }
    void set(StudyTable table, std::size_t row, const std::string& column, const std::string& text) {
        const auto columns = columnsOf(study_, table);
        for (std::size_t i = 0; i < columns.size(); ++i) {
            if (columns[i].name == column) {
                change(SetCell{table, row, i, text});
                return;
            }
        }
        FAIL() << "no column " << column;
    }
    void save() {
        const auto done = saveStudy(files_->folder.path(), study_, changes_);
        ASSERT_TRUE(done) << lineFor(done.problem());
        changes_.clear();
        const StudyReading reading = files_->read();
        ASSERT_TRUE(reading.study) << linesOf(reading.problems);
        EXPECT_TRUE(*reading.study == study_);
    }
    std::string samples() const { return files_->folder.read("samples.csv"); }
    std::string json() const { return files_->folder.read("study.json"); }

    std::optional<test::StudyFiles> files_;
    Study study_;
    std::vector<MadeChange> changes_;
};

TEST_F(SaveStudy, OnlyTheChangedCellIsWritten) {
    open(
        "subject, food ,time_min,glucose,room\n01,\"drink\", 0,4.60,\"B, 2\"\n\n01,drink,+15,7.10,B3\n,,,,\n"
        "02,barley,0,5.00,\"say \"\"so\"\"\"");
    const std::string was = json();
    set(StudyTable::samples, 0, "glucose", "4.7");
    set(StudyTable::samples, 2, "time_min", "-5");
    save();
    EXPECT_EQ(
        samples(),
        "subject, food ,time_min,glucose,room\n01,\"drink\", 0,4.7,\"B, 2\"\n\n01,drink,+15,7.10,B3\n,,,,\n"
        "02,barley,-5,5.00,\"say \"\"so\"\"\"");
    EXPECT_EQ(json(), was);
}

TEST_F(SaveStudy, ARowIsAddedWhereItStandsInTheStudy) {
    open("\xef\xbb\xbfsubject,food,time_min,glucose,room\r\n01,drink,0,4.6,A\r\n01,drink,30,7,B");
    change(InsertRow{StudyTable::samples, 1, {"01", "drink", "", "", "15", "", "", "<2", ""}});
    change(InsertRow{StudyTable::samples, 3, {"01", "barley", "", "", "0", "", "", "NA", ""}});
    save();
    EXPECT_EQ(samples(),
              "\xef\xbb\xbfsubject,food,time_min,glucose,room\r\n01,drink,0,4.6,A\r\n"
              "01,drink,15,<2,\r\n01,drink,30,7,B\r\n01,barley,0,,");
    EXPECT_THAT(study_.draws, SizeIs(4));
    EXPECT_EQ(study_.draws[1].row, 3u);
    EXPECT_EQ(study_.draws[3].row, 5u);
}

TEST_F(SaveStudy, ARemovedRowGoesAndComesBackWithItsBytes) {
    open("subject,food,time_min,glucose,room\r01,drink,0,4.60,A\r01,drink,30,7.0,B\r");
    const std::string was = samples();
    const auto back = apply(study_, RemoveRow{StudyTable::samples, 1});
    ASSERT_TRUE(back);
    ASSERT_TRUE(apply(study_, back.value()));
    save();
    EXPECT_EQ(samples(), was);
    change(RemoveRow{StudyTable::samples, 0});
    save();
    EXPECT_EQ(samples(), "subject,food,time_min,glucose,room\r01,drink,30,7.0,B\r");
}

TEST_F(SaveStudy, AColumnIsAddedForWhatTheFileHasNoPlaceFor) {
    open("subject,food,time_min,glucose\n01,drink,0,4.60\n01,drink,15,7\n");
    set(StudyTable::samples, 0, "remark", "=HYPERLINK(\"x\")");
    set(StudyTable::samples, 1, "replicate", "2");
    set(StudyTable::samples, 1, "nominal_min", "16");
    save();
    EXPECT_EQ(samples(),
              "subject,food,time_min,glucose,nominal_min,replicate,remark\n"
              "01,drink,0,4.60,,1,\"'=HYPERLINK(\"\"x\"\")\"\n01,drink,15,7,16,2,\n");
    EXPECT_EQ(remarkOn(study_, 0), "=HYPERLINK(\"x\")");
}

TEST_F(SaveStudy, ConcentrationsAreWrittenInTheUnitOfTheirColumn) {
    open("subject,food,time_min,glucose [mg/dL]\n01,drink,0,90\n01,drink,15,<36.032\n01,drink,30,110\n");
    // 18.016 mg/dL are 1 mmol/L.
    set(StudyTable::samples, 2, "glucose", "5");
    set(StudyTable::samples, 1, "glucose", "<1");
    save();
    const std::string begin =
        "subject,food,time_min,glucose [mg/dL]\n01,drink,0,90\n01,drink,15,<18.016\n01,drink,30,";
    ASSERT_EQ(samples().substr(0, begin.size()), begin);
    EXPECT_NEAR(std::stod(samples().substr(begin.size())), 90.08, 1e-10);
    EXPECT_EQ(*study_.concentrations[0][2], 5.0);
}

TEST(NumberFor, TheShortestNumberThatReadsBackExactlyElseTheNearest) {
    // Binary fractions are exact, so these hold whatever the rounding.
    EXPECT_EQ(numberFor(5.0, 1.0), "5");
    EXPECT_EQ(numberFor(5.0, 0.5), "10");
    EXPECT_EQ(numberFor(0.375, 0.25), "1.5");
    EXPECT_EQ(numberFor(0.0, 0.25), "0");
    test::Generator g{1};
    std::size_t exact = 0;
    for (int i = 0; i < 2000; ++i) {
        const double factor = g.pick(std::vector{1.0 / 18.016, 18.016, 6.0, 6.945, 88.57});
        const double typed = std::round(g.value(1, 500) * 100) / 100;
        const double value = typed * factor;  // as a reader makes it of a cell with two decimals
        const std::string text = numberFor(value, factor);
        EXPECT_EQ(std::stod(text) * factor, value);
        EXPECT_LE(text.size(), plainNumber(typed).size());
        const double other = g.value(0.1, 30);  // a value that need not be one of the column's
        const double read = std::stod(numberFor(other, factor)) * factor;
        exact += read == other ? 1 : 0;
        EXPECT_LE(std::abs(read - other), 4.0 * std::numeric_limits<double>::epsilon() * other);
    }
    EXPECT_GT(exact, 500u);
}

TEST_F(SaveStudy, ANewUnitKeepsTheNumbersWhateverTheHeaderSaid) {
    open("subject,food,time_min,glucose [mg/dL]\n01,drink,0,90.08\n01,drink,15,NA\n");
    set(StudyTable::samples, 0, "glucose", "5.2");
    set(StudyTable::analytes, 0, "unit", "mg/dL");
    save();
    EXPECT_EQ(*study_.concentrations[0][0], 5.2);
    EXPECT_EQ(samples(), "subject,food,time_min,glucose [mg/dL]\n01,drink,0,5.2\n01,drink,15,NA\n");
}

TEST_F(SaveStudy, ARenamedAnalyteKeepsItsColumnAndItsEntry) {
    open("subject,food,glucose [mmol/L],time_min\n01,drink,4.60,0\n",
         R"({"format": "aftercurve-study", "version": 1, "foods": [{"id": "drink", "role": "test", "lot": 7}],
 "analytes": [{"id": "glucose", "unit": "mmol/L", "tube": "fluoride"}], "samples": ["samples.csv"], "site": "B"})");
    set(StudyTable::analytes, 0, "id", "sugar");
    set(StudyTable::foods, 0, "id", "Saft, süß");
    set(StudyTable::foods, 0, "label", "-Saft");
    save();
    EXPECT_EQ(samples(), "subject,food,sugar [mmol/L],time_min\n01,\"Saft, süß\",4.60,0\n");
    EXPECT_THAT(json(), HasSubstr("\"tube\": \"fluoride\""));
    EXPECT_THAT(json(), HasSubstr("\"lot\": 7"));
    EXPECT_THAT(json(), HasSubstr("\"site\": \"B\""));
    // The text of the older version is kept, as it was.
    EXPECT_THAT(files_->folder.read("study.version-1.json"), HasSubstr("\"glucose\""));
}

TEST_F(SaveStudy, ASecondAnalyteGetsAColumn) {
    open("subject,food,time_min,glucose\n01,drink,0,4.60\n");
    change(InsertRow{StudyTable::analytes, 0, {"insulin", "pmol/L", "serum"}});
    save();
    EXPECT_EQ(samples(), "subject,food,time_min,glucose,insulin\n01,drink,0,4.60,\n");
    set(StudyTable::samples, 0, "insulin", "31");
    save();
    EXPECT_EQ(samples(), "subject,food,time_min,glucose,insulin\n01,drink,0,4.60,31\n");
    EXPECT_EQ(study_.analytes[0].id, "insulin");
}

TEST_F(SaveStudy, AColumnThatWasNotReadIsNotTakenOver) {
    open("subject,food,time_min,glucose,lactate\n01,drink,0,4.60,1.2\n");
    const std::string was = samples();
    change(InsertRow{StudyTable::analytes, 1, {"lactate", "mmol/L", ""}});
    const auto done = saveStudy(files_->folder.path(), study_, changes_);
    ASSERT_FALSE(done);
    EXPECT_THAT(done.problem().what, HasSubstr("'lactate' is not read so far"));
    EXPECT_EQ(samples(), was);
}

TEST_F(SaveStudy, AnAnalyteThatComesBackFindsItsEmptyColumn) {
    open("subject,food,time_min,glucose,lactate [g/L]\n01,drink,0,4.60,NA\n01,drink,15,5,\n");
    change(InsertRow{StudyTable::analytes, 1, {"lactate", "mmol/L", ""}});
    set(StudyTable::samples, 1, "lactate", "1.2");
    save();
    EXPECT_EQ(samples(), "subject,food,time_min,glucose,lactate\n01,drink,0,4.60,NA\n01,drink,15,5,1.2\n");
}

TEST_F(SaveStudy, SubjectsAndVisitsGetFilesWhenTheyNeedThem) {
    open("subject,food,time_min,glucose\n01,drink,0,4.60\n");
    files_->folder.write("visits.csv", "not ours");
    change(InsertRow{StudyTable::subjects, 0, {"-1", "AB", "", "", ""}});
    change(InsertRow{StudyTable::visits, 0, {"-1", "drink", "", "", "2026-02-03", "", "@late"}});
    save();
    EXPECT_EQ(files_->folder.read("subjects.csv"), "subject,sequence\n'-1,AB\n01,\n");
    EXPECT_EQ(files_->folder.read("visits-2.csv"), "subject,food,date,remark\n'-1,drink,2026-02-03,'@late\n");
    EXPECT_EQ(files_->folder.read("visits.csv"), "not ours");
    EXPECT_EQ(samples(), "subject,food,time_min,glucose\n01,drink,0,4.60\n");
}

TEST_F(SaveStudy, ASubjectsFileIsChangedInPlace) {
    files_.emplace("subject,food,time_min,glucose\n01,drink,0,4.6\n03,drink,0,5\n",
                   test::smallStudyJson(R"(, "subjects": "subjects.csv", "visits": "visits.csv")"));
    files_->folder.write("subjects.csv", "ward,subject,age_y\neast,01,31.0\nwest,02,\n");
    files_->folder.write("visits.csv", "food,subject,mood\ndrink,01,good\n");
    read();
    set(StudyTable::subjects, 0, "subject", "S1");
    set(StudyTable::subjects, 1, "sex", "f");
    set(StudyTable::visits, 0, "meal_start", "08:05");
    save();
    EXPECT_EQ(files_->folder.read("subjects.csv"), "ward,subject,age_y,sex\neast,S1,31.0,\nwest,02,,f\n");
    EXPECT_EQ(files_->folder.read("visits.csv"), "food,subject,mood,meal_start\ndrink,S1,good,08:05\n");
    EXPECT_EQ(samples(), "subject,food,time_min,glucose\nS1,drink,0,4.6\n03,drink,0,5\n");
}

TEST_F(SaveStudy, AnEmptyTimeIsWrittenWhereItsNominalOneChanges) {
    open("subject,food,time_min,nominal_min,glucose\n01,drink,,15,4.6\n01,drink,NA,30,4.6\n");
    set(StudyTable::samples, 0, "nominal_min", "20");
    save();
    EXPECT_EQ(samples(),
              "subject,food,time_min,nominal_min,glucose\n01,drink,15,20,4.6\n01,drink,NA,30,4.6\n");
}

TEST_F(SaveStudy, UnusableCellsStandAsTheyAreTyped) {
    open("subject,food,time_min,glucose\n01,drink,0,\"5,4\"\n01,drink,15,4\n");
    set(StudyTable::samples, 0, "remark", "see file");
    set(StudyTable::samples, 1, "glucose", "=1+1");
    save();
    EXPECT_EQ(samples(),
              "subject,food,time_min,glucose,remark\n01,drink,0,\"5,4\",see file\n01,drink,15,'=1+1,\n");
    ASSERT_THAT(study_.flaws, SizeIs(2));
    EXPECT_EQ(study_.flaws[1].reason, "'=1+1' is not a number");
}

TEST_F(SaveStudy, EachChangeIsInTheLedgerWithItsPlace) {
    open("subject,food,time_min,glucose\n01,drink,0,4.60\n01,drink,15,7\n");
    set(StudyTable::samples, 1, "glucose", "7.1");
    changes_.back().from = "7";
    changes_.back().to = "7.1";
    change(RemoveRow{StudyTable::samples, 0});
    change(SetTitle{"Pilot"});
    save();
    const auto ledger = readLedger(files_->folder.path());
    ASSERT_TRUE(ledger);
    const std::vector<LedgerEntry>& entries = ledger.value().check.entries;
    ASSERT_THAT(entries, SizeIs(3));
    EXPECT_EQ(lineFor(entries[0]),
              "1  2026-03-02T10:11:12Z  AB  value  samples.csv:3, subject 01, drink, visit 1, "
              "15 min, glucose: 7 -> 7.1 (typing error)");
    EXPECT_EQ(entries[1].what, "row-removed");
    EXPECT_EQ(entries[1].where.row, 2u);
    EXPECT_EQ(entries[2].where.field, "title");
    EXPECT_EQ(entries[2].inputs, study_.inputs);
    EXPECT_TRUE(entries[0].inputs.empty());
    // The reader finds the files as the ledger left them.
    EXPECT_THAT(files_->read().problems, Not(HasProblem(Severity::warning, "samples.csv", "changed")));
}

TEST_F(SaveStudy, TheLogOfUnsavedEditsGoesWithTheSave) {
    open("subject,food,time_min,glucose\n01,drink,0,4.60\n");
    auto log = RecoveryLog::start(files_->folder.path(), {"AB", "2026-03-02T10:11:12Z", study_.inputs});
    ASSERT_TRUE(log);
    set(StudyTable::samples, 0, "glucose", "4.7");
    save();
    const auto recovery = readRecovery(files_->folder.path());
    ASSERT_TRUE(recovery);
    EXPECT_FALSE(recovery.value());
}

TEST_F(SaveStudy, AFileThatAnotherProgramChangedIsNotOverwritten) {
    open("subject,food,time_min,glucose\n01,drink,0,4.60\n");
    set(StudyTable::samples, 0, "glucose", "4.7");
    const Study edited = study_;
    files_->folder.write("samples.csv", "subject,food,time_min,glucose\n01,drink,0,9\n");
    const auto done = saveStudy(files_->folder.path(), study_, changes_);
    ASSERT_FALSE(done);
    EXPECT_THAT(done.problem().what, HasSubstr("changed by another program"));
    EXPECT_EQ(done.problem().file, "samples.csv");
    EXPECT_TRUE(study_ == edited);
    EXPECT_EQ(samples(), "subject,food,time_min,glucose\n01,drink,0,9\n");
    EXPECT_FALSE(std::filesystem::exists(files_->folder.path() / ledgerName));
}

TEST_F(SaveStudy, WhatCouldNotBeReadAgainIsNotWritten) {
    open("subject,food,time_min,glucose\n01,drink,0,4.60\n");
    const std::string was = samples();
    change(RemoveRow{StudyTable::samples, 0});
    const auto done = saveStudy(files_->folder.path(), study_, changes_);
    ASSERT_FALSE(done);
    EXPECT_THAT(done.problem().what, HasSubstr("no row of data"));
    EXPECT_EQ(samples(), was);
    const test::TempFolder empty;
    EXPECT_FALSE(saveStudy(empty.path(), study_, {}));
    Study unread;
    EXPECT_FALSE(saveStudy(files_->folder.path(), unread, {}));
}

TEST(NewStudy, FilesAreCanonical) {
    const test::TempFolder folder;
    Study study;
    for (const Change& one :
         {Change{SetTitle{"Pilot"}},
          Change{InsertRow{
              StudyTable::foods,
              0,
              {"drink", "Glucose drink", "reference", "50", "", "", "", "", "", "", "", "", "", ""}}},
          Change{InsertRow{StudyTable::subjects, 0, {"01", "AB", "", "", ""}}},
          Change{InsertRow{StudyTable::analytes, 0, {"glucose", "mmol/L", ""}}},
          Change{InsertRow{StudyTable::analytes, 1, {"insulin", "pmol/L", ""}}},
          Change{InsertRow{StudyTable::samples, 0, {"01", "drink", "", "2", "0", "", "", "4.50", "", "-ok"}}},
          Change{InsertRow{
              StudyTable::samples, 1, {"01", "drink", "", "2", "15.5", "", "", "<0.10", "", ""}}}}) {
        ASSERT_TRUE(apply(study, one)) << describe(study, one);
    }
    ASSERT_TRUE(writeNewStudy(folder.path() / "new", study));
    EXPECT_EQ(folder.read("new/samples.csv"),
              "subject,food,period,time_min,glucose,insulin,remark\n"
              "01,drink,2,0,4.5,,'-ok\n01,drink,2,15.5,<0.1,,\n");
    EXPECT_EQ(folder.read("new/subjects.csv"), "subject,sequence\n01,AB\n");
    EXPECT_FALSE(std::filesystem::exists(folder.path() / "new" / "visits.csv"));
    const auto reading = readStudyFolder(folder.path() / "new");
    ASSERT_TRUE(reading.study) << linesOf(reading.problems);
    EXPECT_EQ(reading.study->title, "Pilot");
    EXPECT_THAT(reading.study->concentrations[0], ElementsAre(testing::Optional(4.5), std::nullopt));

    const auto again = writeNewStudy(folder.path() / "new", study);
    ASSERT_FALSE(again);
    EXPECT_THAT(again.problem().what, HasSubstr("already"));
    // A folder that is there and free is taken; nothing is made where the write fails.
    std::filesystem::create_directory(folder.path() / "free");
    EXPECT_TRUE(writeNewStudy(folder.path() / "free", study));
    for (const char* outside : {"../outside.csv", "/outside.csv", ".aftercurve-x.csv", ""}) {
        study.sampleFiles = {outside};
        EXPECT_FALSE(writeNewStudy(folder.path() / "bad", study)) << outside;
        EXPECT_FALSE(std::filesystem::exists(folder.path() / "bad"));
    }
}

TEST(NewStudy, AStudyWithoutDataIsRefused) {
    const test::TempFolder folder;
    Study study;
    EXPECT_FALSE(writeNewStudy(folder.path() / "new", study));
    ASSERT_TRUE(apply(
        study,
        InsertRow{
            StudyTable::foods, 0, {"drink", "", "reference", "", "", "", "", "", "", "", "", "", "", ""}}));
    EXPECT_FALSE(writeNewStudy(folder.path() / "new", study));
    ASSERT_TRUE(apply(study, InsertRow{StudyTable::analytes, 0, {"glucose", "mmol/L", ""}}));
    const auto done = writeNewStudy(folder.path() / "new", study);
    ASSERT_FALSE(done);
    EXPECT_THAT(done.problem().what, HasSubstr("no row of data"));
    EXPECT_FALSE(std::filesystem::exists(folder.path() / "new"));
    EXPECT_EQ(subjectsCsv(Study{}), "subject\n");
    EXPECT_EQ(visitsCsv(Study{}), "subject,food\n");
    EXPECT_EQ(samplesCsv(Study{}, 0), "subject,food,time_min\n");
}

}  // namespace
}  // namespace aftercurve
