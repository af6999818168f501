#include "core/curve/time_above.h"

#include <cassert>
#include <cmath>
#include <cstddef>

#include "core/curve/level_resolution.h"
#include "core/curve/segment_area.h"

namespace aftercurve {

double timeAbove(std::span<const double> timeMin, std::span<const double> value, double level) {
    assert(timeMin.size() == value.size());
    const double resolution = levelResolution(value);
    const auto rise = [&](std::size_t i) {
        const double d = value[i] - level;
        return std::abs(d) <= resolution ? 0.0 : d;
    };
    double time = 0.0;
    for (std::size_t i = 1; i < value.size(); ++i) {
        time += (timeMin[i] - timeMin[i - 1]) * shareAbove(rise(i - 1), rise(i));
    }
    return time;
}

}  // namespace aftercurve
