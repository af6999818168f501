#pragma once

#include <optional>
#include <span>

namespace aftercurve {

/// Summaries of a set of values, in the unit of the values. The order of the values does not matter beyond
/// rounding. Absent where there are too few values, where a value is not finite, or where the result is too
/// large for a double. Missing values are left out by the caller, who knows why they are missing.

/// Σx/n, with one step of refinement. n ≥ 1.
std::optional<double> mean(std::span<const double> value);

/// √(Σ(x − mean)²/(n − 1)), in two passes, so that a large common part costs no digits. n ≥ 2.
/// Source: Chan, Golub & LeVeque 1983, Am Stat 37:242 (corrected two-pass).
std::optional<double> sampleSd(std::span<const double> value);

/// Middle value; for an even n the mean of the two middle ones. n ≥ 1.
std::optional<double> median(std::span<const double> value);

/// Linear interpolation at position (n − 1)·p of the sorted values, counted from 0. 0 ≤ p ≤ 1, n ≥ 1.
/// Source: Hyndman & Fan 1996, Am Stat 50:361, type 7.
std::optional<double> quantile7(std::span<const double> value, double p);

}  // namespace aftercurve
