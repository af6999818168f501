// Checks over several curves: units, columns, copies, odd subjects.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <utility>

#include "core/check/check_input.h"
#include "tests/support/check_run.h"
#include "tests/support/feeding_study.h"

namespace aftercurve {

using test::FeedingStudy;
using test::found;
using test::keysFound;
using testing::HasSubstr;

namespace {

constexpr double mgPerMmol = 18.016;
constexpr double pmolPerUiu = 6.0;

bool always(const Draw& /*row*/) {
    return true;
}

/// Copies the values of one analyte from one visit to another.
void copy(FeedingStudy& data, const std::string& subject, const std::string& food, int visit,
          const std::string& toSubject, const std::string& toFood, int toVisit, std::size_t count) {
    for (std::size_t t = 0; t < count; ++t) {
        data.cell(toSubject, toFood, toVisit, test::feedingTimes[t]) =
            data.cell(subject, food, visit, test::feedingTimes[t]);
    }
}

}  // namespace

TEST(UnitMixUpCheck, AWholeAnalyteInTheOtherUnit) {
    struct Case {
        const char* analyte;
        double factor;
        const char* looksLike;
    };
    for (const Case& c : {Case{"glucose", mgPerMmol, "mg/dL"}, Case{"insulin", 1 / pmolPerUiu, "µIU/mL"}}) {
        FeedingStudy data;
        data.scale(c.analyte, c.factor, always);
        const auto problems = found(data.study, "unit-mix-up");
        ASSERT_EQ(problems.size(), 1U) << c.analyte;
        EXPECT_EQ(problems[0].analyte, c.analyte);
        EXPECT_EQ(problems[0].column, c.analyte);
        EXPECT_EQ(problems[0].subject, "");
        EXPECT_EQ(problems[0].row, 2U);
        EXPECT_THAT(problems[0].what, HasSubstr("the whole study"));
        EXPECT_THAT(problems[0].what, HasSubstr(c.looksLike));
    }
}

TEST(UnitMixUpCheck, AWholeAnalyteTheOtherWayRound) {
    FeedingStudy data;
    data.study.analytes = {{"glucose", "mg/dL", ""}, {"insulin", "µIU/mL", ""}};
    // The numbers are still mmol/L and pmol/L.
    const auto problems = found(data.study, "unit-mix-up");
    ASSERT_EQ(problems.size(), 2U);
    EXPECT_THAT(problems[0].what, HasSubstr("as if typed in mmol/L"));
    EXPECT_THAT(problems[1].what, HasSubstr("as if typed in pmol/L"));
}

TEST(UnitMixUpCheck, OneSubject) {
    for (const auto& [analyte, factor] :
         {std::pair{"glucose", mgPerMmol}, std::pair{"insulin", 1 / pmolPerUiu}}) {
        FeedingStudy data;
        data.scale(analyte, factor, [](const Draw& d) { return d.subject == 3; });
        const auto problems = found(data.study, "unit-mix-up");
        ASSERT_EQ(problems.size(), 1U) << analyte;
        EXPECT_EQ(problems[0].subject, "04");
        EXPECT_EQ(problems[0].visit, 0);
        EXPECT_EQ(problems[0].food, "");
        EXPECT_EQ(problems[0].analyte, analyte);
        EXPECT_EQ(problems[0].row, data.study.draws[data.draw("04", "bread", 1, -10)].row);
        // Said once, not as a jump, a range or an odd subject as well.
        EXPECT_EQ(keysFound(data.study), "unit-mix-up") << analyte;
    }
}

TEST(UnitMixUpCheck, OneVisit) {
    for (const auto& [analyte, factor] :
         {std::pair{"glucose", mgPerMmol}, std::pair{"insulin", 1 / pmolPerUiu}}) {
        FeedingStudy data;
        data.scale(analyte, factor, [](const Draw& d) { return d.subject == 3 && d.food == 1; });
        const auto problems = found(data.study, "unit-mix-up");
        ASSERT_EQ(problems.size(), 1U) << analyte;
        EXPECT_EQ(problems[0].subject, "04");
        EXPECT_EQ(problems[0].food, "oats");
        EXPECT_EQ(problems[0].visit, 1);
    }
}

TEST(UnitMixUpCheck, OneFile) {
    FeedingStudy data;
    data.study.sampleFiles.emplace_back("second.csv");
    for (Draw& row : data.study.draws) {
        row.file = row.subject >= 5 ? 1 : 0;
    }
    data.scale("glucose", mgPerMmol, [](const Draw& d) { return d.file == 1; });
    const auto problems = found(data.study, "unit-mix-up");
    ASSERT_EQ(problems.size(), 1U);
    EXPECT_EQ(problems[0].file, "second.csv");
    EXPECT_EQ(problems[0].subject, "");
}

TEST(UnitMixUpCheck, HighAndLowInsulinOfOneSubjectIsNoOtherUnit) {
    // A third, and threefold: far from sixfold.
    for (const double factor : {1.0 / 3.0, 3.0}) {
        FeedingStudy data;
        data.scale("insulin", factor, [](const Draw& d) { return d.subject == 3; });
        EXPECT_TRUE(found(data.study, "unit-mix-up").empty()) << factor;
    }
}

TEST(UnitMixUpCheck, BordersOfTheLevel) {
    // Median before the meal of a single curve: outside 3 to 10 mmol/L, and inside it as mg/dL.
    const auto count = [](double level) {
        test::StudyBuilder builder;
        builder.food("bread", FoodRole::test).analyte("glucose", "mmol/L");
        builder.curve("01", "bread", 1, {0, 30, 60}, {level, 1.4 * level, 1.2 * level});
        return found(builder.study(), "unit-mix-up").size();
    };
    EXPECT_EQ(count(10.0), 0U);
    EXPECT_EQ(count(54.0), 0U);   // 2.997 mmol/L
    EXPECT_EQ(count(54.1), 1U);   // 3.003 mmol/L
    EXPECT_EQ(count(180.0), 1U);  // 9.99 mmol/L
    EXPECT_EQ(count(181.0), 0U);
}

TEST(ColumnsReversedCheck, AWholeFile) {
    FeedingStudy data;
    std::swap(data.study.concentrations[0], data.study.concentrations[1]);
    const auto problems = found(data.study, "columns-reversed");
    ASSERT_EQ(problems.size(), 1U);
    EXPECT_EQ(problems[0].subject, "");
    EXPECT_EQ(problems[0].row, 2U);
    EXPECT_THAT(problems[0].what, HasSubstr("samples.csv, all 24 visits"));
    // Said once.
    EXPECT_TRUE(found(data.study, "unit-mix-up").empty());
    EXPECT_TRUE(found(data.study, "fasting-range").empty());
    EXPECT_TRUE(found(data.study, "implausible-jump").empty());
}

TEST(ColumnsReversedCheck, OneVisit) {
    for (const bool otherUnits : {false, true}) {
        FeedingStudy data;
        if (otherUnits) {
            data.scale("glucose", mgPerMmol, always);
            data.scale("insulin", 1 / pmolPerUiu, always);
            data.study.analytes = {{"glucose", "mg/dL", ""}, {"insulin", "µIU/mL", ""}};
        }
        for (const double time : test::feedingTimes) {
            std::swap(data.cell("07", "bread", 2, time), data.cell("07", "bread", 2, time, "insulin"));
        }
        const auto problems = found(data.study, "columns-reversed");
        ASSERT_EQ(problems.size(), 1U) << otherUnits;
        EXPECT_EQ(problems[0].subject, "07");
        EXPECT_EQ(problems[0].food, "bread");
        EXPECT_EQ(problems[0].visit, 2);
        EXPECT_EQ(problems[0].row, data.study.draws[data.draw("07", "bread", 2, -10)].row);
    }
}

TEST(ColumnsReversedCheck, NeedsThreeValuesOfEach) {
    const auto count = [](std::size_t n) {
        test::StudyBuilder builder;
        builder.food("bread", FoodRole::test).analyte("glucose", "mmol/L").analyte("insulin", "pmol/L");
        builder.curve("01", "bread", 1, {0, 30, 60},
                      {40.0, 300.0, n < 3 ? std::nullopt : std::optional{200.0}});
        builder.study().concentrations[1] = {5.0, 8.0, n < 3 ? std::nullopt : std::optional{6.0}};
        return found(builder.study(), "columns-reversed").size();
    };
    EXPECT_EQ(count(3), 1U);
    EXPECT_EQ(count(2), 0U);
}

TEST(CopiedValuesCheck, FiveInARowAreFoundFourAreNot) {
    FeedingStudy data;
    copy(data, "02", "oats", 1, "05", "oats", 1, 4);
    EXPECT_TRUE(found(data.study, "copied-values").empty());
    copy(data, "02", "oats", 1, "05", "oats", 1, 5);
    const auto problems = found(data.study, "copied-values");
    ASSERT_EQ(problems.size(), 1U);
    EXPECT_EQ(problems[0].subject, "05");
    EXPECT_EQ(problems[0].food, "oats");
    EXPECT_EQ(problems[0].timeMin, -10.0);
    EXPECT_EQ(problems[0].row, data.study.draws[data.draw("05", "oats", 1, -10)].row);
    EXPECT_THAT(problems[0].what,
                HasSubstr("5 values in a row, up to 45 min, are those of subject 02, oats, visit 1"));
}

TEST(CopiedValuesCheck, AWholeCurveOfAnotherSubjectIsReportedOnceWithItsLength) {
    FeedingStudy data;
    copy(data, "02", "oats", 1, "05", "bread", 2, 8);
    const auto problems = found(data.study, "copied-values");
    ASSERT_EQ(problems.size(), 1U);
    EXPECT_THAT(problems[0].what, HasSubstr("8 values in a row"));
    EXPECT_TRUE(found(data.study, "copied-curve").empty());
}

TEST(CopiedValuesCheck, EqualValuesAtOtherTimesAndFlatBlocksAreNoCopies) {
    FeedingStudy data;
    for (std::size_t t = 0; t < 6; ++t) {  // the same values, one draw later
        data.cell("05", "oats", 1, test::feedingTimes[t + 1]) =
            data.cell("02", "oats", 1, test::feedingTimes[t]);
    }
    EXPECT_TRUE(found(data.study, "copied-values").empty());
    FeedingStudy flat;
    for (const char* subject : {"01", "02"}) {
        for (const double time : {-10.0, 0.0, 15.0, 30.0, 45.0}) {
            flat.cell(subject, "oats", 1, time) = time < 30.0 ? 5.0 : 5.1;  // two values only
        }
    }
    EXPECT_TRUE(found(flat.study, "copied-values").empty());
}

TEST(CopiedValuesCheck, ManyCoarseCurvesAgreeByChance) {
    // Three levels only: of 300 curves many agree in five values in a row, and none was copied.
    FeedingStudy data{100};
    for (auto& value : data.study.concentrations[0]) {
        value = std::round(*value / 2.0) * 2.0;
    }
    EXPECT_TRUE(found(data.study, "copied-values").empty());

    // One decimal, as a meter shows it: still nothing by chance, and a copy is still found.
    FeedingStudy meter{50};
    for (auto& value : meter.study.concentrations[0]) {
        value = std::round(*value * 10.0) / 10.0;
    }
    EXPECT_TRUE(found(meter.study, "copied-values").empty());
    copy(meter, "02", "oats", 1, "50", "oats", 1, 8);
    EXPECT_EQ(found(meter.study, "copied-values").size(), 1U);
}

TEST(CopiedCurveCheck, TheSameCurveTwiceInOneSubject) {
    FeedingStudy data;
    copy(data, "06", "bread", 1, "06", "bread", 2, 8);
    auto problems = found(data.study, "copied-curve");
    ASSERT_EQ(problems.size(), 1U);
    EXPECT_EQ(problems[0].subject, "06");
    EXPECT_EQ(problems[0].food, "bread");
    EXPECT_EQ(problems[0].visit, 2);
    EXPECT_EQ(problems[0].analyte, "glucose");
    EXPECT_TRUE(found(data.study, "copied-values").empty());
    *data.cell("06", "bread", 2, 120) += 0.01;
    EXPECT_TRUE(found(data.study, "copied-curve").empty());
    EXPECT_EQ(found(data.study, "copied-values").size(), 1U);  // seven values are still the same
}

TEST(CopiedCurveCheck, ThreeSamplesAreEnoughTwoAreNot) {
    const auto count = [](const std::vector<double>& time, const std::vector<std::optional<double>>& value) {
        test::StudyBuilder builder;
        builder.food("bread", FoodRole::test).analyte("glucose", "mmol/L");
        builder.curve("01", "bread", 1, time, value).curve("01", "bread", 2, time, value);
        return found(builder.study(), "copied-curve").size();
    };
    EXPECT_EQ(count({0, 60, 120}, {5.0, 7.0, 5.0}), 1U);
    EXPECT_EQ(count({0, 60}, {5.0, 7.0}), 0U);
    EXPECT_EQ(count({0, 60, 120}, {5.0, 5.0, 5.0}), 0U);
}

TEST(OddSubjectCheck, NoCurveRises) {
    FeedingStudy data;
    const auto flatten = [&data](const char* food, int visit) {
        for (const double time : test::feedingTimes) {
            if (time > 0.0) {
                data.cell("03", food, visit, time) = 4.0 - time / 1000.0;
            }
        }
    };
    flatten("bread", 1);
    flatten("bread", 2);
    EXPECT_TRUE(found(data.study, "odd-subject").empty());  // oats still rises
    flatten("oats", 1);
    const auto problems = found(data.study, "odd-subject");
    ASSERT_EQ(problems.size(), 1U);
    EXPECT_EQ(problems[0].subject, "03");
    EXPECT_EQ(problems[0].analyte, "glucose");
    EXPECT_EQ(problems[0].food, "");
    EXPECT_EQ(problems[0].row, data.study.draws[data.draw("03", "bread", 1, -10)].row);
    EXPECT_THAT(problems[0].what, HasSubstr("none of the 3 curves rises above its fasting level"));
}

TEST(OddSubjectCheck, ModifiedZOnBothSidesOfItsLimit) {
    // Peak rises of seven subjects: 1 to 6 and x. With x far above, the median is 4 and the MAD of
    // 3, 2, 1, 0, 1, 2, x − 4 is 2: z = 0.6745 (x − 4) / 2 passes 3.5 at x = 14.378.
    const auto count = [](double x) {
        test::StudyBuilder builder;
        builder.food("bread", FoodRole::test).analyte("lactate", "mmol/L");
        for (int s = 1; s <= 7; ++s) {
            for (const int visit : {1, 2}) {
                const double rise = s < 7 ? s : x;
                builder.curve(std::to_string(s), "bread", visit, {0, 60, 120},
                              {10.0 + s, 10.0 + s + rise, 10.0 + s - 0.001 * visit}, "lactate");
            }
        }
        return found(builder.study(), "odd-subject");
    };
    EXPECT_TRUE(count(14.37).empty());
    const auto problems = count(14.39);
    ASSERT_EQ(problems.size(), 1U);
    EXPECT_EQ(problems[0].subject, "7");
    EXPECT_THAT(problems[0].what, HasSubstr("far above those of the other subjects"));
}

TEST(OddSubjectCheck, OneOddCurveOfSeveralIsNotTheSubject) {
    FeedingStudy data;
    data.scale("insulin", 10.0, [](const Draw& d) { return d.subject == 2 && d.food == 1; });
    EXPECT_TRUE(found(data.study, "odd-subject").empty());
    FeedingStudy all;
    all.scale("insulin", 10.0, [](const Draw& d) { return d.subject == 2; });
    const auto problems = found(all.study, "odd-subject");
    ASSERT_EQ(problems.size(), 1U);
    EXPECT_EQ(problems[0].subject, "03");
    EXPECT_EQ(problems[0].analyte, "insulin");
}

TEST(CheckInputValues, AreThoseTyped) {
    test::StudyBuilder builder;
    builder.food("bread", FoodRole::test).analyte("glucose", "mmol/L");
    builder.curve("01", "bread", 1, {30, 0, 0, 15}, {7.0, 4.0, 6.0, std::nullopt});
    builder.study().replicate = {1, 1, 2, 1};
    builder.study().belowLimit = {{3, 0, 0.5}};
    builder.study().analytes[0].specimen = "whole blood";
    builder.study().plan.wholeBloodToPlasma = true;
    const CheckInput input = makeCheckInput(builder.study(), builder.study().plan);
    ASSERT_EQ(input.curves.size(), 1U);
    const CheckCurve& curve = input.curves[0];
    ASSERT_EQ(curve.samples.size(), 2U);
    EXPECT_EQ(curve.samples[0].timeMin, 0.0);
    EXPECT_DOUBLE_EQ(curve.samples[0].value, 5.0);  // mean of 4 and 6, not × 1.11
    EXPECT_EQ(curve.samples[0].draw, 1U);
    EXPECT_EQ(curve.samples[1].value, 7.0);
    EXPECT_EQ(curve.belowLimit, (std::vector<std::uint32_t>{3}));
    EXPECT_FALSE(curve.twoValuesAtOneTime);
    builder.study().replicate.clear();
    EXPECT_TRUE(makeCheckInput(builder.study(), builder.study().plan).curves[0].twoValuesAtOneTime);
}

}  // namespace aftercurve
