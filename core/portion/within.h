#pragma once

#include <cmath>

namespace aftercurve {

/// |percent| ≤ tolerance, the tolerance itself included: what a decimal loses as a double (0.33 against 0.3
/// gives 10.000000000000009) does not turn the answer.
inline bool withinPercent(double percent, double tolerance) {
    constexpr double guard = 1e-9;
    return std::abs(percent) <= tolerance + guard * (1.0 + tolerance);
}

}  // namespace aftercurve
