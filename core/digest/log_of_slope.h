#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/digest/digestion_fit.h"

namespace aftercurve {

/// The slope between two neighbouring readings, at the middle of their times.
struct SlopePoint {
    double timeMin = 0.0;
    double slope = 0.0;              ///< value per min
    std::optional<double> logSlope;  ///< natural; absent where the slope is not above 0
};

/// One straight stretch of ln(slope) over time: k = −slope of the line, Cinf = e^intercept/k.
struct SlopePhase {
    double fromMin = 0.0;  ///< first and last middle time
    double toMin = 0.0;
    std::size_t n = 0;
    double k = 0.0;             ///< per min
    std::optional<double> kSe;  ///< absent for two points, and where they lie on the line
    double intercept = 0.0;
    std::optional<double> cinf;  ///< absent where k is not above 0
};

/// The logarithm of the slope of a digestion curve: ln(dC/dt) = ln(Cinf·k) − k·t for one phase, a bent line
/// for two phases one after the other. Slopes are (C₂ − C₁)/(t₂ − t₁) at (t₁ + t₂)/2, values at one time
/// averaged first. The lines are by least squares; with equal steps h the k of one phase is recovered
/// exactly, the intercept is ln(sinh(kh/2)/(kh/2)) too high. Two lines of at least three points each are
/// tried at every place; they are taken where their AICc (K = 6: two lines, place, variance) is below that of
/// one line (K = 3) and both k are above 0. Slopes that are not above 0 have no logarithm: they stand in
/// `points`, are counted in `withoutLog`, and are not in the lines. Absent with the reason: fewer than three
/// logarithms; slope of the line not falling (`phases` is there all the same, without a Cinf). Source:
/// Butterworth, Warren, Grassby, Patel & Ellis 2012, Carbohydr Polym 87:2189 (from memory); choice by AICc
/// and the least number of points: common practice, no source.
///
/// `curveResidualSd`: √(Σ(reading − slopeCurve)²/df) over the times, values at one time averaged; df = times
/// − 3 for one phase (line 2, first reading 1), times − 6 for two (lines 4, place 1, first reading 1). It
/// bears what unequal or long steps do to the lines. Absent where the lines are, and where the curve
/// overflows. Its derivation is arithmetic; the count of df: common practice, no source.
struct LogOfSlope {
    std::vector<SlopePoint> points;
    std::vector<SlopePhase> phases;
    std::size_t withoutLog = 0;
    std::optional<double> bendMin;  ///< where the two lines meet; absent for one, and where they do not meet
    std::optional<double> aiccOne;
    std::optional<double> aiccTwo;
    std::optional<double> curveResidualSd;  ///< of the readings about `slopeCurve`, unit of the values
    std::string absentBecause;
};

LogOfSlope logOfSlope(std::span<const CurvePoint> curve);

/// Where the curve goes over from the first phase to the second: at the bend, where it lies between the first
/// and the last of the middle times; else half-way between the two stretches. Absent for one phase.
std::optional<double> phaseChangeMin(const LogOfSlope& slopes);

/// The curve whose slope the lines are, through the first reading (t₁, C₁): C(t) = C₁ + Cinf(e^(−k·t₁) −
/// e^(−kt)), for t₁ = 0 and C₁ = 0 the one-phase curve; for two phases one after the other this to tb =
/// `phaseChangeMin`, and beyond C(tb) + Cinf₂(e^(−k₂·tb) − e^(−k₂t)), Cinf₂ = e^intercept₂/k₂. Times in min,
/// values as the readings. Absent where a phase has no Cinf, or the value is not finite. Source: the integral
/// of the lines.
std::optional<double> slopeCurve(const LogOfSlope& slopes, const CurvePoint& firstReading, double timeMin);

}  // namespace aftercurve
