#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "core/base/progress.h"
#include "core/base/result.h"
#include "core/sensor/meal_marks.h"
#include "core/sensor/sensor_readings.h"
#include "core/sensor/sensor_smoothing.h"

namespace aftercurve {

/// Around which times of a meal readings are taken, and which curves stay.
struct SensorCutOptions {
    SensorSmoothingOptions smoothing;  ///< its maxGapMin is that of the gap rule too
    double beforeMin = 30.0;           ///< 0 to 1440
    double afterMin = 180.0;           ///< above 0, at most 1440
    bool leaveOutShortened = false;  ///< a second meal before the end: the curve is left out, else cut there
    bool leaveOutGaps = false;       ///< a gap inside: the curve is left out, else kept with a warning
    std::size_t problemsListed = 300;
};

/// Why the options cannot be used; nothing where they can.
std::optional<Problem> validate(const SensorCutOptions& options);

/// One reading of a curve.
struct SensorCurvePoint {
    double timeMin = 0.0;  ///< from the mark of the meal
    double value = 0.0;    ///< smoothed
    double reading = 0.0;  ///< as read

    bool operator==(const SensorCurvePoint&) const = default;
};

/// The readings around one meal.
struct SensorCurve {
    MealMark mark;
    std::optional<std::size_t>
        trace;            ///< position in SensorReadings::traces; absent: subject without readings
    double endMin = 0.0;  ///< afterMin, or the next meal before it
    bool shortened = false;
    std::optional<double> earlierMealMin;  ///< an earlier meal that many minutes before, at most afterMin
    double coveragePercent = 0.0;
    double longestGapMin = 0.0;  ///< longest part of the cut that no two neighbouring readings span; 0: none
    std::size_t belowRange = 0;  ///< times inside at which the sensor gave no number but LOW
    std::size_t aboveRange = 0;  ///< or HIGH
    std::size_t baselineReadings = 0;  ///< at or before 0
    std::vector<SensorCurvePoint> points;
    std::string leftOutBecause;  ///< empty: the curve is used

    bool isUsed() const { return leftOutBecause.empty(); }
};

struct SensorCurves {
    std::string unit;
    std::vector<SensorCurve> curves;            ///< one for each mark, in the order of the marks
    std::vector<std::vector<double>> smoothed;  ///< of each trace, at each of its readings
    std::vector<Problem> problems;
    std::size_t used = 0;
};

/// Smooths the readings and cuts them around the marks. A curve holds the readings with
/// −beforeMin ≤ t ≤ end, t the minutes from the mark, at their own times; end = afterMin, or the next mark of
/// the subject before it. The next meal's reading at its mark still belongs to the curve.
///
/// Coverage: share of [−beforeMin, end] that lies between two neighbouring readings at most maxGapMin apart
/// (also such of which one lies outside), in %. Gap: a part of it longer than maxGapMin that lies between
/// neighbours farther apart, or has no reading before or after it.
///
/// Left out, an error: no readings of the subject, none in the cut, none at or before 0 (no baseline), none
/// after 0, a cut that touches a stretch where the clock was set back, a smoothed value below 0. By option, a
/// warning: shortened curves, curves with a gap. Noted: what was shortened, an earlier meal within afterMin
/// (the baseline is not fasting), readings below or above the range, readings without any meal.
/// Fails where the options cannot be used, or `progress` answers false ("stopped").
Result<SensorCurves> sensorCurves(const SensorReadings& readings, const MealMarks& marks,
                                  const SensorCutOptions& options, const Progress& progress = {});

}  // namespace aftercurve
