#pragma once

#include <Eigen/Cholesky>
#include <Eigen/Core>
#include <optional>
#include <vector>

#include "core/compare/curve_design.h"

namespace aftercurve {

/// The covariance of a subject's values in its pieces, or a derivative by each of them. Internal to
/// core/compare. V = subject·(all rows) + subjectFood·(rows of one food) + curve·(rows of one curve) +
/// within(time, time)·(rows of one curve).
struct CovariancePieces {
    double subject = 0.0;
    double subjectFood = 0.0;
    double curve = 0.0;
    Eigen::MatrixXd within;  ///< times × times; a derivative by it is symmetric: sum over (a, b) counts
};

/// −2 log L by REML at one covariance, of the values as the design holds them.
struct CurveReml {
    double minusTwoLogL = 0.0;
    CovariancePieces gradient;
    Eigen::VectorXd coefficients;             ///< by column of X; corrections of the least squares ones
    Eigen::LLT<Eigen::MatrixXd> information;  ///< XᵀV⁻¹X
    std::vector<Eigen::MatrixXd> inverse;     ///< V⁻¹ by block
};

/// Nothing where a matrix is not positive definite.
std::optional<CurveReml> curveReml(const CurveDesign& design, const CovariancePieces& covariance);

/// Derivatives of var(kᵀβ) by the pieces, one for each column of `functions` (by column of X).
std::vector<CovariancePieces> varianceGradients(const CurveDesign& design, const CurveReml& reml,
                                                const Eigen::MatrixXd& functions);

}  // namespace aftercurve
