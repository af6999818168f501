#pragma once

#include <algorithm>
#include <cmath>
#include <span>

namespace aftercurve {

/// Values closer to a level than this count as at it, in the unit of the values: 1e-12 of the largest
/// absolute value. Decimals carry binary rounding, and a measure that asks "above or not" must not depend on
/// it.
inline double levelResolution(std::span<const double> value) {
    double largest = 0.0;
    for (const double v : value) {
        largest = std::max(largest, std::abs(v));
    }
    return 1e-12 * largest;
}

}  // namespace aftercurve
