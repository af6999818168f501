// Digestions, timed fractions, logarithm of the slope, areas and indices, by hand and by their formulas.
#include "core/digest/starch_fractions.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "core/digest/hydrolysis.h"
#include "core/digest/log_of_slope.h"
#include "tests/support/close.h"

namespace aftercurve {
namespace {

using test::isClose;

AssayReading reading(const std::string& sample, int replicate, double timeMin, double value) {
    AssayReading one;
    one.sample = sample;
    one.run = "1";
    one.replicate = replicate;
    one.timeMin = timeMin;
    one.value = value;
    one.sampleMassMg = 500.0;
    return one;
}

/// 500 mg weighed in, 70 % starch, 1 % free glucose, 10 % moisture; 105 mg of glucose at 20 min, 305 at 120.
AssayData barley() {
    AssayData assays;
    assays.samples = {{"barley", "Barley flakes", "", true, 70.0, 1.0, 10.0, {}, {}}};
    assays.readings = {reading("barley", 1, 20, 105), reading("barley", 1, 120, 305),
                       reading("barley", 1, 240, 355)};
    return assays;
}

DigestionFractions fractionsIn(const AssayData& assays) {
    const auto digestions = digestionsOf(assays);
    return fractionsOf(assays, digestions.at(0), cutsOf(assays, digestions));
}

TEST(StarchFractions, ByHand) {
    const DigestionFractions result = fractionsIn(barley());
    // G20 = 21, G120 = 61, G240 = 71 g/100 g; (21 − 1)·0.9 = 18, (61 − 21)·0.9 = 36, 70 − 54 = 16, (71 −
    // 61)·0.9 = 9.
    const auto at = [&](StarchFraction f, AssayBasis b) { return result.at(f, b).value; };
    const test::Tolerance tight{.absolute = 0.0, .relative = 1e-13};
    EXPECT_TRUE(isClose(result.rapidGlucose.value, 21.0, tight));
    EXPECT_TRUE(isClose(at(StarchFraction::rapidly, AssayBasis::asIs), 18.0, tight));
    EXPECT_TRUE(isClose(at(StarchFraction::slowly, AssayBasis::asIs), 36.0, tight));
    EXPECT_TRUE(isClose(at(StarchFraction::resistant, AssayBasis::asIs), 16.0, tight));
    EXPECT_TRUE(isClose(at(StarchFraction::late, AssayBasis::asIs), 9.0, tight));
    EXPECT_TRUE(isClose(at(StarchFraction::remainder, AssayBasis::asIs), 7.0, tight));
    EXPECT_TRUE(isClose(at(StarchFraction::rapidly, AssayBasis::dry), 20.0, tight));
    EXPECT_TRUE(isClose(at(StarchFraction::resistant, AssayBasis::totalStarch), 100.0 * 16.0 / 70.0, tight));
}

// Resistant starch of foods in the Englyst papers, as a monograph tabulates them: total starch per 100 g dry
// matter and resistant starch per 100 g starch; what is left at 120 min must come out as that share.
TEST(StarchFractions, TheRemainderIsThePublishedShare) {
    struct Published {
        double totalStarch;
        double resistantShare;
    };
    for (const Published& food :
         {Published{77, 1.2}, Published{65, 3.1}, Published{20, 25}, Published{45, 40}}) {
        AssayData assays = barley();
        assays.samples[0].totalStarchPercent = food.totalStarch;
        const double digested = food.totalStarch * (1.0 - food.resistantShare / 100.0);
        assays.readings[1].value = 5.0 * (digested / 0.9 + 1.0);
        EXPECT_TRUE(isClose(fractionsIn(assays).at(StarchFraction::resistant, AssayBasis::totalStarch).value,
                            food.resistantShare, {.absolute = 1e-10, .relative = 0.0}));
    }
}

TEST(StarchFractions, BlanksAreThoseOfRunAndTime) {
    AssayData assays = barley();
    for (AssayReading& one : assays.readings) {
        *one.value += one.timeMin / 10.0;
    }
    for (const double time : {20.0, 120.0, 240.0}) {
        for (const double off : {-1.0, 1.0}) {
            AssayReading blank = reading("", off < 0 ? 1 : 2, time, time / 10.0 + off);
            blank.blank = true;
            assays.readings.push_back(blank);
        }
    }
    EXPECT_TRUE(isClose(fractionsIn(assays).at(StarchFraction::slowly, AssayBasis::asIs).value, 36.0,
                        {.absolute = 0.0, .relative = 1e-12}));
    std::erase_if(assays.readings, [](const AssayReading& one) { return one.blank && one.timeMin == 120.0; });
    const DigestValue without = fractionsIn(assays).at(StarchFraction::slowly, AssayBasis::asIs);
    EXPECT_FALSE(without.value);
    EXPECT_NE(without.absentBecause.find("no usable blank at 120 min"), std::string::npos);
}

TEST(StarchFractions, ACutWithoutReadingIsAbsentUnlessInterpolated) {
    AssayData assays = barley();
    assays.rapidCutMin = 70.0;
    DigestValue value = fractionsIn(assays).at(StarchFraction::rapidly, AssayBasis::asIs);
    EXPECT_FALSE(value.value);
    EXPECT_EQ(value.absentBecause, "there is no reading at 70 min");
    assays.interpolate = true;
    value = fractionsIn(assays).at(StarchFraction::rapidly, AssayBasis::asIs);
    EXPECT_TRUE(isClose(value.value, 36.0, {.absolute = 0.0, .relative = 1e-12}));  // half way of 18 and 54
    EXPECT_EQ(value.note, "interpolated at 70 min between 20 and 120 min");
    assays.rapidCutMin = 10.0;  // before the first reading: never
    EXPECT_FALSE(fractionsIn(assays).at(StarchFraction::rapidly, AssayBasis::asIs).value);
}

TEST(StarchFractions, WhatIsNotGivenLeavesAbsentWhatHangsOnIt) {
    AssayData assays = barley();
    assays.samples[0].freeGlucosePercent.reset();
    DigestionFractions result = fractionsIn(assays);
    EXPECT_FALSE(result.at(StarchFraction::rapidly, AssayBasis::asIs).value);
    // Between two times free glucose cancels.
    EXPECT_TRUE(isClose(result.at(StarchFraction::slowly, AssayBasis::asIs).value, 36.0,
                        {.absolute = 0.0, .relative = 1e-13}));
    assays = barley();
    assays.samples[0].totalStarchPercent.reset();
    assays.samples[0].moisturePercent.reset();
    result = fractionsIn(assays);
    EXPECT_TRUE(result.at(StarchFraction::rapidly, AssayBasis::asIs).value);
    EXPECT_FALSE(result.at(StarchFraction::rapidly, AssayBasis::dry).value);
    EXPECT_FALSE(result.at(StarchFraction::resistant, AssayBasis::asIs).value);
    EXPECT_FALSE(result.at(StarchFraction::rapidly, AssayBasis::totalStarch).value);
}

TEST(StarchFractions, PropagatedErrorByHand) {
    AssayData assays = barley();
    assays.samples[0].totalStarchSePercent = 0.4;
    assays.samples[0].freeGlucoseSePercent = 0.5;
    const std::vector<DigestValue> values{DigestValue::of(15.0), DigestValue::of(17.0)};
    const FractionSummary resistant =
        summaryOf(assays, 0, StarchFraction::resistant, AssayBasis::asIs, values);
    // SE of 15 and 17 is 1; √(1 + 0.4² + (0.9·0.5)²).
    EXPECT_TRUE(isClose(resistant.se, 1.0, {.absolute = 0.0, .relative = 1e-14}));
    EXPECT_TRUE(isClose(resistant.propagatedSe, std::sqrt(1.0 + 0.16 + 0.2025),
                        {.absolute = 0.0, .relative = 1e-13}));
    const FractionSummary slowly = summaryOf(assays, 0, StarchFraction::slowly, AssayBasis::asIs, values);
    EXPECT_TRUE(isClose(slowly.propagatedSe, 1.0, {.absolute = 0.0, .relative = 1e-14}));
    const FractionSummary one =
        summaryOf(assays, 0, StarchFraction::slowly, AssayBasis::asIs, {values.data(), 1});
    EXPECT_FALSE(one.sd);
    EXPECT_FALSE(one.propagatedSe);
}

TEST(StarchFractions, OrderOfRowsAndScaleOfMassDoNotMatter) {
    AssayData assays = barley();
    std::reverse(assays.readings.begin(), assays.readings.end());
    for (AssayReading& one : assays.readings) {
        *one.value *= 4.0;
        *one.sampleMassMg *= 4.0;
    }
    EXPECT_EQ(fractionsIn(assays).fraction, fractionsIn(barley()).fraction);
}

TEST(LogOfSlope, EqualStepsGiveTheRateOfAnExponential) {
    std::vector<CurvePoint> curve;
    for (int t = 0; t <= 120; t += 10) {
        curve.push_back({static_cast<double>(t), 80.0 * (1.0 - std::exp(-0.03 * t))});
    }
    const LogOfSlope result = logOfSlope(curve);
    ASSERT_EQ(result.phases.size(), 1U);
    EXPECT_TRUE(isClose(result.phases[0].k, 0.03, {.absolute = 0.0, .relative = 1e-10}));
    // ln(Cinf·k) + ln(sinh(kh/2)/(kh/2)), h = 10.
    EXPECT_TRUE(isClose(result.phases[0].intercept, std::log(2.4) + std::log(std::sinh(0.15) / 0.15),
                        {.absolute = 1e-10, .relative = 0.0}));
}

TEST(LogOfSlope, TwoPhasesOneAfterTheOtherBendWhereTheyMeet) {
    std::vector<CurvePoint> curve{{0.0, 0.0}};
    for (int t = 5; t <= 120; t += 5) {
        const double middle = t - 2.5;
        const double slope = middle < 40.0 ? std::exp(1.0 - 0.05 * middle) : std::exp(-0.6 - 0.01 * middle);
        curve.push_back({static_cast<double>(t), curve.back().value + 5.0 * slope});
    }
    const LogOfSlope result = logOfSlope(curve);
    ASSERT_EQ(result.phases.size(), 2U);
    EXPECT_TRUE(isClose(result.phases[0].k, 0.05, {.absolute = 0.0, .relative = 1e-8}));
    EXPECT_TRUE(isClose(result.phases[1].k, 0.01, {.absolute = 0.0, .relative = 1e-8}));
    EXPECT_TRUE(isClose(result.bendMin, 40.0, {.absolute = 0.0, .relative = 1e-7}));
}

TEST(LogOfSlope, SlopesWithoutLogarithmAreCounted) {
    const LogOfSlope flat = logOfSlope(std::vector<CurvePoint>{{0, 5}, {10, 5}, {20, 5}});
    EXPECT_EQ(flat.withoutLog, 2U);
    EXPECT_NE(flat.absentBecause, "");
    EXPECT_NE(logOfSlope({}).absentBecause, "");
    const LogOfSlope rising = logOfSlope(std::vector<CurvePoint>{{0, 0}, {10, 1}, {20, 3}, {30, 7}});
    EXPECT_NE(rising.absentBecause, "");
}

// Own arithmetic from the published formulas: areas to 180 min of (80, 0.03) and (90, 0.05), their ratio, and
// the two lines, as in the worked figures of the project's reference notes.
TEST(Hydrolysis, IndexAndEstimatesByTheirFormulas) {
    const auto area = [](double cinf, double k) {
        return DigestValue::of(cinf * 180.0 - cinf / k * (1.0 - std::exp(-k * 180.0)));
    };
    const DigestValue index = hydrolysisIndex(area(80, 0.03), area(90, 0.05));
    EXPECT_TRUE(isClose(index.value, 81.563864, {.absolute = 1e-6, .relative = 0.0}));
    const auto equations = indexEquations();
    ASSERT_EQ(equations.size(), 2U);
    EXPECT_TRUE(
        isClose(estimatedIndex(equations[0], index).value, 84.488561, {.absolute = 1e-6, .relative = 0.0}));
    EXPECT_TRUE(
        isClose(estimatedIndex(equations[1], index).value, 78.506050, {.absolute = 1e-6, .relative = 0.0}));
    EXPECT_TRUE(isClose(estimatedIndex(equations[0], DigestValue::of(100)).value, 94.61,
                        {.absolute = 1e-10, .relative = 0.0}));
    EXPECT_FALSE(hydrolysisIndex(area(80, 0.03), DigestValue::of(0.0)).value);
    EXPECT_FALSE(hydrolysisIndex(area(80, 0.03), DigestValue::none("no reading")).value);
}

TEST(Hydrolysis, TrapezoidsByHand) {
    const std::vector<CurvePoint> points{{60, 40}, {20, 20}, {20, 30}, {100, 50}};
    // From (0, 0): 20·25/2 + 40·(25 + 40)/2 + 40·(40 + 50)/2.
    EXPECT_EQ(trapezoidArea(points, 100, false).value, 250.0 + 1300.0 + 1800.0);
    EXPECT_EQ(trapezoidArea(points, 60, false).value, 1550.0);
    EXPECT_FALSE(trapezoidArea(points, 80, false).value);
    EXPECT_EQ(trapezoidArea(points, 80, true).value, 1550.0 + 20.0 * (40.0 + 45.0) / 2.0);
    EXPECT_FALSE(trapezoidArea(points, 120, true).value);
    EXPECT_FALSE(trapezoidArea({}, 120, true).value);
}

}  // namespace
}  // namespace aftercurve
