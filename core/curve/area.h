#pragma once

#include <span>

namespace aftercurve {

// Areas by linear trapezoids. All take the points of a window (core/curve/window.h): `timeMin` ascending in
// min, `value` in the analyte's unit, same length >= 1; the result is in unit × min. One point has area 0.
// Missing data never reach these functions: a gap is simply a longer trapezoid.

/// Only what lies above baseline. A segment from rise a > 0 to fall b < 0 over dt contributes the triangle
/// dt·a²/(2(a − b)); from b < 0 to a > 0 the same triangle at the other end; never negative.
/// Source: FAO Food and Nutrition Paper 66 (1998), ch. 4; ISO 26642:2010; Wolever 2004, Br J Nutr 91:295
/// (iAUC).
double areaPositiveIncremental(std::span<const double> timeMin, std::span<const double> value,
                               double baseline);

/// Signed: what lies under baseline is subtracted. Wolever 2004 (netAUC).
double areaNetIncremental(std::span<const double> timeMin, std::span<const double> value, double baseline);

/// Above zero concentration.
double areaTotal(std::span<const double> timeMin, std::span<const double> value);

/// The positive incremental area up to the first return to baseline after the first rise; touching the
/// baseline is a return. 0 where the curve never rises. Wolever 2004 (AUCcut).
double areaUntilReturn(std::span<const double> timeMin, std::span<const double> value, double baseline);

/// Over the lowest value of the window. Wolever 2004 (AUCmin).
double areaAboveMinimum(std::span<const double> timeMin, std::span<const double> value);

}  // namespace aftercurve
