#pragma once

#include <optional>
#include <span>
#include <string>

namespace aftercurve {

/// Shapiro and Wilk's W for normality, and its p by Royston's approximation. Source: Shapiro & Wilk 1965,
/// Biometrika 52:591; Royston 1995, Applied Statistics 44:547 (algorithm AS R94). 3 ≤ n ≤ 5000, values
/// not all equal (within `resolution`); otherwise absent with the reason. n = 3: p is exact, and 0 where
/// W is at its least, 3/4.
struct ShapiroWilk {
    std::optional<double> w;
    std::optional<double> p;
    std::string absentBecause;
};

ShapiroWilk shapiroWilk(std::span<const double> value, double resolution = 0.0);

}  // namespace aftercurve
