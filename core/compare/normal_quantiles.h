#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace aftercurve {

/// The line that a normal quantile plot is read against.
enum class QuantileLine {
    throughQuartiles,  ///< through the quartiles of the values (type 7) and of the normal: a far value does
                       ///< not move it
    meanAndSd,         ///< mean + SD·z
};

struct QuantilePoint {
    double normal = 0.0;    ///< z, standard normal
    double value = 0.0;     ///< in the unit of the values
    std::size_t index = 0;  ///< place in the values given
};

/// Coordinates of a normal quantile plot: the i-th smallest of n values over z_i = Φ⁻¹((i − 3/8)/(n + 1/4)),
/// i = 1 … n, and a reference line value = intercept + slope·z. Equal values keep the order given, one point
/// each. n = 0 or a value that is not finite: no points. n = 1: one point at z = 0 and no line. A line of
/// slope 0 (values, or quartiles, that are equal) is given as such. An intercept or slope too large for a
/// double: no line, with the reason. Source: Blom 1958, Statistical Estimates and Transformed Beta Variables
/// (from memory).
struct NormalQuantiles {
    std::vector<QuantilePoint> points;  ///< ascending
    QuantileLine line = QuantileLine::throughQuartiles;
    std::optional<double> intercept;
    std::optional<double> slope;
    std::string absentBecause;
};

NormalQuantiles normalQuantiles(std::span<const double> value,
                                QuantileLine line = QuantileLine::throughQuartiles);

}  // namespace aftercurve
