#pragma once

#include <string>

#include "core/base/result.h"
#include "core/sensor/sensor_curves.h"
#include "core/study/study.h"

namespace aftercurve {

struct SensorStudyOptions {
    std::string title = {};
    std::string reference = {};  ///< food with role reference; empty: none
    std::string samplesFile = "samples.csv";
    std::string visitsFile = "visits.csv";
};

/// The curves that are used as a study in long form: one draw a reading, glucose smoothed as the cut says, at
/// the readings' own times; day, clock time and what was noted of each meal in the visits. Foods and subjects
/// come in the order of the marks. The window of the plan ends at the cut's end, or at 120 min where that is
/// earlier. Fails where no curve is used, or no used curve is of the reference food.
Result<Study> studyOfSensorCurves(const SensorCurves& curves, const SensorCutOptions& cut,
                                  const SensorStudyOptions& options = {});

/// What a visit's remark says of a curve: how it was smoothed, how much is covered, what was cut short.
std::string remarkOf(const SensorCurve& curve, const SensorCutOptions& cut);

}  // namespace aftercurve
