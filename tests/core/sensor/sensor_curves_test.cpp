#include "core/sensor/sensor_curves.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "core/curve/measures.h"
#include "core/edit/save_study.h"
#include "core/files/study_folder.h"
#include "core/findings/analyse.h"
#include "core/sensor/sensor_study.h"
#include "tests/support/close.h"
#include "tests/support/temp_folder.h"

namespace aftercurve {
namespace {

using test::isClose;
using testing::HasSubstr;

constexpr std::int64_t minute = 60;
constexpr std::int64_t dayStart = 20514LL * 86400;  // 2026-03-02 00:00

/// One subject with a reading every 5 min from 06:00 to 12:00, value(t) with t the minutes from 08:00.
template <class Value>
SensorReadings morning(Value value) {
    SensorReadings readings;
    readings.file = "sensor.csv";
    readings.unit = "mmol/L";
    SensorTrace trace;
    trace.subject = "01";
    for (int t = -120; t <= 240; t += 5) {
        trace.readings.push_back({dayStart + (480 + t) * minute, value(static_cast<double>(t)), 2});
    }
    readings.traces.push_back(trace);
    return readings;
}

MealMark mealAt(int minuteFrom8, const std::string& food = "barley", int visit = 1,
                const std::string& subject = "01") {
    return {subject, dayStart + (480 + minuteFrom8) * minute, food, visit, 2};
}

MealMarks marksOf(std::vector<MealMark> marks) {
    return {"meals.csv", "", std::move(marks)};
}

double level(double) {
    return 5.0;
}

std::string all(const std::vector<Problem>& problems) {
    std::string text;
    for (const Problem& problem : problems) {
        text += lineFor(problem) + "\n";
    }
    return text;
}

SensorCurves cut(const SensorReadings& readings, const MealMarks& marks,
                 const SensorCutOptions& options = {}) {
    Result<SensorCurves> curves = sensorCurves(readings, marks, options);
    EXPECT_TRUE(curves.ok()) << (curves.ok() ? "" : curves.problem().what);
    return curves.ok() ? std::move(curves).value() : SensorCurves{};
}

TEST(SensorCurves, TakesTheReadingsAroundTheMeal) {
    const auto curves = cut(morning([](double t) { return 5.0 + t / 1000.0; }), marksOf({mealAt(0)}));
    ASSERT_EQ(curves.curves.size(), 1U);
    const SensorCurve& curve = curves.curves[0];
    EXPECT_TRUE(curve.isUsed()) << curve.leftOutBecause;
    ASSERT_EQ(curve.points.size(), 43U);  // -30, -25, ..., 180
    EXPECT_EQ(curve.points.front().timeMin, -30.0);
    EXPECT_EQ(curve.points.back().timeMin, 180.0);
    EXPECT_EQ(curve.points[8].value, 5.010);
    EXPECT_EQ(curve.baselineReadings, 7U);
    EXPECT_EQ(curve.coveragePercent, 100.0);
    EXPECT_EQ(curve.longestGapMin, 0.0);
    EXPECT_TRUE(curves.problems.empty()) << all(curves.problems);
}

TEST(SensorCurves, AreaOfTheCutCurveIsTheAnalyticOne) {
    // A triangle over 5 mmol/L: up to +3 at 60 min, back at 120 min. Its area is 3 · 120 / 2 = 180.
    const auto readings = morning([](double t) {
        return t <= 0.0 || t >= 120.0 ? 5.0 : 5.0 + 3.0 * (t <= 60.0 ? t / 60.0 : (120.0 - t) / 60.0);
    });
    const SensorCutOptions options;
    const auto curves = cut(readings, marksOf({mealAt(0, "barley"), mealAt(200, "pea")}));
    ASSERT_EQ(curves.used, 2U);
    const Result<Study> study = studyOfSensorCurves(curves, options, {.reference = "pea"});
    ASSERT_TRUE(study.ok());
    const test::TempFolder folder;
    ASSERT_TRUE(writeNewStudy(folder.path() / "study", study.value()).ok());
    const StudyReading read = readStudyFolder(folder.path() / "study");
    ASSERT_TRUE(read.study) << all(read.problems);
    EXPECT_EQ(errorCount(read.problems), 0U) << all(read.problems);
    EXPECT_EQ(read.study->foods[1].role, FoodRole::reference);
    EXPECT_EQ(read.study->visits[0].mealStart, "08:00");
    EXPECT_EQ(read.study->visits[0].date, "2026-03-02");
    const Result<Findings> findings = analyse(*read.study, read.study->plan);
    ASSERT_TRUE(findings.ok());
    bool found = false;
    for (const CurveFinding& curve : findings.value().curves) {
        for (std::size_t m = 0; m < curve.measures.size(); ++m) {
            if (curve.food == "barley" && measureList()[m].key == read.study->plan.measure) {
                found = true;
                EXPECT_TRUE(isClose(curve.measures[m], 180.0, {.relative = 1e-12}));
            }
        }
    }
    EXPECT_TRUE(found);
}

TEST(SensorCurves, ASecondMealCutsTheCurveShort) {
    const auto readings = morning(level);
    const auto marks = marksOf({mealAt(0), mealAt(50, "pea")});
    const auto curves = cut(readings, marks);
    EXPECT_TRUE(curves.curves[0].shortened);
    EXPECT_EQ(curves.curves[0].endMin, 50.0);
    EXPECT_EQ(curves.curves[0].points.back().timeMin, 50.0);
    EXPECT_EQ(curves.curves[1].earlierMealMin, 50.0);
    EXPECT_THAT(all(curves.problems), HasSubstr("cut at 50 min"));
    EXPECT_THAT(all(curves.problems), HasSubstr("not fasting"));
    SensorCutOptions options;
    options.leaveOutShortened = true;
    const auto strict = cut(readings, marks, options);
    EXPECT_FALSE(strict.curves[0].isUsed());
    EXPECT_TRUE(strict.curves[1].isUsed());
    EXPECT_EQ(strict.used, 1U);
    EXPECT_EQ(errorCount(strict.problems), 0U);
}

TEST(SensorCurves, GapsAndCoverage) {
    auto readings = morning(level);
    // Nothing between 08:40 and 09:10: 30 of the 210 min are not covered.
    std::erase_if(readings.traces[0].readings, [](const SensorReading& reading) {
        const auto t = (reading.second - dayStart) / minute - 480;
        return t > 40 && t < 70;
    });
    const auto curves = cut(readings, marksOf({mealAt(0)}));
    EXPECT_TRUE(curves.curves[0].isUsed());
    EXPECT_EQ(curves.curves[0].longestGapMin, 30.0);
    EXPECT_TRUE(isClose(curves.curves[0].coveragePercent, 100.0 * 180.0 / 210.0, {.relative = 1e-14}));
    EXPECT_THAT(all(curves.problems), HasSubstr("gap of 30.0 min"));
    SensorCutOptions options;
    options.leaveOutGaps = true;
    EXPECT_EQ(cut(readings, marksOf({mealAt(0)}), options).used, 0U);
    options.smoothing.maxGapMin = 30.0;
    const auto wider = cut(readings, marksOf({mealAt(0)}), options);
    EXPECT_EQ(wider.used, 1U);
    EXPECT_EQ(wider.curves[0].coveragePercent, 100.0);
}

TEST(SensorCurves, ReadingsThatEndEarlyLeaveAGap) {
    auto readings = morning(level);
    std::erase_if(readings.traces[0].readings,
                  [](const SensorReading& reading) { return reading.second > dayStart + 580 * minute; });
    const auto curves = cut(readings, marksOf({mealAt(0)}));
    EXPECT_EQ(curves.curves[0].longestGapMin, 80.0);
    EXPECT_TRUE(isClose(curves.curves[0].coveragePercent, 100.0 * 130.0 / 210.0, {.relative = 1e-14}));
}

TEST(SensorCurves, MealsWithoutUsableReadingsAreLeftOut) {
    const auto readings = morning(level);
    const auto curves = cut(
        readings, marksOf({mealAt(-2000), mealAt(-130), mealAt(240, "pea"), mealAt(0, "barley", 1, "09")}));
    ASSERT_EQ(curves.curves.size(), 4U);
    EXPECT_THAT(curves.curves[0].leftOutBecause, HasSubstr("no reading around"));
    EXPECT_THAT(curves.curves[1].leftOutBecause, HasSubstr("no baseline"));
    EXPECT_THAT(curves.curves[2].leftOutBecause, HasSubstr("no reading after"));
    EXPECT_THAT(curves.curves[3].leftOutBecause, HasSubstr("no readings of the subject"));
    EXPECT_EQ(errorCount(curves.problems), 4U);
    EXPECT_FALSE(studyOfSensorCurves(curves, {}).ok());
}

TEST(SensorCurves, NoCurveIsCutWhereTheClockWasSetBack) {
    auto readings = morning(level);
    readings.traces[0].clockBack.push_back({dayStart + 500 * minute, dayStart + 555 * minute});
    const auto curves = cut(readings, marksOf({mealAt(0)}));
    EXPECT_THAT(curves.curves[0].leftOutBecause, HasSubstr("set back"));
}

TEST(SensorCurves, TimesOutOfRangeAreTold) {
    auto readings = morning(level);
    readings.traces[0].outOfRange = {{dayStart + 300 * minute, true, 5},
                                     {dayStart + 481 * minute, true, 6},
                                     {dayStart + 482 * minute, false, 7}};
    const auto curves = cut(readings, marksOf({mealAt(0)}));
    EXPECT_EQ(curves.curves[0].aboveRange, 1U);
    EXPECT_EQ(curves.curves[0].belowRange, 1U);
    EXPECT_THAT(remarkOf(curves.curves[0], {}), HasSubstr("above range 1"));
}

TEST(SensorCurves, WithoutMarksOrReadings) {
    const auto none = cut(morning(level), marksOf({}));
    EXPECT_TRUE(none.curves.empty());
    EXPECT_THAT(all(none.problems), HasSubstr("no meal is marked"));
    EXPECT_FALSE(studyOfSensorCurves(none, {}).ok());
    EXPECT_EQ(cut(SensorReadings{}, marksOf({mealAt(0)})).used, 0U);
}

TEST(SensorCurves, OptionsAreCheckedAndWorkCanBeStopped) {
    const auto readings = morning(level);
    const auto marks = marksOf({mealAt(0)});
    for (const double bad : {-1.0, 1441.0, std::numeric_limits<double>::quiet_NaN()}) {
        SensorCutOptions before;
        before.beforeMin = bad;
        EXPECT_FALSE(sensorCurves(readings, marks, before).ok());
        SensorCutOptions after;
        after.afterMin = bad;
        EXPECT_FALSE(sensorCurves(readings, marks, after).ok());
    }
    const auto stopped = sensorCurves(readings, marks, {}, [](double, std::string_view) { return false; });
    ASSERT_FALSE(stopped.ok());
    EXPECT_EQ(stopped.problem().what, "stopped");
}

TEST(SensorCurves, AReferenceThatIsNotThereIsRefused) {
    const auto curves = cut(morning(level), marksOf({mealAt(0)}));
    const auto study = studyOfSensorCurves(curves, {}, {.reference = "bread"});
    ASSERT_FALSE(study.ok());
    EXPECT_THAT(study.problem().what, HasSubstr("'bread'"));
}

}  // namespace
}  // namespace aftercurve
