#pragma once

#include <functional>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "core/base/problem.h"
#include "core/sensor/sensor_readings.h"

namespace aftercurve {

enum class SensorSmoothing {
    none,
    median,  ///< running median of an odd number of readings
    line,    ///< straight line fitted around each reading
};

/// "none", "median", "line".
std::string_view wordFor(SensorSmoothing kind);
std::optional<SensorSmoothing> sensorSmoothingFrom(std::string_view word);

/// How readings are smoothed.
struct SensorSmoothingOptions {
    SensorSmoothing kind = SensorSmoothing::none;
    int readings = 5;            ///< of the median; odd, 3 to 301
    double bandwidthMin = 20.0;  ///< half width of the line's kernel, min; above 0, at most 360
    double maxGapMin = 20.0;     ///< nothing is smoothed across a longer time without readings; above 0
};

/// Why the options cannot be used; nothing where they can.
std::optional<Problem> validate(const SensorSmoothingOptions& options);

/// The smoothed value at each reading; nothing is added between readings. The readings fall into stretches
/// whose neighbours lie at most maxGapMin apart; no stretch knows of another.
///
/// Median, k readings, h = (k − 1)/2: the median of readings i − h to i + h of the stretch. Near an end the
/// window shrinks evenly, so the i-th reading from an end has h ≤ i and the end itself is kept. Windows are
/// counted in readings, not in minutes. Source: Tukey 1977, Exploratory Data Analysis (running medians; from
/// memory).
///
/// Line: at t0 the weighted least-squares line through the readings with |t − t0| < b (bandwidth), weights
/// (1 − (|t − t0|/b)³)³, evaluated at t0. Times may be unequal; a reading alone keeps its value. Source:
/// Cleveland 1979, J Am Stat Assoc 74:829 (tricube weights, degree 1; from memory); here with a fixed
/// bandwidth in place of a share of the readings, and without the robust passes.
///
/// Precondition: valid options, readings in order of time. `goOn` (may be empty) is asked now and then; an
/// empty list comes back where it answers false.
std::vector<double> smoothedReadings(std::span<const SensorReading> readings,
                                     const SensorSmoothingOptions& options,
                                     const std::function<bool()>& goOn = {});

}  // namespace aftercurve
