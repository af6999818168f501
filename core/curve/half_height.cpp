#include "core/curve/half_height.h"

#include <algorithm>
#include <cassert>
#include <cstddef>

#include "core/curve/level_resolution.h"
#include "core/curve/peak.h"

namespace aftercurve {

std::optional<double> halfHeightWidth(std::span<const double> timeMin, std::span<const double> value,
                                      double baseline) {
    assert(timeMin.size() == value.size());
    const std::size_t peak = peakIndex(value);
    const double half = (value[peak] - baseline) / 2.0;
    const double resolution = levelResolution(value);
    if (!(half > resolution)) {
        return std::nullopt;
    }
    // Height over the half height.
    const auto over = [&](std::size_t i) { return (value[i] - baseline) - half; };
    // Where the line from `inside` to `outside` crosses it.
    const auto crossing = [&](std::size_t inside, std::size_t outside) {
        const double above = std::max(over(inside), 0.0);
        return timeMin[inside] + (timeMin[outside] - timeMin[inside]) * (above / (above - over(outside)));
    };
    std::size_t first = peak;
    while (first > 0 && over(first - 1) >= -resolution) {
        --first;
    }
    std::size_t last = peak;
    while (last + 1 < value.size() && over(last + 1) >= -resolution) {
        ++last;
    }
    if (first == 0 || last + 1 == value.size()) {
        return std::nullopt;
    }
    return crossing(last, last + 1) - crossing(first, first - 1);
}

}  // namespace aftercurve
