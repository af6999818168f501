#pragma once

#include <optional>
#include <span>

namespace aftercurve {

/// How far a curve falls under baseline after its peak.
struct LateDip {
    double depth = 0.0;    ///< baseline − lowest value after the peak, in the analyte's unit; above 0
    double timeMin = 0.0;  ///< of that value; of several, the earliest
};

/// The lowest value after the earliest largest one, where it lies under baseline by more than the resolution
/// of the values (core/curve/level_resolution.h); absent otherwise. A curve that never rises has its peak at
/// 0. Source: common practice, no source.
std::optional<LateDip> lateDip(std::span<const double> timeMin, std::span<const double> value,
                               double baseline);

}  // namespace aftercurve
