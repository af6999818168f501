#pragma once

#include <Eigen/Core>
#include <optional>
#include <vector>

#include "core/compare/curve_fit.h"

namespace aftercurve {

/// A function of the coefficients with its standard error and Satterthwaite's degrees of freedom, in the
/// scale of the design. Internal to core/compare; formulas and sources at TimeCourse.
struct CurveEstimate {
    double estimate = 0.0;
    double se = 0.0;
    std::optional<double> df;
};

/// One for each column of `functions` (coefficients by column of X).
std::vector<CurveEstimate> curveEstimates(const CurveDesign& design, const CurveFit& fit,
                                          const Eigen::MatrixXd& functions);

struct CurveF {
    std::optional<double> f;
    std::optional<double> denominatorDf;
};

/// Of the hypothesis that all columns of `functions` are 0; they are independent, at least one.
CurveF curveF(const CurveDesign& design, const CurveFit& fit, const Eigen::MatrixXd& functions);

/// Independent functions of the hypothesis, each a row: no effect of food, of time, no interaction, no
/// effect of the period. Empty where there is nothing to test.
std::vector<CurveFunction> foodFunctions(const CurveDesign& design);
std::vector<CurveFunction> timeFunctions(const CurveDesign& design);
std::vector<CurveFunction> interactionFunctions(const CurveDesign& design);

}  // namespace aftercurve
