#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/study/plan.h"

namespace aftercurve {

/// The points that every measure reads, and no others: the baseline at 0, the samples strictly inside
/// (0, end), and the value at `end`, interpolated linearly between its neighbours when no sample is there.
struct WindowPoints {
    std::vector<double> timeMin;  ///< ascending; first 0, last the window's end
    std::vector<double> value;    ///< same length; first the baseline
    double baseline = 0.0;
    bool endInterpolated = false;
    std::optional<double> limit =
        {};                    ///< the level of "time above the limit", from the plan; absent: none named
    std::string notEstimable;  ///< reason; empty: the points can be used

    bool usable() const { return notEstimable.empty() && !timeMin.empty(); }
};

/// Cuts a curve to the window [0, plan.windowEndMin] of the plan, with the plan's baseline rule.
/// `timeMin` strictly ascending, `value` of the same length, both finite.
/// Not estimable (reason given, no points): no baseline; last sample before the window's end (never
/// extrapolated).
WindowPoints windowPoints(std::span<const double> timeMin, std::span<const double> value, const Plan& plan);

/// The same into an existing value, whose memory is used again; for long runs over many curves.
void windowPointsInto(std::span<const double> timeMin, std::span<const double> value, const Plan& plan,
                      WindowPoints& points);

}  // namespace aftercurve
