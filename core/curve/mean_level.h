#pragma once

#include <optional>
#include <span>

namespace aftercurve {

// Means over the time of a window, in the analyte's unit: areas by linear trapezoids (core/curve/area.h)
// divided by the window's length, so that windows of different length can be set side by side. `timeMin`
// ascending in min from 0, `value` of the same length. Absent where the window has no length.
// Source: common practice, no source.

/// Net incremental area / window length: the mean height over baseline, negative where the curve lies under
/// it.
std::optional<double> meanIncrement(std::span<const double> timeMin, std::span<const double> value,
                                    double baseline);

/// Total area / window length.
std::optional<double> timeWeightedMean(std::span<const double> timeMin, std::span<const double> value);

}  // namespace aftercurve
