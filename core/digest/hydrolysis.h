#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "core/digest/digest_value.h"
#include "core/digest/digestion_fit.h"

namespace aftercurve {

/// ∫C dt from 0 to `lastMin` by trapezoids over the points, in any order; those at one time are averaged. A
/// curve without a point at 0 begins there with nothing digested. Absent with the reason: no point at
/// `lastMin` (unless `interpolate` and points on both sides, with a note), a point that is not finite.
DigestValue trapezoidArea(std::span<const CurvePoint> points, double lastMin, bool interpolate);

/// 100 · area/area of the reference; the reference's area must be above 0.
/// Source: Goñi, García-Alonso & Saura-Calixto 1997, Nutr Res 17:427 (from memory).
DigestValue hydrolysisIndex(const DigestValue& area, const DigestValue& reference);

/// Standard error of 100·a/b from those of two independent areas, to first order: HI·√((uₐ/a)² + (u_b/b)²).
std::optional<double> hydrolysisIndexSe(double area, double areaSe, double reference, double referenceSe);

/// A published line from the hydrolysis index to a glycaemic index.
struct IndexEquation {
    std::string_view key;
    double intercept = 0.0;
    double slope = 0.0;
    std::string_view words;   ///< "39.71 + 0.549·HI"
    std::string_view source;  ///< with how it is known
};

/// Goñi et al. 1997, Granfeldt et al. 1992.
std::span<const IndexEquation> indexEquations();

/// An estimate, never a measured index: estimateCaution() goes with it wherever it is shown.
DigestValue estimatedIndex(const IndexEquation& equation, const DigestValue& hydrolysisIndex);

std::string_view estimateCaution();

/// The equations were made with white bread as 100 and areas to 180 min.
inline constexpr double equationLastMin = 180.0;

}  // namespace aftercurve
