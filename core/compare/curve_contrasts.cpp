#include "core/compare/curve_contrasts.h"

#include <Eigen/Eigenvalues>
#include <Eigen/QR>
#include <cmath>

namespace aftercurve {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

std::optional<double> positive(double x) {
    return std::isfinite(x) && x > 0.0 ? std::optional{x} : std::nullopt;
}

/// Fai & Cornelius 1996: df of a mean of squared t, from the df of each.
double combinedDf(const VectorXd& df) {
    if (df.size() == 1 || df.maxCoeff() - df.minCoeff() < 1e-8) {
        return df.mean();
    }
    if (df.minCoeff() <= 2.0) {
        return 2.0;
    }
    const double e = (df.array() / (df.array() - 2.0)).sum();
    return 2.0 * e / (e - static_cast<double>(df.size()));
}

/// The mean of one line of the table (a food, a time) less that of the first.
CurveFunction lineLessFirst(const CurveDesign& design, const Eigen::MatrixXi& cellOf, Index line) {
    CurveFunction function = noFunction(design);
    const double weight = 1.0 / static_cast<double>(cellOf.cols());
    for (Index c = 0; c < cellOf.cols(); ++c) {
        addCell(design, cellOf(line, c), weight, function);
        addCell(design, cellOf(0, c), -weight, function);
    }
    return function;
}

std::vector<CurveFunction> linesLessFirst(const CurveDesign& design, const Eigen::MatrixXi& cellOf) {
    std::vector<CurveFunction> functions;
    for (Index line = 1; line < cellOf.rows(); ++line) {
        functions.push_back(lineLessFirst(design, cellOf, line));
    }
    return functions;
}

/// What is left of the cells when all sums of a food and a time are taken out.
std::vector<CurveFunction> incompleteInteraction(const CurveDesign& design) {
    const Index foods = design.cellOf.rows();
    MatrixXd additive = MatrixXd::Zero(design.cells(), foods + design.cellOf.cols());
    for (Index f = 0; f < foods; ++f) {
        for (Index t = 0; t < design.cellOf.cols(); ++t) {
            if (design.cellOf(f, t) >= 0) {
                additive(design.cellOf(f, t), f) = 1.0;
                additive(design.cellOf(f, t), foods + t) = 1.0;
            }
        }
    }
    const Eigen::ColPivHouseholderQR<MatrixXd> qr(additive);
    const MatrixXd q = qr.householderQ() * MatrixXd::Identity(design.cells(), design.cells());
    std::vector<CurveFunction> functions;
    for (Index c = qr.rank(); c < design.cells(); ++c) {
        functions.push_back(noFunction(design));
        functions.back().cells = q.col(c);
    }
    return functions;
}

}  // namespace

std::vector<CurveEstimate> curveEstimates(const CurveDesign& design, const CurveFit& fit,
                                          const MatrixXd& functions) {
    if (functions.cols() == 0) {
        return {};
    }
    const auto gradients = varianceGradients(design, fit.reml, functions);
    const MatrixXd weights = fit.reml.information.solve(functions);
    const VectorXd least = functions.transpose() * (design.leastSquares / design.unit);
    std::vector<CurveEstimate> result;
    for (Index q = 0; q < functions.cols(); ++q) {
        CurveEstimate e;
        const double variance = functions.col(q).dot(weights.col(q));
        e.estimate = least[q] + functions.col(q).dot(fit.reml.coefficients);
        e.se = std::sqrt(variance);
        const VectorXd all = byCoordinates(fit.form, fit.at, gradients[static_cast<std::size_t>(q)]);
        VectorXd g(static_cast<Index>(fit.active.size()));
        for (std::size_t i = 0; i < fit.active.size(); ++i) {
            g[static_cast<Index>(i)] = all[fit.active[i]];
        }
        e.df = positive(2.0 * variance * variance / g.dot(fit.parameterCovariance * g));
        result.push_back(e);
    }
    return result;
}

CurveF curveF(const CurveDesign& design, const CurveFit& fit, const MatrixXd& functions) {
    CurveF result;
    const MatrixXd variance = functions.transpose() * fit.reml.information.solve(functions);
    const Eigen::SelfAdjointEigenSolver<MatrixXd> eigen(variance);
    if (!(eigen.eigenvalues().minCoeff() > 1e-13 * eigen.eigenvalues().maxCoeff())) {
        return result;
    }
    const auto along = curveEstimates(design, fit, functions * eigen.eigenvectors());
    VectorXd df(functions.cols());
    double sum = 0.0;
    for (std::size_t q = 0; q < along.size(); ++q) {
        if (!along[q].df) {
            return result;
        }
        df[static_cast<Index>(q)] = *along[q].df;
        sum += along[q].estimate / along[q].se * (along[q].estimate / along[q].se);
    }
    const double f = sum / static_cast<double>(functions.cols());
    result.denominatorDf = positive(combinedDf(df));
    if (std::isfinite(f) && result.denominatorDf) {
        result.f = f;
    }
    return result;
}

std::vector<CurveFunction> foodFunctions(const CurveDesign& design) {
    return linesLessFirst(design, design.cellOf);
}

std::vector<CurveFunction> timeFunctions(const CurveDesign& design) {
    return linesLessFirst(design, design.cellOf.transpose());
}

std::vector<CurveFunction> interactionFunctions(const CurveDesign& design) {
    const Eigen::MatrixXi& cell = design.cellOf;
    if (cell.minCoeff() < 0) {
        return incompleteInteraction(design);
    }
    std::vector<CurveFunction> functions;
    for (Index f = 1; f < cell.rows(); ++f) {
        for (Index t = 1; t < cell.cols(); ++t) {
            functions.push_back(noFunction(design));
            addCell(design, cell(f, t), 1.0, functions.back());
            addCell(design, cell(0, t), -1.0, functions.back());
            addCell(design, cell(f, 0), -1.0, functions.back());
            addCell(design, cell(0, 0), 1.0, functions.back());
        }
    }
    return functions;
}

}  // namespace aftercurve
