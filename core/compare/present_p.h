#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

namespace aftercurve {

/// A p of a family that takes part in its adjustment, and where it stood.
struct PresentP {
    double p = 0.0;
    std::size_t index = 0;
};

/// The p of a family in ascending order. Absent ones, NaN and those outside [0, 1] are left out: they do not
/// count in the size of the family.
std::vector<PresentP> presentAscending(std::span<const std::optional<double>> p);

}  // namespace aftercurve
