// Checks of single curves: fasting values, steps, times, determinations, limits of the laboratory.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/check_run.h"
#include "tests/support/feeding_study.h"

namespace aftercurve {

using test::FeedingStudy;
using test::found;
using test::StudyBuilder;
using testing::HasSubstr;

namespace {

/// One glucose curve of one subject.
Study oneCurve(const std::vector<double>& time, const std::vector<std::optional<double>>& value,
               const std::string& analyte = "glucose", const std::string& unit = "mmol/L") {
    StudyBuilder builder;
    builder.food("bread", FoodRole::reference).analyte(analyte, unit);
    builder.curve("01", "bread", 1, time, value, analyte);
    return builder.study();
}

void expectPlace(const Problem& p, const FeedingStudy& data, const std::string& subject,
                 const std::string& food, int visit, double time, const std::string& analyte = "glucose") {
    EXPECT_EQ(p.severity, Severity::warning);
    EXPECT_EQ(p.file, "samples.csv");
    EXPECT_EQ(p.row, data.study.draws[data.draw(subject, food, visit, time)].row);
    EXPECT_EQ(p.column, analyte);
    EXPECT_EQ(p.subject, subject);
    EXPECT_EQ(p.food, food);
    EXPECT_EQ(p.visit, visit);
    EXPECT_EQ(p.analyte, analyte);
    EXPECT_EQ(p.timeMin, time);
    EXPECT_FALSE(p.remedy.empty());
}

}  // namespace

TEST(MissingBaselineCheck, FindsTheCurveWithoutAFastingValue) {
    FeedingStudy data;
    data.cell("02", "oats", 1, -10).reset();
    EXPECT_TRUE(found(data.study, "missing-baseline").empty());
    data.cell("02", "oats", 1, 0).reset();
    const auto problems = found(data.study, "missing-baseline");
    ASSERT_EQ(problems.size(), 1U);
    expectPlace(problems[0], data, "02", "oats", 1, 15);
    EXPECT_THAT(problems[0].what, HasSubstr("no value at or before 0 min"));
}

TEST(MissingBaselineCheck, FollowsThePlansBaseline) {
    FeedingStudy data;
    data.cell("02", "oats", 1, 0).reset();
    EXPECT_TRUE(found(data.study, "missing-baseline").empty());
    data.study.plan.baseline = BaselineRule::timeZero;
    EXPECT_EQ(found(data.study, "missing-baseline").size(), 1U);
}

TEST(MissingBaselineCheck, AValueBelowTheLimitOfQuantificationIsThere) {
    FeedingStudy data;
    data.cell("02", "oats", 1, -10, "insulin").reset();
    data.cell("02", "oats", 1, 0, "insulin").reset();
    data.study.belowLimit = {{data.draw("02", "oats", 1, 0), 1, 12.0}};
    EXPECT_TRUE(found(data.study, "missing-baseline").empty());
}

TEST(FastingSpreadCheck, GlucoseApartByMoreThanTheLimit) {
    EXPECT_TRUE(found(oneCurve({-10, 0, 30}, {4.5, 5.3, 7.0}), "fasting-spread").empty());
    EXPECT_TRUE(found(oneCurve({-10, 0, 30}, {5.4, 4.6, 7.0}), "fasting-spread").empty());
    const auto problems = found(oneCurve({-10, 0, 30}, {4.5, 5.31, 7.0}), "fasting-spread");
    ASSERT_EQ(problems.size(), 1U);
    EXPECT_EQ(problems[0].row, 3U);
    EXPECT_EQ(problems[0].timeMin, 0.0);
    EXPECT_THAT(problems[0].what, HasSubstr("4.5 mmol/L (-10 min) and 5.31 mmol/L (0 min)"));
    // 0.8 mmol/L are 14.4 mg/dL; values after 0 do not matter.
    EXPECT_TRUE(found(oneCurve({-10, 0, 1}, {90, 104, 150}, "glucose", "mg/dL"), "fasting-spread").empty());
    EXPECT_EQ(found(oneCurve({-10, 0, 1}, {90, 105, 150}, "glucose", "mg/dL"), "fasting-spread").size(), 1U);
}

TEST(FastingSpreadCheck, OtherAnalytesByRatio) {
    EXPECT_TRUE(found(oneCurve({-10, 0, 30}, {60, 30, 200}, "insulin", "pmol/L"), "fasting-spread").empty());
    EXPECT_EQ(found(oneCurve({-10, 0, 30}, {61, 30, 200}, "insulin", "pmol/L"), "fasting-spread").size(), 1U);
    EXPECT_EQ(found(oneCurve({-10, 0, 30}, {0, 30, 200}, "insulin", "pmol/L"), "fasting-spread").size(), 1U);
    EXPECT_TRUE(found(oneCurve({-10, 0, 30}, {0, 0, 200}, "insulin", "pmol/L"), "fasting-spread").empty());
    EXPECT_TRUE(found(oneCurve({0, 30}, {30, 200}, "insulin", "pmol/L"), "fasting-spread").empty());
}

TEST(FastingRangeCheck, BothEndsOfEachRange) {
    const auto count = [](double value, const char* analyte, const char* unit) {
        return found(oneCurve({0, 30}, {value, value * 1.2}, analyte, unit), "fasting-range").size();
    };
    EXPECT_EQ(count(3.5, "glucose", "mmol/L"), 0U);
    EXPECT_EQ(count(3.45, "glucose", "mmol/L"), 1U);
    EXPECT_EQ(count(6.0, "glucose", "mmol/L"), 0U);
    EXPECT_EQ(count(6.1, "glucose", "mmol/L"), 1U);
    EXPECT_EQ(count(6.9, "glucose", "mmol/L"), 1U);
    EXPECT_EQ(count(7.0, "glucose", "mmol/L"), 0U);  // the clinician's
    EXPECT_EQ(count(2.9, "glucose", "mmol/L"), 0U);
    EXPECT_EQ(count(108.1, "glucose", "mg/dL"), 0U);
    EXPECT_EQ(count(110.0, "glucose", "mg/dL"), 1U);
    EXPECT_EQ(count(12.0, "insulin", "pmol/L"), 0U);
    EXPECT_EQ(count(11.9, "insulin", "pmol/L"), 1U);
    EXPECT_EQ(count(29.0, "insulin", "µIU/mL"), 0U);
    EXPECT_EQ(count(29.1, "insulin", "µIU/mL"), 1U);
    EXPECT_EQ(count(1.0, "c-peptide", "nmol/L"), 0U);
    EXPECT_EQ(count(1.1, "c-peptide", "nmol/L"), 1U);
    EXPECT_EQ(count(1.7, "triglycerides", "mmol/L"), 0U);
    EXPECT_EQ(count(1.8, "triglycerides", "mmol/L"), 1U);
    EXPECT_EQ(count(50.0, "lactate", "mmol/L"), 0U);
}

TEST(FastingRangeCheck, NamesTheCurve) {
    FeedingStudy data;
    data.cell("05", "bread", 2, -10) = 6.3;
    data.cell("05", "bread", 2, 0) = 6.5;
    const auto problems = found(data.study, "fasting-range");
    ASSERT_EQ(problems.size(), 1U);
    expectPlace(problems[0], data, "05", "bread", 2, -10);
    EXPECT_THAT(problems[0].what, HasSubstr("fasting mean 6.4 mmol/L"));
}

TEST(JumpCheck, RateAndStepOnBothSidesOfTheirLimits) {
    const auto count = [](double from, double to, double minutes) {
        return found(oneCurve({0, minutes}, {from, to}), "implausible-jump").size();
    };
    EXPECT_EQ(count(5.0, 5.0 + 0.28 * 15, 15), 0U);
    EXPECT_EQ(count(5.0, 5.0 + 0.281 * 15, 15), 1U);
    EXPECT_EQ(count(9.0, 9.0 - 0.281 * 15, 15), 1U);
    EXPECT_EQ(count(5.0, 6.0, 1), 0U);  // 1 a minute, but a step of 1 is noise
    EXPECT_EQ(count(5.0, 6.1, 1), 1U);
    // Glucose alone has a rate.
    EXPECT_TRUE(found(oneCurve({0, 15}, {40, 900}, "insulin", "pmol/L"), "implausible-jump").empty());
    EXPECT_TRUE(found(oneCurve({0}, {5.0}), "implausible-jump").empty());
}

TEST(JumpCheck, NamesTheLaterSample) {
    FeedingStudy data;
    data.cell("04", "oats", 1, 45) = 14.0;
    const auto problems = found(data.study, "implausible-jump");
    ASSERT_EQ(problems.size(), 2U);  // up, and down again
    expectPlace(problems[0], data, "04", "oats", 1, 45);
    expectPlace(problems[1], data, "04", "oats", 1, 60);
    EXPECT_THAT(problems[0].what, HasSubstr("to 14 mmol/L"));
}

TEST(DecimalSlipCheck, TenTimesTooLargeAndTooSmall) {
    for (const double value : {66.0, 0.66}) {
        FeedingStudy data;
        data.cell("03", "oats", 1, 30) = value;
        const auto problems = found(data.study, "decimal-slip");
        ASSERT_EQ(problems.size(), 1U) << value;
        expectPlace(problems[0], data, "03", "oats", 1, 30);
        EXPECT_THAT(problems[0].what, HasSubstr("(6.6 mmol/L?)"));
        // The same value is not called a jump as well.
        EXPECT_TRUE(found(data.study, "implausible-jump").empty());
    }
}

TEST(DecimalSlipCheck, LimitsOfTheRatio) {
    const auto count = [](double value, const char* analyte = "glucose", double apart = 30) {
        return found(oneCurve({0, apart, 2 * apart}, {5.0, value, 5.0}, analyte, "mmol/L"), "decimal-slip")
            .size();
    };
    EXPECT_EQ(count(30.0), 0U);
    EXPECT_EQ(count(31.3), 1U);  // more than 6-fold, and 3.13 > 5 / 1.6
    EXPECT_EQ(count(79.0), 1U);
    EXPECT_EQ(count(81.0), 0U);  // 8.1 is past 5 × 1.6: a jump, not a slip
    EXPECT_EQ(count(5.0 / 6.0), 0U);
    EXPECT_EQ(count(0.5), 1U);
    EXPECT_EQ(count(0.0), 0U);
    // Other analytes may rise tenfold within an hour, but not up and down within half an hour each.
    EXPECT_EQ(count(50.0, "insulin", 30), 1U);
    EXPECT_EQ(count(50.0, "insulin", 31), 0U);
    EXPECT_EQ(count(0.5, "insulin", 60), 1U);
}

TEST(DecimalSlipCheck, TheFirstAndTheLastSampleHaveOneNeighbourOnly) {
    EXPECT_TRUE(found(oneCurve({0, 30, 60}, {50.0, 5.0, 5.1}), "decimal-slip").empty());
    EXPECT_TRUE(found(oneCurve({0, 30}, {5.0, 50.0}), "decimal-slip").empty());
}

TEST(FrozenValuesCheck, FourInARowAreFoundThreeAreNot) {
    FeedingStudy data;
    for (const double time : {30.0, 45.0, 60.0}) {
        data.cell("06", "bread", 1, time, "insulin") = 150.0;
    }
    EXPECT_TRUE(found(data.study, "frozen-values").empty());
    data.cell("06", "bread", 1, 90, "insulin") = 150.0;
    const auto problems = found(data.study, "frozen-values");
    ASSERT_EQ(problems.size(), 1U);
    expectPlace(problems[0], data, "06", "bread", 1, 30, "insulin");
    EXPECT_THAT(problems[0].what, HasSubstr("4 values in a row are 150 pmol/L, up to 90 min"));
}

TEST(FrozenValuesCheck, ValuesBelowTheLimitOfQuantificationAreNotFrozen) {
    FeedingStudy data;
    for (const double time : {-10.0, 0.0, 90.0, 120.0}) {
        data.cell("06", "bread", 1, time, "insulin").reset();
        data.study.belowLimit.push_back({data.draw("06", "bread", 1, time), 1, 12.0});
    }
    EXPECT_EQ(test::keysFound(data.study), "");
}

TEST(BelowLimitCheck, MoreThanHalfOfACurve) {
    FeedingStudy data;
    for (const double time : {-10.0, 0.0, 90.0, 120.0}) {
        data.cell("06", "bread", 1, time, "insulin").reset();
        data.study.belowLimit.push_back({data.draw("06", "bread", 1, time), 1, 12.0});
    }
    EXPECT_TRUE(found(data.study, "below-limit").empty());
    data.cell("06", "bread", 1, 60, "insulin").reset();  // 4 of 7
    const auto problems = found(data.study, "below-limit");
    ASSERT_EQ(problems.size(), 1U);
    EXPECT_EQ(problems[0].subject, "06");
    EXPECT_EQ(problems[0].analyte, "insulin");
    EXPECT_EQ(problems[0].row, data.study.draws[data.draw("06", "bread", 1, -10)].row);
    EXPECT_THAT(problems[0].what, HasSubstr("4 of 7 values are below the limit of quantification"));
}

TEST(LaboratoryRemarksCheck, ListsTheRowsByKind) {
    FeedingStudy data;
    data.study.remarks = {{3, "ate slowly"}, {5, "Insulin diluted 1:2"}, {9, "haemolysed"}, {11, "DILUTED"}};
    const auto problems = found(data.study, "laboratory-remarks");
    ASSERT_EQ(problems.size(), 2U);
    EXPECT_EQ(problems[0].severity, Severity::note);
    EXPECT_THAT(problems[0].what, HasSubstr("2 rows have a remark on dilution"));
    EXPECT_THAT(problems[0].what, HasSubstr("samples.csv:7, samples.csv:13"));
    EXPECT_THAT(problems[1].what, HasSubstr("1 row has a remark on haemolysis"));
    EXPECT_EQ(problems[1].row, 11U);
}

TEST(TimeToleranceCheck, BothSidesOfThePlansTolerance) {
    FeedingStudy data;
    data.study.nominalMin.assign(data.study.draws.size(), std::nullopt);
    const std::uint32_t draw = data.draw("02", "oats", 1, 45);
    for (const double off : {2.0, -2.0}) {
        data.study.nominalMin[draw] = 45 - off;
        EXPECT_TRUE(found(data.study, "time-tolerance").empty()) << off;
        data.study.nominalMin[draw] = 45 - 1.01 * off;
        const auto problems = found(data.study, "time-tolerance");
        ASSERT_EQ(problems.size(), 1U) << off;
        EXPECT_EQ(problems[0].row, data.study.draws[draw].row);
        EXPECT_EQ(problems[0].column, "time_min");
        EXPECT_EQ(problems[0].subject, "02");
        EXPECT_EQ(problems[0].timeMin, 45.0);
    }
    data.study.plan.timeToleranceMin = 5.0;
    EXPECT_TRUE(found(data.study, "time-tolerance").empty());
}

TEST(NominalMissingCheck, SomeRowsOfAFileWithThem) {
    FeedingStudy data;
    data.study.nominalMin.clear();
    EXPECT_TRUE(found(data.study, "nominal-missing").empty());
    for (const Draw& row : data.study.draws) {
        data.study.nominalMin.emplace_back(row.timeMin);
    }
    EXPECT_TRUE(found(data.study, "nominal-missing").empty());
    data.study.nominalMin[7].reset();
    data.study.nominalMin[9].reset();
    auto problems = found(data.study, "nominal-missing");
    ASSERT_EQ(problems.size(), 1U);
    EXPECT_EQ(problems[0].severity, Severity::note);
    EXPECT_EQ(problems[0].row, 9U);
    EXPECT_THAT(problems[0].what, HasSubstr("2 of 192 rows"));
    data.study.plan.timeBasis = TimeBasis::nominal;
    EXPECT_EQ(found(data.study, "nominal-missing")[0].severity, Severity::warning);
    data.study.nominalMin.assign(data.study.draws.size(), std::nullopt);
    EXPECT_TRUE(found(data.study, "nominal-missing").empty());
}

TEST(DuplicateCvCheck, BothSidesOfThePlansLimit) {
    // Two determinations a and b: CV = √2 |a − b| / (a + b).
    const auto count = [](std::vector<std::optional<double>> values, double limit) {
        StudyBuilder builder;
        builder.food("bread", FoodRole::test).analyte("insulin", "pmol/L");
        builder.curve("01", "bread", 1, std::vector<double>(values.size(), 0.0), values, "insulin");
        for (std::size_t i = 0; i < values.size(); ++i) {
            builder.study().replicate.push_back(static_cast<std::int32_t>(i) + 1);
        }
        builder.study().plan.duplicateCvLimitPercent = limit;
        return found(builder.study(), "duplicate-cv");
    };
    const double cv = 100.0 * std::sqrt(2.0) * 10.0 / 90.0;  // 15.71 %
    EXPECT_TRUE(count({40, 50}, cv).empty());
    EXPECT_TRUE(count({40, 50}, 15.72).empty());
    const auto problems = count({40, 50}, 15.71);
    ASSERT_EQ(problems.size(), 1U);
    EXPECT_THAT(problems[0].what, HasSubstr("40, 50 pmol/L, CV 15.7 %"));
    EXPECT_EQ(problems[0].row, 2U);
    EXPECT_EQ(problems[0].timeMin, 0.0);
    EXPECT_TRUE(count({0, 0}, 15).empty());
    EXPECT_TRUE(count({40}, 15).empty());
    EXPECT_TRUE(count({40, std::nullopt}, 15).empty());
    EXPECT_TRUE(count({std::nullopt, std::nullopt}, 15).empty());
    EXPECT_EQ(count({0, 1}, 141).size(), 1U);  // √2
}

}  // namespace aftercurve
