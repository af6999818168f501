#pragma once

#include <optional>
#include <span>
#include <vector>

namespace aftercurve {

/// Holm's step-down adjustment: with the m present p sorted ascending, adjusted p(i) = max over j ≤ i of
/// min(1, (m − j + 1)·p(j)). Absent p stay absent and do not count in m; so does one outside [0, 1].
/// Source: Holm 1979, Scand J Stat 6:65.
std::vector<std::optional<double>> holmAdjusted(std::span<const std::optional<double>> p);

}  // namespace aftercurve
