#include "core/curve/late_dip.h"

#include <cassert>
#include <cstddef>

#include "core/curve/level_resolution.h"
#include "core/curve/peak.h"

namespace aftercurve {

std::optional<LateDip> lateDip(std::span<const double> timeMin, std::span<const double> value,
                               double baseline) {
    assert(timeMin.size() == value.size());
    std::size_t lowest = peakIndex(value) + 1;
    if (lowest >= value.size()) {
        return std::nullopt;
    }
    for (std::size_t i = lowest + 1; i < value.size(); ++i) {
        if (value[i] < value[lowest]) {
            lowest = i;
        }
    }
    const double depth = baseline - value[lowest];
    if (!(depth > levelResolution(value))) {
        return std::nullopt;
    }
    return LateDip{depth, timeMin[lowest]};
}

}  // namespace aftercurve
