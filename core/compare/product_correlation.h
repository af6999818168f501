#pragma once

#include <Eigen/Core>
#include <optional>

namespace aftercurve {

/// Correlations of the form ρᵢⱼ = lᵢlⱼ: of Zᵢ = lᵢZ + √(1 − lᵢ²)Eᵢ with independent Z and Eᵢ. Internal to
/// core/compare.

/// The l of a correlation matrix, −1 < lᵢ < 1, with every ρᵢⱼ reproduced to 1e-10; nothing where there is
/// none.
std::optional<Eigen::VectorXd> productForm(const Eigen::MatrixXd& correlation);

/// l of a product form near the matrix by least squares, |lᵢ| ≤ 0.99.
Eigen::VectorXd nearestProductForm(const Eigen::MatrixXd& correlation);

/// P(max|Zᵢ| ≥ w) of the normal; nothing where the integral does not converge.
std::optional<double> productFormTail(const Eigen::VectorXd& l, double w);

}  // namespace aftercurve
