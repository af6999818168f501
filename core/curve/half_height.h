#pragma once

#include <optional>
#include <span>

namespace aftercurve {

/// Time in min around the peak that the curve stays at or above baseline + half the peak rise, without a
/// break, by linear crossings on both sides. Values at the half height (core/curve/level_resolution.h) do not
/// end it. Absent where the curve never rises above baseline, and where it does not come down under the half
/// height within the window after its peak. Source: common practice, no source.
std::optional<double> halfHeightWidth(std::span<const double> timeMin, std::span<const double> value,
                                      double baseline);

}  // namespace aftercurve
