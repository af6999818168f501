#pragma once

#include <cstddef>
#include <optional>

#include "core/compare/tabled_tail.h"

namespace aftercurve {

/// The studentized range: the largest difference between `groups` independent standard normal values, divided
/// by an independent estimate of their standard deviation with df degrees of freedom.
///
/// P(Q ≥ q) = E[1 − W(q·s)], s = √(χ²/df), 1 − W(w) = k∫φ(z){Φ(z)ᵏ⁻¹ − [Φ(z) − Φ(z − w)]ᵏ⁻¹}dz. The
/// difference of powers is written so that small tails keep their digits; both integrals by the trapezoidal
/// rule (line_integral.h). Relative accuracy of p about 1e-10 for df ≥ 1, checked against R's ptukey.
/// 2 ≤ groups ≤ 100; df > 0, not necessarily whole, may be infinite; otherwise, and for q that is not a
/// number, absent. q ≤ 0 has p = 1. A p below the smallest normal double is given as that.
/// Source: Tukey 1953, in print with tables in Harter 1960, Ann Math Stat 31:1122 (from memory).
std::optional<double> studentizedRangeUpperTail(double q, std::size_t groups, double df);

/// The q with P(Q ≥ q) = upperTail. 0 < upperTail < 1; absent as above and where q is too large for a double.
std::optional<double> studentizedRangeUpperQuantile(double upperTail, std::size_t groups, double df);

/// The same for many q and df of one number of groups: the inner integral is done once (tabled_tail.h).
class StudentizedRange {
  public:
    explicit StudentizedRange(std::size_t groups);

    std::optional<double> upperTail(double q, double df);
    std::optional<double> upperQuantile(double upperTail, double df);

  private:
    std::size_t groups_;
    TabledTail tail_;
};

}  // namespace aftercurve
