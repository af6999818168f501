#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>

namespace aftercurve {

/// A straight line where both x and y carry error. lambda = variance of the error of y over that of x, the
/// same along the line. With Sxx, Syy, Sxy the sums of squares and products about the means:
///   slope      (Syy − λSxx + √((Syy − λSxx)² + 4λSxy²)) / (2Sxy)
///   intercept  mean y − slope · mean x
/// Standard errors by jackknife: pseudo-values n·b − (n − 1)·b(i), b(i) without point i; SE = SD of these/√n,
/// interval b ± t(1 − alpha/2; n − 2)·SE. Units: slope in y per x, lambda in y² per x².
/// n < 3, a value that is not finite, all x or all y equal, Sxy = 0 (no direction): absent. n = 3, or a line
/// that fails without one of its points: no interval. Source: Linnet 1990, Stat Med 9:1463; Deming 1943,
/// Statistical Adjustment of Data; both from memory.
struct DemingLine {
    std::size_t n = 0;
    double lambda = 1.0;
    std::optional<double> slope;
    std::optional<double> intercept;
    std::optional<double> slopeSe;
    std::optional<double> slopeLow;
    std::optional<double> slopeHigh;
    std::optional<double> interceptSe;
    std::optional<double> interceptLow;
    std::optional<double> interceptHigh;
    std::string absentBecause;
    std::string intervalAbsentBecause;
};

/// Same lengths; lambda > 0 and finite, 0 < alpha < 1.
DemingLine demingLine(std::span<const double> x, std::span<const double> y, double lambda, double alpha);

}  // namespace aftercurve
