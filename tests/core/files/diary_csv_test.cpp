#include "core/files/diary_csv.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/edit/edit.h"
#include "core/edit/save_study.h"
#include "core/files/diary_json.h"
#include "core/files/sha256.h"
#include "tests/core/files/problem_matchers.h"
#include "tests/support/study_files.h"

namespace aftercurve {
namespace {

using testing::ElementsAre;
using testing::Eq;
using testing::IsEmpty;
using testing::Optional;
using testing::SizeIs;

constexpr const char* samples = "subject,food,time_min,glucose\n01,drink,0,4.5\n01,drink,30,6.5\n";

std::string diaryKey(const std::string& more = "") {
    return R"(, "diary": {"file": "diary.csv", "planned_days": 3, "items": [
  {"id": "bloating", "label": "Bloating", "least": 0, "most": 3},
  {"id": "cramps", "least": 0, "most": 10, "composite": false, "threshold": 4}])" +
           more + "}";
}

struct DiaryFiles {
    test::StudyFiles files;

    explicit DiaryFiles(const std::string& diary, const std::string& key = diaryKey())
        : files(samples, test::smallStudyJson(key)) {
        files.folder.write("diary.csv", diary);
    }
    StudyReading read(const ReadLimits& limits = {}) const { return files.read(limits); }
};

StudyReading readWith(const std::string& diary, const std::string& key = diaryKey()) {
    return DiaryFiles{diary, key}.read();
}

constexpr const char* header = "subject,food,period,day,dose_g,bloating,cramps,stool_form,stools\n";

TEST(DiaryCsv, HoldsScoresStoolsAndDoses) {
    const std::string text = std::string{header} + "01,drink,1,1,5,2,NA,6,2\n02,barley,,2,,,3,,\n";
    const auto reading = readWith(text);
    ASSERT_TRUE(reading.study) << linesOf(reading.problems);
    const DiaryData& diary = reading.study->diary;
    EXPECT_EQ(diary.plannedDays, 3);
    EXPECT_EQ(diary.items[1].label, "cramps");
    EXPECT_EQ(diary.items[1].threshold, 4);
    EXPECT_EQ(diary.items[0].threshold, 2);
    ASSERT_THAT(diary.days, SizeIs(2));
    EXPECT_THAT(diary.days[0].scores, ElementsAre(Optional(2), Eq(std::nullopt)));
    EXPECT_EQ(diary.days[0].doseG, 5.0);
    EXPECT_EQ(diary.days[0].stoolForm, 6);
    EXPECT_EQ(diary.days[0].stools, 2);
    EXPECT_EQ(diary.days[0].row, 2U);
    EXPECT_EQ(diary.days[1].period, 0);
    EXPECT_THAT(diary.days[1].scores, ElementsAre(Eq(std::nullopt), Optional(3)));
    EXPECT_THAT(reading.problems, HasProblem(Severity::note, "diary.csv:3", "has a diary but no samples"));
    EXPECT_EQ(reading.study->inputs.back().file, "diary.csv");
    EXPECT_EQ(reading.study->inputs.back().sha256, sha256Hex(text));
}

TEST(DiaryCsv, AScoreOutsideItsScaleStaysMissingAndIsNamed) {
    const auto reading =
        readWith(std::string{header} + "01,drink,1,1,-2,4,1.5,8,-1\n01,drink,1,2,x,=1+1,\"2,0\",0,1e9\n");
    ASSERT_TRUE(reading.study) << linesOf(reading.problems);
    for (const DiaryDay& day : reading.study->diary.days) {
        EXPECT_THAT(day.scores, ElementsAre(Eq(std::nullopt), Eq(std::nullopt)));
        EXPECT_FALSE(day.stoolForm || day.stools || day.doseG);
    }
    EXPECT_THAT(reading.problems,
                HasProblem(Severity::error, "diary.csv:2", "'4' is not a whole number from 0 to 3"));
    EXPECT_THAT(reading.problems, HasProblem(Severity::error, "diary.csv:2", "'1.5' is not a whole number"));
    EXPECT_THAT(reading.problems, HasProblem(Severity::error, "diary.csv:3", "'=1+1'"));
    EXPECT_EQ(errorCount(reading.problems), 10U);
    EXPECT_TRUE(isFitForPrint(reading.problems));
}

