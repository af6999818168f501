#pragma once

#include <optional>
#include <span>

#include "core/study/plan.h"

namespace aftercurve {

/// Concentration before eating.
///   fastingMean: arithmetic mean of all values with time <= 0 (ISO 26642 takes the mean of the fasting
///   draws) timeZero:    the value at exactly 0 (FAO Food and Nutrition Paper 66, 1998)
/// `timeMin` (min, ascending) and `value` have the same length. Absent where no such sample exists; nothing
/// is interpolated or carried over from another visit.
std::optional<double> baselineOf(std::span<const double> timeMin, std::span<const double> value,
                                 BaselineRule rule);

}  // namespace aftercurve
