#pragma once

#include <Eigen/Core>
#include <string>
#include <vector>

#include "core/base/progress.h"
#include "core/compare/covariance_form.h"

namespace aftercurve {

/// What REML finds for curves. Internal to core/compare.
struct CurveFit {
    CovarianceForm form;
    Eigen::VectorXd at;                   ///< coordinates of the form
    std::vector<Eigen::Index> active;     ///< not at a boundary
    Eigen::MatrixXd parameterCovariance;  ///< of the active ones: twice the inverse of the Hessian
    CurveReml reml;
    std::vector<std::string> boundary;
    std::vector<std::string> notes;
    bool converged = false;
    std::string failed;  ///< empty: found
};

CurveFit curveFit(const CurveDesign& design, CurveCovariance covariance, const Progress& progress);

}  // namespace aftercurve
