#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/edit/edit.h"
#include "tests/core/edit/table_editor.h"

namespace aftercurve {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;

constexpr auto diary = StudyTable::diary;
constexpr auto items = StudyTable::diaryItems;
constexpr auto events = StudyTable::events;

TEST(DiaryEdits, DaysKeepTheRulesOfTheirFile) {
    test::TableEditor edit{test::laboratoryStudy()};
    EXPECT_EQ(columnsOf(edit.study, diary)[5].label, "bloating (0 to 3)");
    EXPECT_EQ(edit.at(diary, 1, "bloating"), "");
    EXPECT_EQ(edit.at(diary, 1, "stool_form"), "5");
    EXPECT_THAT(edit.set(diary, 0, "bloating", "4"), HasSubstr("lies outside 0 to 3"));
    EXPECT_THAT(edit.set(diary, 0, "bloating", "1.5"), HasSubstr("is not a whole number"));
    EXPECT_THAT(edit.set(diary, 0, "stool_form", "8"), HasSubstr("stool_form"));
    EXPECT_THAT(edit.set(diary, 0, "stools", "-1"), HasSubstr("stools"));
    EXPECT_THAT(edit.set(diary, 0, "dose_g", "-1"), HasSubstr("dose_g"));
    EXPECT_THAT(edit.set(diary, 0, "day", "0"), HasSubstr("day"));
    EXPECT_THAT(edit.set(diary, 0, "day", ""), HasSubstr("day"));
    EXPECT_THAT(edit.set(diary, 0, "day", "2"), HasSubstr("is there twice"));
    EXPECT_THAT(edit.set(diary, 0, "subject", "09"), HasSubstr("there is no subject '09'"));
    EXPECT_THAT(edit.set(diary, 0, "food", ""), HasSubstr("the food is empty"));
    EXPECT_THAT(edit.set(diary, 0, "cramps", "4"), IsEmpty());
    EXPECT_THAT(edit.set(diary, 0, "dose_g", "9.5"), IsEmpty());
    EXPECT_THAT(edit.insert(diary, 1, {"02", "drink", "", "3", "", "1", "", "", "2"}), IsEmpty());
    EXPECT_THAT(edit.remove(diary, 0), IsEmpty());
    EXPECT_EQ(describe(edit.study, SetCell{diary, 1, 5, "2"}),
              "subject 01, crisp, period 1, day 2, bloating: (empty) → 2");
}

TEST(DiaryEdits, AnItemGivesEachDayAScoreAndGoesOnlyWithoutScores) {
    test::TableEditor edit{test::laboratoryStudy()};
    EXPECT_THAT(edit.insert(items, 1, {"nausea", "", "", "", "", ""}), IsEmpty());
    EXPECT_EQ(edit.study.diary.items[1].threshold, 2);
    EXPECT_EQ(edit.study.diary.days[0].scores.size(), 3u);
    EXPECT_FALSE(edit.study.diary.days[0].scores[1]);
    EXPECT_EQ(edit.study.diary.days[1].scores[2], 2);
    EXPECT_THAT(edit.remove(items, 0), HasSubstr("has scores in the diary"));
    EXPECT_THAT(edit.remove(items, 1), IsEmpty());
    for (std::size_t row = 0; row < 3; ++row) {
        EXPECT_THAT(edit.set(diary, row, "bloating", ""), IsEmpty());
    }
    EXPECT_THAT(edit.remove(items, 0), IsEmpty());
    EXPECT_EQ(edit.study.diary.days[1].scores.size(), 1u);
}

TEST(DiaryEdits, AScaleHoldsItsThresholdAndTheScores) {
    test::TableEditor edit{test::laboratoryStudy()};
    EXPECT_THAT(edit.set(items, 0, "most", "2"), HasSubstr("the diary has the score 3"));
    EXPECT_THAT(edit.set(items, 0, "least", "3"), HasSubstr("most is not above least"));
    EXPECT_THAT(edit.set(items, 0, "threshold", "4"), HasSubstr("lies outside 1 to 3"));
    EXPECT_THAT(edit.set(items, 0, "threshold", "1"), IsEmpty());
    EXPECT_THAT(edit.set(items, 0, "most", "10"), IsEmpty());
    EXPECT_THAT(edit.set(items, 0, "composite", "no"), IsEmpty());
    EXPECT_FALSE(edit.study.diary.items[0].composite);
    EXPECT_THAT(edit.set(items, 0, "id", "cramps"), HasSubstr("is there already"));
    EXPECT_THAT(edit.set(items, 0, "id", "stools"), HasSubstr("a name that the diary uses itself"));
}

TEST(DiaryEdits, ARenamedItemIsRenamedInFigures) {
    test::TableEditor edit{test::laboratoryStudy()};
    edit.study.figures.resize(1);
    edit.study.figures[0].panels.resize(2);
    edit.study.figures[0].panels[0].kind = "symptoms_dose";
    edit.study.figures[0].panels[0].measure = "cramps";
    edit.study.figures[0].panels[1].kind = "curves_mean";
    edit.study.figures[0].panels[1].measure = "cramps";
    EXPECT_THAT(edit.set(items, 1, "id", "pain"), IsEmpty());
    EXPECT_EQ(edit.study.figures[0].panels[0].measure, "pain");
    EXPECT_EQ(edit.study.figures[0].panels[1].measure, "cramps");
}

TEST(DiaryEdits, EventsNameSubjectsFoodsAndWordsThatAreKnown) {
    test::TableEditor edit{test::laboratoryStudy()};
    EXPECT_THAT(edit.set(events, 0, "subject", "09"), HasSubstr("there is no subject"));
    EXPECT_THAT(edit.set(events, 0, "food", "rye"), HasSubstr("there is no food"));
    EXPECT_THAT(edit.set(events, 0, "what", ""), HasSubstr("the event is empty"));
    EXPECT_THAT(edit.set(events, 0, "severity", "bad"), HasSubstr("is not one of mild, moderate, severe"));
    EXPECT_THAT(edit.set(events, 0, "day", "0"), HasSubstr("day"));
    EXPECT_THAT(edit.set(events, 0, "serious", "yes"), IsEmpty());
    // What the file has and no table knows can be mended, and the mending taken back.
    EXPECT_THAT(edit.set(events, 1, "subject", "02"), IsEmpty());
    EXPECT_THAT(edit.set(events, 1, "severity", "severe"), IsEmpty());
    EXPECT_THAT(edit.remove(events, 1), IsEmpty());
    EXPECT_THAT(edit.insert(events, 0, {"01", "", "", "cough", "", "", "", ""}), IsEmpty());
    EXPECT_EQ(describe(edit.study, RemoveRow{events, 0}),
              "row removed from the adverse_events: event of subject 01, cough");
}

TEST(DiaryEdits, AnEventOfAnUnknownSubjectCanBeRemovedAndPutBack) {
    test::TableEditor edit{test::laboratoryStudy()};
    EXPECT_THAT(edit.remove(events, 1), IsEmpty());
    EXPECT_EQ(rowCount(edit.study, events), 1u);
}

TEST(DiaryEdits, SettingsOfTheDiary) {
    test::TableEditor edit{test::laboratoryStudy()};
    SetDiarySettings set{edit.study.diary};
    set.settings.plannedDays = 14;
    set.settings.prorate = true;
    set.settings.days.clear();
    EXPECT_THAT(edit.make(set), IsEmpty());
    EXPECT_EQ(edit.study.diary.days.size(), 3u);
    EXPECT_EQ(describe(test::laboratoryStudy(), set),
              "settings of the diary: planned_days 0 → 14, composite_missing absent → prorate");
    set.settings.plannedDays = -1;
    EXPECT_THAT(edit.make(set), HasSubstr("planned_days"));
}

TEST(LaboratoryExclusions, NameTheLaboratoryOrASubjectAndNotBoth) {
    test::TableEditor edit{test::laboratoryStudy()};
    SetExclusions set{edit.study.exclusions};
    Exclusion one;
    one.material = "flour";
    one.run = "A";
    one.replicate = 2;
    one.timeMin = 20;
    one.reason = "spilt";
    set.exclusions.push_back(one);
    EXPECT_THAT(edit.make(set), IsEmpty());
    EXPECT_EQ(describe(test::laboratoryStudy(), set),
              "exclusion added: flour, run A, replicate 2, 20 min (spilt)");
    set.exclusions.back().subject = "01";
    EXPECT_THAT(edit.make(set), HasSubstr("at once"));
    set.exclusions.back().subject.clear();
    set.exclusions.back().replicate = 0;
    EXPECT_THAT(edit.make(set), HasSubstr("counted from 1"));
    set.exclusions.back().replicate = 1;
    set.exclusions.back().method = "2009.01";
    EXPECT_THAT(edit.make(set), HasSubstr("a run or a time"));
    set.exclusions.back().run = "a\tb";
    EXPECT_THAT(edit.make(set), HasSubstr("control characters"));
}

}  // namespace
}  // namespace aftercurve
