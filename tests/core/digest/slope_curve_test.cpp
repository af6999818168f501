// The curve that the lines through the logarithm of the slope make: against its integral, written out.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

#include "core/digest/log_of_slope.h"
#include "tests/support/close.h"

namespace aftercurve {
namespace {

using test::isClose;

/// ln(slope) = 1 − 0.05t to 40 min, −0.6 − 0.01t beyond: e − e^(1 − 0.05t) over 0.05, and so on.
double phasesInTurn(double timeMin) {
    const auto integral = [](double intercept, double k, double from, double to) {
        return std::exp(intercept) / k * (std::exp(-k * from) - std::exp(-k * to));
    };
    return integral(1.0, 0.05, 0.0, std::min(timeMin, 40.0)) +
           (timeMin > 40.0 ? integral(-0.6, 0.01, 40.0, timeMin) : 0.0);
}

/// Readings whose slopes between neighbours lie on those two lines, from a first value.
std::vector<CurvePoint> readingsInTurn(double first, double step) {
    std::vector<CurvePoint> readings{{0.0, first}};
    for (double t = step; t <= 120.0; t += step) {
        const double middle = t - step / 2.0;
        const double slope = middle < 40.0 ? std::exp(1.0 - 0.05 * middle) : std::exp(-0.6 - 0.01 * middle);
        readings.push_back({t, readings.back().value + step * slope});
    }
    return readings;
}

TEST(SlopeCurve, TwoPhasesOneAfterTheOtherAreTheIntegralOfTheLines) {
    const std::vector<CurvePoint> readings = readingsInTurn(3.0, 5.0);
    const LogOfSlope slopes = logOfSlope(readings);
    ASSERT_EQ(slopes.phases.size(), 2U);
    EXPECT_TRUE(isClose(phaseChangeMin(slopes), 40.0, {.absolute = 0.0, .relative = 1e-7}));
    double sum = 0.0;
    for (const CurvePoint& reading : readings) {
        const double expected = 3.0 + phasesInTurn(reading.timeMin);
        EXPECT_TRUE(isClose(slopeCurve(slopes, readings.front(), reading.timeMin), expected,
                            {.absolute = 1e-6, .relative = 0.0}));
        sum += (reading.value - expected) * (reading.value - expected);
    }
    // 25 times less 6: four of the lines, their place, the first reading.
    EXPECT_TRUE(isClose(slopes.curveResidualSd, std::sqrt(sum / 19.0), {.absolute = 0.0, .relative = 1e-6}));
}

TEST(SlopeCurve, ShortStepsBringTheReadingsOntoTheCurve) {
    // The middle of a step stands for the whole of it: the error falls with the square of the step.
    const auto sd = [](double step) {
        return logOfSlope(readingsInTurn(0.0, step)).curveResidualSd.value_or(-1.0);
    };
    EXPECT_GT(sd(1.0), 0.0);
    EXPECT_LT(sd(1.0), sd(5.0) / 20.0);
}

TEST(SlopeCurve, OnePhaseIsExactButForTheFactorOfItsSteps) {
    std::vector<CurvePoint> readings;
    for (int t = 0; t <= 120; t += 10) {
        readings.push_back({static_cast<double>(t), 80.0 * (1.0 - std::exp(-0.03 * t))});
    }
    const LogOfSlope slopes = logOfSlope(readings);
    ASSERT_EQ(slopes.phases.size(), 1U);
    EXPECT_FALSE(phaseChangeMin(slopes));
    // With steps h the amplitude is sinh(kh/2)/(kh/2) too large (log_of_slope.h), h = 10, k = 0.03.
    const double factor = std::sinh(0.15) / 0.15;
    double sum = 0.0;
    for (const CurvePoint& reading : readings) {
        EXPECT_TRUE(isClose(slopeCurve(slopes, readings.front(), reading.timeMin), factor * reading.value,
                            {.absolute = 1e-9, .relative = 0.0}));
        sum += std::pow((factor - 1.0) * reading.value, 2);
    }
    EXPECT_TRUE(isClose(slopes.curveResidualSd, std::sqrt(sum / 10.0), {.absolute = 0.0, .relative = 1e-8}));
}

TEST(SlopeCurve, StartsAtTheFirstReadingWhateverItsTime) {
    std::vector<CurvePoint> readings;
    for (int t = 20; t <= 140; t += 10) {
        readings.push_back({static_cast<double>(t), 5.0 + 80.0 * (1.0 - std::exp(-0.03 * t))});
    }
    const LogOfSlope slopes = logOfSlope(readings);
    EXPECT_EQ(slopeCurve(slopes, readings.front(), 20.0), readings.front().value);
    // The same rise as from 0, less by e^(−0.03 · 20).
    const double rise = 80.0 * std::sinh(0.15) / 0.15 * (std::exp(-0.6) - std::exp(-4.2));
    EXPECT_TRUE(isClose(slopeCurve(slopes, readings.front(), 140.0), readings.front().value + rise,
                        {.absolute = 1e-9, .relative = 0.0}));
}

TEST(SlopeCurve, SeveralReadingsOfOneTimeCountAsTheirMean) {
    std::vector<CurvePoint> readings = readingsInTurn(0.0, 5.0);
    const LogOfSlope single = logOfSlope(readings);
    readings.push_back(readings.back());
    readings.back().value += 2.0;
    readings[readings.size() - 2].value -= 2.0;
    EXPECT_TRUE(isClose(logOfSlope(readings).curveResidualSd, *single.curveResidualSd,
                        {.absolute = 0.0, .relative = 1e-6}));
}

TEST(SlopeCurve, LinesThatDoNotMeetChangeHalfWayBetweenThem) {
    LogOfSlope slopes;
    slopes.phases = {{5.0, 25.0, 3, 0.05, std::nullopt, 1.0, std::exp(1.0) / 0.05},
                     {35.0, 55.0, 3, 0.05, std::nullopt, 0.0, 1.0 / 0.05}};
    EXPECT_EQ(phaseChangeMin(slopes), 30.0);
    slopes.bendMin = 300.0;  // beyond the readings: no place of theirs
    EXPECT_EQ(phaseChangeMin(slopes), 30.0);
    slopes.bendMin = 32.0;
    EXPECT_EQ(phaseChangeMin(slopes), 32.0);
}

TEST(SlopeCurve, IsAbsentWhereTheLinesAre) {
    for (const auto& readings : {std::vector<CurvePoint>{}, std::vector<CurvePoint>{{0, 5}, {10, 5}, {20, 5}},
                                 std::vector<CurvePoint>{{0, 0}, {10, 1}, {20, 3}, {30, 7}}}) {
        const LogOfSlope slopes = logOfSlope(readings);
        EXPECT_NE(slopes.absentBecause, "");
        EXPECT_FALSE(slopes.curveResidualSd);
        EXPECT_FALSE(slopeCurve(slopes, {0.0, 0.0}, 10.0));
    }
}

}  // namespace
}  // namespace aftercurve