TEST(DiaryCsv, WhatCannotBeReadIsRefusedByRow) {
    const std::string head{header};
    EXPECT_THAT(readWith(head + "01,tea,1,1,,,,,\n"), Refused("diary.csv:2", "'tea' is not declared"));
    EXPECT_THAT(readWith(head + "01,drink,1,0,,,,,\n"), Refused("diary.csv:2", "the day '0'"));
    EXPECT_THAT(readWith(head + "01,drink,1,1001,,,,,\n"), Refused("diary.csv:2", "the day '1001'"));
    EXPECT_THAT(readWith(head + "01,drink,x,1,,,,,\n"), Refused("diary.csv:2", "the period 'x'"));
    EXPECT_THAT(readWith(head + ",drink,1,1,,,,,\n"), Refused("diary.csv:2", "subject"));
    EXPECT_THAT(readWith(head + "01,drink,1,1,,1,,,\n01,drink,1,1,,2,,,\n"),
                Refused("diary.csv:3", "is there twice"));
    EXPECT_THAT(readWith("subject,food,day,bloating\n01,drink,1,1\n"),
                Refused("diary.csv:1", "'cramps' is missing"));
    EXPECT_THAT(readWith(std::string{"subject,food,day\0", 17}), Refused("diary.csv:1", "NUL"));
    ReadLimits few;
    few.rows = 2;
    EXPECT_FALSE(
        DiaryFiles(head + "01,drink,1,1,,,,,\n01,drink,1,2,,,,,\n01,drink,1,3,,,,,\n").read(few).study);
}

TEST(DiaryCsv, DosesWithoutEndAreRefused) {
    std::string text{"subject,food,day,dose_g,bloating,cramps\n"};
    for (std::size_t i = 0; i <= mostDiaryArms; ++i) {
        text += "01,drink," + std::to_string(i + 1) + "," + std::to_string(i) + ".5,1,1\n";
    }
    EXPECT_THAT(readWith(text), Refused("diary.csv:202", "more than the 200 foods and doses"));
}

TEST(DiaryJson, WhatCannotBeMeantIsRefused) {
    const auto with = [](const std::string& diary) {
        return readWith("subject,food,day\n01,drink,1\n", R"(, "diary": )" + diary);
    };
    EXPECT_THAT(with(R"({"items": [{"id": "day"}]})"),
                Refused("study.json", "a name that the diary uses itself"));
    EXPECT_THAT(with(R"({"items": [{"id": "gas"}, {"id": "gas"}]})"), Refused("study.json", "appears twice"));
    EXPECT_THAT(with(R"({"items": [{"id": "gas", "least": 3, "most": 3}]})"),
                Refused("study.json", "not above least"));
    EXPECT_THAT(with(R"({"items": [{"id": "gas", "most": 3, "threshold": 4}]})"),
                Refused("study.json", "runs from 1 to 3"));
    EXPECT_THAT(with(R"({"composite_missing": "guess"})"), Refused("study.json", "which is no rule"));
    EXPECT_THAT(with(R"({"file": "../diary.csv"})"), Refused("../diary.csv", ""));
    EXPECT_THAT(with(R"({"events": [{"subject": "01"}]})"), Refused("study.json", "what"));
    const auto odd = with(R"({"events": [{"subject": "01", "what": "headache", "severity": "awful"}]})");
    ASSERT_TRUE(odd.study) << linesOf(odd.problems);
    EXPECT_EQ(odd.study->diary.events[0].severity, "awful");  // no event is lost
    EXPECT_THAT(odd.problems, HasProblem(Severity::warning, "study.json", "'awful'"));
}

