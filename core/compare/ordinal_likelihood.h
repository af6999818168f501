#pragma once

#include <Eigen/Core>
#include <optional>

#include "core/compare/gauss_hermite.h"
#include "core/compare/ordinal_form.h"
#include "core/compare/smooth_minimum.h"

namespace aftercurve {

/// σ beyond this, and logits beyond 300, count as run off (common practice, no source: real scores give σ of
/// some units).
inline constexpr double largestOrdinalSd = 30.0;

/// −log L of a proportional odds model with u = σv, v ~ N(0, 1), and its exact gradient. The integral over
/// each subject's v is Gauss–Hermite quadrature about the integrand's mode with the scale of its curvature
/// there; the gradient is that of this approximation, mode and scale included, so that it is right with few
/// points too. The likelihood is even in σ, which may have either sign. At σ = 0 no quadrature is needed.
/// Nothing where a parameter has run off. Internal to core/compare.
std::optional<Height> minusLogLikelihood(const OrdinalForm& form, const NormalQuadrature& quadrature,
                                         const Eigen::VectorXd& parameters);

/// Derivative of log L by σ² at σ = 0, where that by σ is always 0.
double varianceSlopeAtZero(const OrdinalForm& form, const Eigen::VectorXd& parameters);

/// Thresholds of all categories from the parameters; of one without a place: 0.
std::vector<double> thresholdsOf(const OrdinalForm& form, const Eigen::VectorXd& parameters);

}  // namespace aftercurve
