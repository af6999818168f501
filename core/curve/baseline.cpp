#include "core/curve/baseline.h"

#include <cassert>
#include <cstddef>

namespace aftercurve {

std::optional<double> baselineOf(std::span<const double> timeMin, std::span<const double> value,
                                 BaselineRule rule) {
    assert(timeMin.size() == value.size());
    double sum = 0.0;
    std::size_t n = 0;
    for (std::size_t i = 0; i < timeMin.size() && timeMin[i] <= 0.0; ++i) {
        if (rule == BaselineRule::fastingMean || timeMin[i] == 0.0) {
            sum += value[i];
            ++n;
        }
    }
    if (n == 0) {
        return std::nullopt;
    }
    return sum / static_cast<double>(n);
}

}  // namespace aftercurve
