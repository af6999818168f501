#pragma once

#include <cstdint>
#include <optional>

namespace aftercurve {

/// Tails and quantiles of the reference distributions. Arguments are checked here, nothing throws, and what
/// cannot be computed is absent. A p is never exactly 0: one below the smallest normal double is given as
/// that.

/// P(|T| ≥ |t|) for Student's t. t finite, df > 0 (need not be whole).
std::optional<double> studentTTwoSidedP(double t, double df);

/// P(T > t) for Student's t. t finite, df > 0 (need not be whole).
std::optional<double> studentTUpperTail(double t, double df);

/// The t with P(T > t) = upperTail. 0 < upperTail < 1, df > 0.
std::optional<double> studentTUpperQuantile(double upperTail, double df);

/// P(|T| ≥ |t|), also where df is infinite (the normal).
std::optional<double> absTUpperTail(double t, double df);

/// The t with P(|T| ≥ t) = p for Student's t, or for the normal where df is infinite. 0 < p < 1, df > 0.
std::optional<double> absTUpperQuantile(double p, double df);

/// P(F > f) for Fisher's F. f finite and ≥ 0, both df > 0 (need not be whole).
std::optional<double> fUpperTail(double f, double numeratorDf, double denominatorDf);

/// P(X > x) for chi-square. x finite and ≥ 0, df > 0 (need not be whole).
std::optional<double> chiSquareUpperTail(double x, double df);

/// P(X ≤ successes) for the binomial. 0 ≤ share ≤ 1, trials ≥ 1, successes ≤ trials. For a share of 1/2 and
/// up to 50 trials the value is exact: counts of patterns over 2^trials.
std::optional<double> binomialLowerTail(std::uint64_t successes, std::uint64_t trials, double share);

/// P(Z > z) for the standard normal. Infinite z is allowed.
std::optional<double> normalUpperTail(double z);

/// The z with P(Z > z) = upperTail. 0 < upperTail < 1.
std::optional<double> normalUpperQuantile(double upperTail);

/// Quantile of the beta distribution with shapes a and b: the x in [0, 1] below which lies the share p.
/// Absent where it has no finite value.
std::optional<double> betaQuantile(double p, double a, double b);

}  // namespace aftercurve
