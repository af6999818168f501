#include "core/compare/differences.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <cstddef>

namespace aftercurve {

namespace {

// Decimals of up to eleven digits are told apart; the rounding of a subtraction (1e-16) is not.
constexpr double relativeResolution = 1e-11;

double largestAbsolute(std::span<const double> value) {
    double largest = 0.0;
    for (const double x : value) {
        largest = std::max(largest, std::abs(x));
    }
    return largest;
}

}  // namespace

Differences pairedDifferences(std::span<const double> food, std::span<const double> comparator) {
    assert(food.size() == comparator.size());
    const std::size_t n = std::min(food.size(), comparator.size());
    Differences differences;
    differences.value.reserve(n);
    for (std::size_t i = 0; i < n; ++i) {
        differences.value.push_back(food[i] - comparator[i]);
    }
    differences.resolution =
        relativeResolution * std::max(largestAbsolute(food), largestAbsolute(comparator));
    return differences;
}

Differences asDifferences(std::span<const double> difference) {
    return {{difference.begin(), difference.end()}, relativeResolution * largestAbsolute(difference)};
}

bool allEqual(const Differences& differences) {
    if (differences.value.empty()) {
        return true;
    }
    const auto [low, high] = std::minmax_element(differences.value.begin(), differences.value.end());
    return *high - *low <= differences.resolution;
}

}  // namespace aftercurve
