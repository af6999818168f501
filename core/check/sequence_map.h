#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace aftercurve {

/// The parts of a sequence: "drink-bread" at - , ; / > or blanks, else letter by letter ("ABC").
std::vector<std::string> sequenceParts(std::string_view sequence);

/// One visit as randomised and as it was: the part of the sequence, and the food (an index).
struct PartAndFood {
    std::size_t part = 0;
    std::size_t food = 0;
};

/// Which food each part means.
struct SequenceMap {
    std::vector<std::optional<std::size_t>> foodOf;  ///< by part
    std::size_t fitting = 0;                         ///< pairs that agree with it
    bool unique = true;                              ///< no other map fits as many
};

/// The one-to-one map that agrees with most pairs (assignment by dynamic programming over sets of foods).
/// Absent where there are more than `mostMapped` parts or foods, or none.
inline constexpr std::size_t mostMapped = 10;
std::optional<SequenceMap> bestMap(const std::vector<PartAndFood>& pairs, std::size_t parts,
                                   std::size_t foods);

}  // namespace aftercurve
