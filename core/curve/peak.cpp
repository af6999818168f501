#include "core/curve/peak.h"

#include <algorithm>
#include <cassert>

namespace aftercurve {

std::size_t peakIndex(std::span<const double> value) {
    assert(!value.empty());
    return static_cast<std::size_t>(std::max_element(value.begin(), value.end()) - value.begin());
}

std::optional<double> timeToReturn(std::span<const double> timeMin, std::span<const double> value,
                                   double baseline) {
    assert(timeMin.size() == value.size());
    const std::size_t peak = peakIndex(value);
    if (value[peak] <= baseline) {
        return std::nullopt;
    }
    for (std::size_t i = peak + 1; i < value.size(); ++i) {
        if (value[i] <= baseline) {
            const double above = value[i - 1] - baseline;
            const double below = baseline - value[i];
            return timeMin[i - 1] + (timeMin[i] - timeMin[i - 1]) * (above / (above + below));
        }
    }
    return std::nullopt;
}

}  // namespace aftercurve
