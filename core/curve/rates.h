#pragma once

#include <optional>
#include <span>

namespace aftercurve {

// Slopes of a curve, in the analyte's unit a minute. Points of a window as in core/curve/area.h; the peak is
// the earliest largest value (core/curve/peak.h). Source: common practice, no source.

/// (peak − baseline) / time to peak. Absent where the peak is at 0, which is the curve that never rises.
std::optional<double> rateOfRise(std::span<const double> timeMin, std::span<const double> value,
                                 double baseline);

/// The largest slope of a segment between neighbouring points. Absent where no segment rises.
std::optional<double> steepestRise(std::span<const double> timeMin, std::span<const double> value);

/// From the peak to the first return to baseline, peak rise / (time to return − time to peak); where the
/// curve does not return, to the window's end: (peak − value there) / (end − time to peak). Never negative.
/// Absent where the peak is at the window's end and where the curve never rises above baseline.
std::optional<double> rateOfFall(std::span<const double> timeMin, std::span<const double> value,
                                 double baseline);

}  // namespace aftercurve
