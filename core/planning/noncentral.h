#pragma once

#include <functional>
#include <optional>
#include <vector>

namespace aftercurve {

/// P(T > t) for the noncentral t: T = (Z + delta)/S, Z standard normal, df·S² chi-square with df degrees of
/// freedom. Boost.Math's series; from delta² = 1e8 on P(S < delta/t), whose error is of the order 1/delta².
/// t finite and ≥ 0, df > 0; delta may be infinite. Absent where an argument is out of range or the series
/// gives none.
std::optional<double> noncentralTUpperTail(double t, double df, double delta);

/// P(F > f) for the noncentral F: F = (C1/df1)/(C2/df2), C1 noncentral chi-square with df1 degrees of freedom
/// and noncentrality lambda (the sum of the squared means of df1 unit normals), C2 chi-square with df2. From
/// lambda = 1e8 on C1 is taken as its mean, with an error of the order 1/lambda. f finite and ≥ 0, both df >
/// 0, lambda ≥ 0, may be infinite.
std::optional<double> noncentralFUpperTail(double f, double df1, double df2, double lambda);

/// The f with P(F > f) = upperTail for the central F. 0 < upperTail < 1.
std::optional<double> fUpperQuantile(double upperTail, double df1, double df2);

/// P(C ≤ x) for chi-square; x ≥ 0 (may be infinite), df > 0.
std::optional<double> chiSquareLowerTail(double x, double df);

/// The x with P(C ≤ x) = lowerTail for chi-square. 0 < lowerTail < 1, df > 0.
std::optional<double> chiSquareQuantile(double lowerTail, double df);

/// Φ(x).
double normalLowerTail(double x);

/// The mean of g(S) over the sample SD S of a population of SD 1 (df·S² chi-square with df), for S ≤ end
/// only: the integral of g(s)·f(s) from 0 to `end`, f(s) = 2 (df/2)^(df/2) / Γ(df/2) · s^(df−1) ·
/// exp(−df s²/2). Gauss–Legendre with 20 points on panels cut at `cuts` (where g bends) and at the body of f.
/// What lies more than 14 SD from the mode of f is left out (below 1e-20 for |g| ≤ 1). df ≥ 1, end > 0 (may
/// be infinite).
double meanOverSampleSd(double df, double end, const std::vector<double>& cuts,
                        const std::function<double(double)>& g);

}  // namespace aftercurve
