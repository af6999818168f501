#pragma once

#include <span>

namespace aftercurve {

/// Time in min that the curve lies above `level`, by linear crossings: a segment from rise a > 0 to fall b <
/// 0 counts dt·a/(a − b). A value at the level (core/curve/level_resolution.h) is not above it, so that a
/// curve flat at the level counts 0. 0 where the curve never rises above it, never negative, at most the
/// window. Source: common practice, no source.
double timeAbove(std::span<const double> timeMin, std::span<const double> value, double level);

}  // namespace aftercurve
