#pragma once

#include <Eigen/Core>
#include <optional>

#include "core/compare/mixed_model.h"
#include "core/compare/reml_fit.h"

namespace aftercurve {

/// Standard errors, degrees of freedom and F of functions kᵀβ, k in the basis of the design. Internal to
/// core/compare; formulas and sources at MixedModel.
struct ContrastInference {
    DfMethod method = DfMethod::satterthwaite;
    bool boundary = false;
    double residualDf = 0.0;              ///< rows − rank
    Eigen::MatrixXd covariance;           ///< of the coefficients, σ² = 1
    Eigen::MatrixXd plainCovariance;      ///< not adjusted
    Eigen::Matrix2d parameterCovariance;  ///< of (residual, subject) variance, σ² = 1
};

/// Nothing where the information about the variances is not positive definite.
std::optional<ContrastInference> contrastInference(const RemlFit& fit, DfMethod method, double residualDf);

/// Degrees of freedom of one function; nothing where they are not a positive number.
std::optional<double> contrastDf(const RemlFit& fit, const ContrastInference& inference,
                                 const Eigen::VectorXd& k);

struct ContrastF {
    std::optional<double> f;
    std::optional<double> denominatorDf;
};

/// Of the hypothesis that all rows of `contrasts` are 0; the rows are independent, at least one.
ContrastF contrastF(const RemlFit& fit, const ContrastInference& inference, const Eigen::MatrixXd& contrasts);

}  // namespace aftercurve
