#include "core/curve/rates.h"

#include <cassert>
#include <cstddef>

#include "core/curve/peak.h"

namespace aftercurve {

std::optional<double> rateOfRise(std::span<const double> timeMin, std::span<const double> value,
                                 double baseline) {
    assert(timeMin.size() == value.size());
    const std::size_t peak = peakIndex(value);
    if (peak == 0) {
        return std::nullopt;
    }
    return (value[peak] - baseline) / (timeMin[peak] - timeMin[0]);
}

std::optional<double> steepestRise(std::span<const double> timeMin, std::span<const double> value) {
    assert(timeMin.size() == value.size());
    double steepest = 0.0;
    for (std::size_t i = 1; i < value.size(); ++i) {
        const double slope = (value[i] - value[i - 1]) / (timeMin[i] - timeMin[i - 1]);
        if (slope > steepest) {
            steepest = slope;
        }
    }
    return steepest > 0.0 ? std::optional{steepest} : std::nullopt;
}

std::optional<double> rateOfFall(std::span<const double> timeMin, std::span<const double> value,
                                 double baseline) {
    assert(timeMin.size() == value.size());
    const std::size_t peak = peakIndex(value);
    if (value[peak] <= baseline || peak + 1 == value.size()) {
        return std::nullopt;
    }
    if (const std::optional<double> back = timeToReturn(timeMin, value, baseline)) {
        return (value[peak] - baseline) / (*back - timeMin[peak]);
    }
    return (value[peak] - value.back()) / (timeMin.back() - timeMin[peak]);
}

}  // namespace aftercurve
