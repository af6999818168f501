#pragma once

#include <algorithm>
#include <cmath>

namespace aftercurve {

/// Share of a straight segment from rise `a` to rise `b` that lies above 0, by its crossing: 1 where both are
/// above, 0 where none is. With s = max(a,0) + max(b,0) it is s/(|a| + |b|).
inline double shareAbove(double a, double b) {
    const double s = std::max(a, 0.0) + std::max(b, 0.0);
    return s > 0.0 ? s / (std::abs(a) + std::abs(b)) : 0.0;
}

/// Area above 0 of one segment from rise `a` to rise `b` over `dt`: dt/2 · s · s/(|a| + |b|). For two rises
/// the quotient is exactly 1, which leaves the trapezoid; where the segment crosses, s is the rise alone and
/// this is the triangle dt·a²/(2(a − b)).
inline double segmentAboveBaseline(double dt, double a, double b) {
    const double s = std::max(a, 0.0) + std::max(b, 0.0);
    const double span = std::abs(a) + std::abs(b);
    return s > 0.0 ? 0.5 * dt * s * (s / span) : 0.0;
}

}  // namespace aftercurve
