#pragma once

#include <optional>
#include <span>
#include <vector>

namespace aftercurve {

/// Hochberg's step-up adjustment: with the m present p sorted ascending, adjusted p(i) = min over j ≥ i of
/// min(1, (m − j + 1)·p(j)); tied p get the same. Holds the family-wise error where the tests are independent
/// or positively dependent (Simes' inequality), as comparisons with one comparator mostly are; Holm's needs
/// no such assumption. Never above Holm's. Absent p stay absent and do not count in m; so does one outside
/// [0, 1]. Source: Hochberg 1988, Biometrika 75:800.
std::vector<std::optional<double>> hochbergAdjusted(std::span<const std::optional<double>> p);

}  // namespace aftercurve
