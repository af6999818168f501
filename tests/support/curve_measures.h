#pragma once

#include <optional>
#include <string_view>

#include "core/curve/area.h"
#include "core/curve/measures.h"

namespace aftercurve::test {

/// The measure of that key; the key must be in the list.
inline std::optional<double> measureOf(const WindowPoints& points, std::string_view key) {
    return measureList()[measureIndex(key).value()].compute(points);
}

inline double positive(const WindowPoints& p) {
    return areaPositiveIncremental(p.timeMin, p.value, p.baseline);
}

inline double net(const WindowPoints& p) {
    return areaNetIncremental(p.timeMin, p.value, p.baseline);
}

inline double untilReturn(const WindowPoints& p) {
    return areaUntilReturn(p.timeMin, p.value, p.baseline);
}

}  // namespace aftercurve::test
