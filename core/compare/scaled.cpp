#include "core/compare/scaled.h"

#include <algorithm>
#include <cmath>

namespace aftercurve {

bool allFinite(std::span<const double> value) {
    return std::all_of(value.begin(), value.end(), [](double x) { return std::isfinite(x); });
}

std::optional<Scaled> scaledNearOne(std::span<const double> value) {
    if (!allFinite(value)) {
        return std::nullopt;
    }
    double largest = 0.0;
    for (const double x : value) {
        largest = std::max(largest, std::abs(x));
    }
    Scaled scaled;
    std::frexp(largest, &scaled.exponent);
    scaled.value.reserve(value.size());
    for (const double x : value) {
        scaled.value.push_back(std::ldexp(x, -scaled.exponent));
    }
    return scaled;
}

std::optional<double> scaledBack(double value, int exponent) {
    const double back = std::ldexp(value, exponent);
    if (!std::isfinite(back)) {
        return std::nullopt;
    }
    return back;
}

}  // namespace aftercurve
