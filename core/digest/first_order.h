#pragma once

#include <cmath>

namespace aftercurve {

/// 1 − e^(−kt), the share that a first-order process of that rate (per min) has digested at a time (min);
/// without cancellation for small kt.
inline double risen(double rate, double time) {
    return -std::expm1(-rate * time);
}

}  // namespace aftercurve
