#include "core/curve/window.h"

#include <cassert>
#include <cstddef>

#include "core/base/number_text.h"
#include "core/curve/baseline.h"

namespace aftercurve {

void windowPointsInto(std::span<const double> timeMin, std::span<const double> value, const Plan& plan,
                      WindowPoints& points) {
    assert(timeMin.size() == value.size());
    points.timeMin.clear();
    points.value.clear();
    points.endInterpolated = false;
    points.notEstimable.clear();
    points.baseline = 0.0;

    const double end = plan.windowEndMin;
    const std::optional<double> baseline = baselineOf(timeMin, value, plan.baseline);
    if (!baseline) {
        points.notEstimable = plan.baseline == BaselineRule::timeZero
                                  ? "no baseline: no value at 0 min"
                                  : "no baseline: no value at or before 0 min";
        return;
    }
    if (timeMin.back() < end) {
        points.notEstimable = "last value at " + plainNumber(timeMin.back()) +
                              " min, before the window's end at " + plainNumber(end) + " min";
        return;
    }
    points.baseline = *baseline;
    points.timeMin.push_back(0.0);
    points.value.push_back(*baseline);
    std::size_t i = 0;
    while (timeMin[i] <= 0.0) {
        ++i;
    }
    for (; timeMin[i] < end; ++i) {
        points.timeMin.push_back(timeMin[i]);
        points.value.push_back(value[i]);
    }
    double atEnd = value[i];
    if (timeMin[i] > end) {
        const double t0 = points.timeMin.back();
        const double v0 = points.value.back();
        // Weighted form: exact at both neighbours, and no overflow of a difference of large values.
        const double share = (end - t0) / (timeMin[i] - t0);
        atEnd = v0 * (1.0 - share) + value[i] * share;
        points.endInterpolated = true;
    }
    points.timeMin.push_back(end);
    points.value.push_back(atEnd);
}

WindowPoints windowPoints(std::span<const double> timeMin, std::span<const double> value, const Plan& plan) {
    WindowPoints points;
    windowPointsInto(timeMin, value, plan, points);
    return points;
}

}  // namespace aftercurve
