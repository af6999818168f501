#pragma once

#include <optional>
#include <span>
#include <vector>

namespace aftercurve {

/// Adjustment for the false discovery rate: with the m present p sorted ascending, adjusted p(i) = min over
/// j ≥ i of min(1, (m / j)·p(j)); tied p get the same. Holds the expected share of false ones among the
/// rejected hypotheses where the tests are independent or positively dependent. It does not hold the chance
/// of even one false rejection, as Holm's and Hochberg's do, and is never above them: for exploring many
/// measures, not for a main claim. Absent p stay absent and do not count in m; so does one outside [0, 1].
/// Source: Benjamini & Hochberg 1995, J R Stat Soc B 57:289; Benjamini & Yekutieli 2001, Ann Stat 29:1165
/// (dependence).
std::vector<std::optional<double>> benjaminiHochbergAdjusted(std::span<const std::optional<double>> p);

}  // namespace aftercurve
