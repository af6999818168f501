#include "core/curve/area.h"

#include <algorithm>
#include <cassert>
#include <cstddef>

#include "core/curve/segment_area.h"

namespace aftercurve {

namespace {

double areaOver(std::span<const double> timeMin, std::span<const double> value, double level) {
    double area = 0.0;
    for (std::size_t i = 1; i < value.size(); ++i) {
        area += (timeMin[i] - timeMin[i - 1]) * 0.5 * ((value[i - 1] - level) + (value[i] - level));
    }
    return area;
}

}  // namespace

double areaPositiveIncremental(std::span<const double> timeMin, std::span<const double> value,
                               double baseline) {
    assert(timeMin.size() == value.size());
    double area = 0.0;
    for (std::size_t i = 1; i < value.size(); ++i) {
        area +=
            segmentAboveBaseline(timeMin[i] - timeMin[i - 1], value[i - 1] - baseline, value[i] - baseline);
    }
    return area;
}

double areaNetIncremental(std::span<const double> timeMin, std::span<const double> value, double baseline) {
    assert(timeMin.size() == value.size());
    return areaOver(timeMin, value, baseline);
}

double areaTotal(std::span<const double> timeMin, std::span<const double> value) {
    assert(timeMin.size() == value.size());
    return areaOver(timeMin, value, 0.0);
}

double areaUntilReturn(std::span<const double> timeMin, std::span<const double> value, double baseline) {
    assert(timeMin.size() == value.size());
    double area = 0.0;
    for (std::size_t i = 1; i < value.size(); ++i) {
        const double a = value[i - 1] - baseline;
        const double b = value[i] - baseline;
        area += segmentAboveBaseline(timeMin[i] - timeMin[i - 1], a, b);
        if (a > 0.0 && b <= 0.0) {
            break;
        }
    }
    return area;
}

double areaAboveMinimum(std::span<const double> timeMin, std::span<const double> value) {
    assert(timeMin.size() == value.size() && !value.empty());
    return areaOver(timeMin, value, *std::min_element(value.begin(), value.end()));
}

}  // namespace aftercurve
