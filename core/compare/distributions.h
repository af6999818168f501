#pragma once

#include <optional>

namespace aftercurve {

/// Tails and quantiles of the reference distributions. Arguments are checked here, nothing throws, and what
/// cannot be computed is absent. A p is never exactly 0: one below the smallest normal double is given as
/// that.

/// P(|T| ≥ |t|) for Student's t. t finite, df > 0 (need not be whole).
std::optional<double> studentTTwoSidedP(double t, double df);

/// The t with P(T > t) = upperTail. 0 < upperTail < 1, df > 0.
std::optional<double> studentTUpperQuantile(double upperTail, double df);

/// P(F > f) for Fisher's F. f finite and ≥ 0, both df > 0 (need not be whole).
std::optional<double> fUpperTail(double f, double numeratorDf, double denominatorDf);

/// P(X > x) for chi-square. x finite and ≥ 0, df > 0 (need not be whole).
std::optional<double> chiSquareUpperTail(double x, double df);

/// P(Z > z) for the standard normal. Infinite z is allowed.
std::optional<double> normalUpperTail(double z);

/// The z with P(Z > z) = upperTail. 0 < upperTail < 1.
std::optional<double> normalUpperQuantile(double upperTail);

}  // namespace aftercurve
