#include "core/curve/mean_level.h"

#include "core/curve/area.h"

namespace aftercurve {

namespace {

std::optional<double> overLength(double area, std::span<const double> timeMin) {
    const double length = timeMin.empty() ? 0.0 : timeMin.back() - timeMin.front();
    return length > 0.0 ? std::optional{area / length} : std::nullopt;
}

}  // namespace

std::optional<double> meanIncrement(std::span<const double> timeMin, std::span<const double> value,
                                    double baseline) {
    return overLength(areaNetIncremental(timeMin, value, baseline), timeMin);
}

std::optional<double> timeWeightedMean(std::span<const double> timeMin, std::span<const double> value) {
    return overLength(areaTotal(timeMin, value), timeMin);
}

}  // namespace aftercurve
