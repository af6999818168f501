#pragma once

#include <Eigen/Core>
#include <array>
#include <string>
#include <vector>

#include "core/compare/curve_reml.h"

namespace aftercurve {

/// How the covariance of curves hangs on numbers without bounds. Internal to core/compare.
/// Coordinates, those that are in the model, in this order: subject, subject x food and curve as SD (the
/// sign is free: −2 log L is even in them, so that an SD of 0 is an ordinary minimum); then
/// `independent`: log σ; `continuousTimeAr1`: log σ and h with rho = h²/(1 + h²);
/// `unstructured`: M, lower triangular, by columns, its diagonal as logarithms; within = (L₀M)(L₀M)ᵀ.
struct CovarianceForm {
    enum Part { subject, subjectFood, curve };

    CurveCovariance covariance = CurveCovariance::independent;
    std::array<bool, 3> has{};  ///< by Part
    bool hasRho = false;
    Eigen::MatrixXd distance;  ///< of times, in units of the least one
    Eigen::MatrixXd start;     ///< L₀

    Eigen::Index size() const;
    /// −1: not in the model.
    Eigen::Index coordinateOf(Part part) const;
    Eigen::Index rhoCoordinate() const;
    /// Coordinates at which 0 is a boundary: the SDs and h.
    std::vector<Eigen::Index> evenCoordinates() const;
    std::string nameOf(Eigen::Index evenCoordinate) const;
};

double rhoOf(const CovarianceForm& form, const Eigen::VectorXd& at);

CovariancePieces piecesOf(const CovarianceForm& form, const Eigen::VectorXd& at);

/// The derivative by the coordinates from that by the pieces.
Eigen::VectorXd byCoordinates(const CovarianceForm& form, const Eigen::VectorXd& at,
                              const CovariancePieces& derivative);

/// At an even coordinate of 0: the derivative by what it stands for (the variance, rho).
double beyondBoundary(const CovarianceForm& form, const Eigen::VectorXd& at,
                      const CovariancePieces& derivative, Eigen::Index evenCoordinate);

}  // namespace aftercurve
