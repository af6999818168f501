#pragma once

#include <optional>
#include <span>
#include <vector>

namespace aftercurve {

/// Values brought near 1 by a power of two, so that sums and squares neither overflow nor underflow.
/// original = value · 2^exponent, exactly, except where a value is so much smaller than the largest that it
/// drops out of any sum with it. The largest |value| lies in [0.5, 1), or all are 0.
struct Scaled {
    std::vector<double> value;
    int exponent = 0;
};

/// Nothing where a value is not finite.
std::optional<Scaled> scaledNearOne(std::span<const double> value);

/// value · 2^exponent; nothing where that is not finite.
std::optional<double> scaledBack(double value, int exponent);

bool allFinite(std::span<const double> value);

}  // namespace aftercurve
