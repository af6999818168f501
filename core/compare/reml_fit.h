#pragma once

#include <Eigen/Core>
#include <array>
#include <string>

#include "core/compare/fixed_design.h"

namespace aftercurve {

/// What REML finds, and the pieces that degrees of freedom are made of. Internal to core/compare.
/// Everything but `residualVariance` is in units of σ² = 1, i.e. for V = I + λ11ᵀ; the two variance
/// parameters are (residual, subject). With V′ᵢ = ∂V/∂φᵢ:
struct RemlFit {
    double lambda = 0.0;                              ///< σ²u / σ²
    double residualVariance = 0.0;                    ///< σ²
    double minusTwoLogL = 0.0;                        ///< of the values as given, with the constant
    Eigen::VectorXd coefficients;                     ///< in the design's basis
    Eigen::MatrixXd covariance;                       ///< C = (XᵀV⁻¹X)⁻¹, X the basis
    std::array<Eigen::MatrixXd, 2> p;                 ///< Pᵢ = −XᵀV⁻¹V′ᵢV⁻¹X
    std::array<std::array<Eigen::MatrixXd, 2>, 2> q;  ///< Qᵢⱼ = XᵀV⁻¹V′ᵢV⁻¹V′ⱼV⁻¹X
    Eigen::Matrix2d observed;                         ///< Hessian of −2 log L
    Eigen::Matrix2d expected;                         ///< its expectation
    std::string failed;                               ///< empty: found
};

/// Minimises over λ in [0, 1e18]. Needs: a residual degree of freedom within and between subjects.
/// `resolution`: values closer than that are equal; a residual SD below it counts as 0.
RemlFit remlFit(const FixedDesign& design, const Eigen::VectorXd& value, double resolution);

}  // namespace aftercurve
