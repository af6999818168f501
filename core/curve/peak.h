#pragma once

#include <cstddef>
#include <optional>
#include <span>

namespace aftercurve {

/// Index of the largest value of a window's points (the baseline at 0 and an interpolated end count); ties
/// take the earliest. `value` has at least one element.
std::size_t peakIndex(std::span<const double> value);

/// Time of the first linear crossing back to baseline after the peak, in min; a point that touches the
/// baseline is a crossing. Absent where the curve stays above baseline to the window's end, and where it
/// never rises above it.
std::optional<double> timeToReturn(std::span<const double> timeMin, std::span<const double> value,
                                   double baseline);

}  // namespace aftercurve
