#include "core/tolerance/diary_scores.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "tests/support/close.h"
#include "tests/support/diary_builder.h"

namespace aftercurve {
namespace {

using test::DiaryBuilder;
using test::isClose;

const DiaryScore& scoreOf(const std::vector<DiaryScore>& scores, const std::string& subject,
                          std::size_t quantity) {
    const auto found = std::find_if(scores.begin(), scores.end(), [&](const DiaryScore& score) {
        return score.subject == subject && score.quantity == quantity;
    });
    EXPECT_NE(found, scores.end());
    return *found;
}

std::vector<DiaryScore> scoresOf(const Study& study) {
    return diaryScores(study.diary, diaryRuns(study), diaryQuantities(study.diary));
}

TEST(DiaryRuns, PlannedDaysMissingDaysAndAbsentSubjectsAreCounted) {
    DiaryBuilder builder;
    builder.plannedDays(4).item("bloating");
    builder.day("01", "crispbread", 1, {1}).day("01", "crispbread", 3, {2}).day("01", "crispbread", 2, {{}});
    builder.day("02", "drink", 1, {0}).day("02", "drink", 5, {0});
    const DiaryRuns runs = diaryRuns(builder.study());
    ASSERT_EQ(runs.arms.size(), 2U);
    EXPECT_EQ(runs.arms[0].food, "drink");  // as the study orders its foods
    ASSERT_EQ(runs.runs.size(), 4U);
    EXPECT_EQ(runs.runs[0].subject, "01");  // no day of the drink
    EXPECT_EQ(runs.runs[0].missing, (std::vector<int>{1, 2, 3, 4}));
    EXPECT_EQ(runs.runs[1].missing, (std::vector<int>{2, 3, 4}));
    EXPECT_EQ(runs.runs[2].missing, (std::vector<int>{2, 4}));  // a row without entries is a missing day
    ASSERT_EQ(runs.remarks.size(), 1U);                         // day 5 of 4
    EXPECT_TRUE(runs.remarks[0].leftOut);
    EXPECT_NE(runs.remarks[0].what.find("after the 4 planned days"), std::string::npos);
}

TEST(DiaryRuns, ExclusionsHoldForTheDiary) {
    DiaryBuilder builder;
    builder.item("bloating");
    builder.day("01", "drink", 1, {1}, {}, 1).day("01", "drink", 1, {2}, {}, 2).day("02", "drink", 1, {3});
    const auto kept = [&builder](const Exclusion& exclusion) {
        builder.study().exclusions = {exclusion};
        const DiaryRuns runs = diaryRuns(builder.study());
        std::size_t days = 0;
        for (const DiaryRun& run : runs.runs) {
            days += run.days.size();
        }
        EXPECT_EQ(days + runs.excludedDays, 3U);
        return days;
    };
    Exclusion exclusion;
    exclusion.subject = "01";
    EXPECT_EQ(kept(exclusion), 1U);
    exclusion.visit = 2;
    EXPECT_EQ(kept(exclusion), 2U);
    exclusion.visit = 1;  // a period that is not given counts as 1
    exclusion.subject.clear();
    EXPECT_EQ(kept(exclusion), 1U);
    exclusion.analyte = "glucose";  // speaks of curves only
    EXPECT_EQ(kept(exclusion), 3U);
}

TEST(DiaryRuns, DosesWithinAPeriodMakeArmsWithTheirOwnDays) {
    DiaryBuilder builder;
    builder.plannedDays(4).item("bloating");
    for (const std::string subject : {"01", "02"}) {
        builder.day(subject, "crispbread", 1, {0}, 5.0).day(subject, "crispbread", 2, {1}, 5.0);
        builder.day(subject, "crispbread", 3, {2}, 10.0).day(subject, "crispbread", 4, {3}, 10.0);
    }
    builder.day("03", "crispbread", 1, {1}, 5.0).day("03", "crispbread", 2, {1});  // takes the only dose
    const DiaryRuns runs = diaryRuns(builder.study());
    ASSERT_EQ(runs.arms.size(), 2U);
    EXPECT_EQ(runs.arms[1].doseG, 10.0);
    EXPECT_EQ(runs.runs[0].firstPlanned, 1);
    EXPECT_EQ(runs.runs[0].lastPlanned, 2);
    EXPECT_EQ(runs.runs[3].firstPlanned, 3);
    EXPECT_EQ(runs.runs[3].lastPlanned, 4);
    ASSERT_EQ(runs.remarks.size(), 1U);
    EXPECT_FALSE(runs.remarks[0].leftOut);
    EXPECT_EQ(runs.runs[2].subject, "03");
    EXPECT_EQ(runs.runs[2].days.size(), 2U);
    builder.day("01", "crispbread", 5, {1});  // one of two doses: nobody knows which
    const auto remarks = diaryRuns(builder.study()).remarks;
    EXPECT_TRUE(std::any_of(remarks.begin(), remarks.end(), [](const DiaryRemark& r) { return r.leftOut; }));
}

TEST(DiaryScores, WorstMeanAreaAndComposite) {
    DiaryBuilder builder;
    builder.plannedDays(4).item("bloating").item("cramps").item("thirst", false);
    builder.day("01", "drink", 1, {0, 1, 3}).day("01", "drink", 2, {2, 1, 3});
    builder.day("01", "drink", 3, {3, {}, 3}).day("01", "drink", 4, {1, 0, 3});
    const auto scores = scoresOf(builder.study());
    const DiaryScore& bloating = scoreOf(scores, "01", 0);
    EXPECT_EQ(bloating.worst, 3.0);  // analytic: 0, 2, 3, 1
    EXPECT_EQ(bloating.mean, 1.5);
    EXPECT_EQ(bloating.area, 5.5);  // 1 + 2.5 + 2
    EXPECT_EQ(bloating.any, true);
    EXPECT_EQ(bloating.marked, true);
    const DiaryScore& cramps = scoreOf(scores, "01", 1);
    EXPECT_EQ(cramps.area, 2.0);  // 1, 1, -, 0: 1 + spanned (1 + 0)/2 · 2
    EXPECT_EQ(cramps.scored, 3U);
    ASSERT_EQ(cramps.notes.size(), 1U);
    EXPECT_EQ(cramps.marked, false);
    const DiaryScore& composite = scoreOf(scores, "01", 3);
    EXPECT_EQ(composite.scored, 3U);  // day 3 has no cramps
    EXPECT_EQ(composite.worst, 3.0);  // 1, 3, -, 1
    EXPECT_TRUE(isClose(composite.mean, 5.0 / 3.0, {.absolute = 1e-15}));
    builder.study().diary.prorate = true;
    const auto prorated = scoresOf(builder.study());
    EXPECT_EQ(scoreOf(prorated, "01", 3).worst, 6.0);  // 3 of 3 scaled to 6
    EXPECT_EQ(scoreOf(prorated, "01", 3).scored, 4U);
}

TEST(DiaryScores, AnAreaIsNotDrawnOutAndNothingIsFilled) {
    DiaryBuilder builder;
    builder.plannedDays(3).item("bloating");
    builder.day("01", "drink", 1, {2}).day("01", "drink", 2, {2});
    builder.day("02", "drink", 1, {0}).day("02", "drink", 2, {0}).day("02", "drink", 3, {0});
    builder.day("03", "drink", 1, {{}});
    const auto scores = scoresOf(builder.study());
    EXPECT_FALSE(scoreOf(scores, "01", 0).area);
    EXPECT_NE(scoreOf(scores, "01", 0).areaAbsentBecause.find("day 3"), std::string::npos);
    EXPECT_EQ(scoreOf(scores, "02", 0).area, 0.0);
    EXPECT_EQ(scoreOf(scores, "02", 0).any, false);
    const DiaryScore& none = scoreOf(scores, "03", 0);
    EXPECT_FALSE(none.worst || none.mean || none.area || none.any);
    EXPECT_FALSE(none.absentBecause.empty());
}

TEST(DiaryScores, StoolFormsAreSharesOfTheDaysWithAForm) {
    DiaryBuilder builder;
    builder.plannedDays(4);
    const int forms[] = {1, 2, 6, 4};
    for (int i = 0; i < 4; ++i) {
        builder.day("01", "drink", i + 1, {});
        builder.study().diary.days.back().stoolForm = forms[i];
        builder.study().diary.days.back().stools = i;
    }
    const auto scores = scoresOf(builder.study());
    EXPECT_EQ(scoreOf(scores, "01", 0).hardPercent, 50.0);
    EXPECT_EQ(scoreOf(scores, "01", 0).loosePercent, 25.0);
    EXPECT_FALSE(scoreOf(scores, "01", 0).any);
    EXPECT_EQ(scoreOf(scores, "01", 1).mean, 1.5);
    EXPECT_FALSE(scoreOf(scores, "01", 1).worst);
}

TEST(DiaryScores, TheOrderOfTheRowsDoesNotMatter) {
    DiaryBuilder builder;
    builder.plannedDays(3).item("bloating").item("cramps");
    for (int day = 1; day <= 3; ++day) {
        builder.day("01", "drink", day, {day, 0}).day("02", "crispbread", day, {1, day});
    }
    const auto there = scoresOf(builder.study());
    std::reverse(builder.study().diary.days.begin(), builder.study().diary.days.end());
    const auto back = scoresOf(builder.study());
    ASSERT_EQ(there.size(), back.size());
    for (std::size_t i = 0; i < there.size(); ++i) {
        EXPECT_EQ(there[i].subject, back[i].subject);
        EXPECT_EQ(there[i].area, back[i].area);
        EXPECT_EQ(there[i].worst, back[i].worst);
    }
}

}  // namespace
}  // namespace aftercurve
