#include "core/curve/window_part.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <cstddef>

#include "core/curve/segment_area.h"

namespace aftercurve {

namespace {

std::optional<double> ifFinite(double value) {
    return std::isfinite(value) ? std::optional{value} : std::nullopt;
}

/// Value of the segment that ends at point i; exact at both of its points.
double valueAt(const WindowPoints& points, std::size_t i, double timeMin) {
    if (timeMin <= points.timeMin[i - 1]) {
        return points.value[i - 1];
    }
    if (timeMin >= points.timeMin[i]) {
        return points.value[i];
    }
    const double share = (timeMin - points.timeMin[i - 1]) / (points.timeMin[i] - points.timeMin[i - 1]);
    return points.value[i - 1] * (1.0 - share) + points.value[i] * share;
}

}  // namespace

WindowPartMeasures windowPart(const WindowPoints& points, double fromMin, double toMin) {
    assert(points.usable() && fromMin < toMin);
    double area = 0.0;
    double net = 0.0;
    double total = 0.0;
    for (std::size_t i = 1; i < points.value.size(); ++i) {
        const double begin = std::max(points.timeMin[i - 1], fromMin);
        const double end = std::min(points.timeMin[i], toMin);
        if (!(end > begin)) {
            continue;
        }
        const double first = valueAt(points, i, begin);
        const double last = valueAt(points, i, end);
        const double a = first - points.baseline;
        const double b = last - points.baseline;
        area += segmentAboveBaseline(end - begin, a, b);
        net += (end - begin) * (0.5 * a + 0.5 * b);
        total += (end - begin) * (0.5 * first + 0.5 * last);
    }
    const double length = toMin - fromMin;
    return {ifFinite(area), ifFinite(net), ifFinite(net / length), ifFinite(total / length)};
}

}  // namespace aftercurve