TEST(DiaryCsv, WrittenDaysAreReadBackAsTheyWere) {
    const auto reading = readWith(std::string{header} + "01,drink,1,1,0.1,2,NA,6,2\n-2,barley,,2,,,3,,\n");
    ASSERT_TRUE(reading.study) << linesOf(reading.problems);
    Study again = *reading.study;
    again.diary.days.clear();
    ProblemList problems{10};
    readDiaryCsv(diaryCsv(reading.study->diary), "diary.csv", {}, again, problems);
    EXPECT_FALSE(problems.failed());
    EXPECT_EQ(again.diary.days, reading.study->diary.days);
}

TEST(DiaryCsv, StaysWithTheStudyThroughSavingAndACopy) {
    const std::string text = std::string{header} + "01,drink,1,1,5,2,NA,6,2\n02,barley,2,1,,1,3,,\n";
    const DiaryFiles there{text, diaryKey(R"(, "note": "kept", "events": [{"subject": "02", "food": "barley",
 "what": "headache", "severity": "mild", "serious": true}])")};
    auto reading = there.read();
    ASSERT_TRUE(reading.study) << linesOf(reading.problems);
    Study study = *reading.study;
    study.title = "Another title";
    ASSERT_TRUE(saveStudy(there.files.folder.path(), study, {}));
    EXPECT_EQ(study.diary, reading.study->diary);
    const auto saved = there.read();
    ASSERT_TRUE(saved.study) << linesOf(saved.problems);
    EXPECT_EQ(saved.study->diary, reading.study->diary);
    EXPECT_NE(saved.study->studyJson.find("\"note\": \"kept\""), std::string::npos);
    const test::TempFolder copy;
    ASSERT_TRUE(writeNewStudy(copy.path() / "copy", *reading.study));
    const auto copied = readStudyFolder(copy.path() / "copy");
    ASSERT_TRUE(copied.study) << linesOf(copied.problems);
    EXPECT_EQ(copied.study->diary, reading.study->diary);
}

void renameTo(Study& study, StudyTable table, std::size_t row, const std::string& id,
              std::vector<MadeChange>& changes) {
    const Change wanted = SetCell{table, row, 0, id};  // both tables begin with the id
    ASSERT_TRUE(apply(study, wanted));
    changes.push_back({wanted, "renamed", "", "", "AB", "2026-03-02T10:11:12Z", "code of the protocol"});
}

TEST(DiaryCsv, FollowsRenamedFoodsAndSubjectsAndKeepsThemFromBeingRemoved) {
    const DiaryFiles there{std::string{header} + "02,barley,2,1,,1,3,,\n", diaryKey(R"(, "events": [
 {"subject": "02", "food": "barley", "what": "headache"}])")};
    auto reading = there.read();
    ASSERT_TRUE(reading.study) << linesOf(reading.problems);
    Study study = *reading.study;
    EXPECT_FALSE(apply(study, RemoveRow{StudyTable::subjects, 1}));  // the second one has a diary alone
    std::vector<MadeChange> changes;
    renameTo(study, StudyTable::foods, 1, "groats", changes);
    renameTo(study, StudyTable::subjects, 1, "B2", changes);
    const auto saved = saveStudy(there.files.folder.path(), study, changes);
    ASSERT_TRUE(saved) << lineFor(saved.problem());
    const auto again = there.read();
    ASSERT_TRUE(again.study) << linesOf(again.problems);
    EXPECT_EQ(again.study->diary.days[0].food, "groats");
    EXPECT_EQ(again.study->diary.days[0].subject, "B2");
    EXPECT_EQ(again.study->diary.events[0].food, "groats");
    EXPECT_EQ(again.study->diary.events[0].subject, "B2");
}

}  // namespace
}  // namespace aftercurve
