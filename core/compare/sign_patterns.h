#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace aftercurve {

/// Largest number of values for which all 2^n sign patterns are counted; 2^50 is exact in a double.
inline constexpr std::size_t mostCountedSigns = 50;

/// result[s] = number of the 2^n sign patterns in which the weights with sign + sum to s, for every s up to
/// the sum of all. Weights > 0; n ≤ mostCountedSigns. All counts are exact.
std::vector<double> signPatternCounts(std::span<const std::size_t> weight);

}  // namespace aftercurve
