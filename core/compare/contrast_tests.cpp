#include "core/compare/contrast_tests.h"

#include <Eigen/Cholesky>
#include <Eigen/Eigenvalues>
#include <cmath>

namespace aftercurve {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

std::optional<double> positive(double x) {
    return std::isfinite(x) && x > 0.0 ? std::optional{x} : std::nullopt;
}

/// Symmetric 2 × 2 inverse; nothing where it is not positive definite to rounding.
std::optional<Eigen::Matrix2d> inverseOf(const Eigen::Matrix2d& m) {
    const double determinant = m(0, 0) * m(1, 1) - m(0, 1) * m(1, 0);
    if (!(m(0, 0) > 0.0 && m(1, 1) > 0.0 && determinant > 1e-14 * m(0, 0) * m(1, 1))) {
        return std::nullopt;
    }
    Eigen::Matrix2d inverse;
    inverse << m(1, 1), -m(0, 1), -m(1, 0), m(0, 0);
    return Eigen::Matrix2d(inverse / determinant);
}

/// Kenward & Roger 1997, eq. 7 (V is linear in its parameters, so that the term in second derivatives is 0).
MatrixXd adjustedCovariance(const RemlFit& fit, const Eigen::Matrix2d& w) {
    const MatrixXd& c = fit.covariance;
    MatrixXd sum = MatrixXd::Zero(c.rows(), c.cols());
    for (std::size_t i = 0; i < 2; ++i) {
        for (std::size_t j = 0; j < 2; ++j) {
            sum += w(static_cast<Index>(i), static_cast<Index>(j)) * (fit.q[i][j] - fit.p[i] * c * fit.p[j]);
        }
    }
    return c + 2.0 * c * sum * c;
}

double satterthwaiteDf(const RemlFit& fit, const ContrastInference& inference, const VectorXd& k) {
    if (inference.boundary) {
        return inference.residualDf;
    }
    const VectorXd ck = fit.covariance * k;
    const double variance = k.dot(ck);
    const Eigen::Vector2d gradient(-ck.dot(fit.p[0] * ck), -ck.dot(fit.p[1] * ck));
    return 2.0 * variance * variance / gradient.dot(inference.parameterCovariance * gradient);
}

struct KenwardRoger {
    double df = 0.0;
    double scale = 1.0;
};

/// Kenward & Roger 1997, section 3: moments of the Wald statistic, matched by scale · F(q, df).
KenwardRoger kenwardRoger(const RemlFit& fit, const ContrastInference& inference, const MatrixXd& contrasts) {
    const MatrixXd& c = fit.covariance;
    const MatrixXd lc = contrasts * c;
    const MatrixXd variance = lc * contrasts.transpose();
    const Eigen::LLT<MatrixXd> cholesky(variance);
    // tr(ΘCPᵢC) = tr(M⁻¹ · LCPᵢCLᵀ), M = LCLᵀ; likewise for the product of two.
    std::array<MatrixXd, 2> u;
    for (std::size_t i = 0; i < 2; ++i) {
        u[i] = cholesky.solve(lc * fit.p[i] * lc.transpose());
    }
    double a1 = 0.0;
    double a2 = 0.0;
    for (std::size_t i = 0; i < 2; ++i) {
        for (std::size_t j = 0; j < 2; ++j) {
            const double w = inference.parameterCovariance(static_cast<Index>(i), static_cast<Index>(j));
            a1 += w * u[i].trace() * u[j].trace();
            a2 += w * (u[i] * u[j]).trace();
        }
    }
    const auto q = static_cast<double>(contrasts.rows());
    KenwardRoger result;
    if (contrasts.rows() == 1) {
        // The rule below, written out for q = 1: its quotients of differences cancel exactly.
        result.df = 2.0 / a2;
        return result;
    }
    const double b = (a1 + 6.0 * a2) / (2.0 * q);
    const double g = ((q + 1.0) * a1 - (q + 4.0) * a2) / ((q + 2.0) * a2);
    const double divisor = 3.0 * q + 2.0 * (1.0 - g);
    const double v0 = 1.0 + g / divisor * b;
    const double v1 = 1.0 - (q - g) / divisor * b;
    const double v2 = 1.0 - (q + 2.0 - g) / divisor * b;
    const double meanPart = 1.0 - a2 / q;
    const double ratio = std::abs(meanPart) < 1e-14 && std::abs(v1) < 1e-14 ? 1.0 : meanPart / v1;
    const double rho = ratio * ratio * (std::abs(v0) < 1e-10 ? 0.0 : v0) / v2 / q;
    result.df = 4.0 + (q + 2.0) / (q * rho - 1.0);
    result.scale = std::abs(result.df - 2.0) < 0.01 ? 1.0 : result.df * meanPart / (result.df - 2.0);
    return result;
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

}  // namespace

std::optional<ContrastInference> contrastInference(const RemlFit& fit, DfMethod method, double residualDf) {
    ContrastInference inference;
    inference.method = method;
    inference.boundary = fit.lambda == 0.0;
    inference.residualDf = residualDf;
    inference.covariance = fit.covariance;
    inference.plainCovariance = fit.covariance;
    if (method == DfMethod::satterthwaite && inference.boundary) {
        inference.parameterCovariance.setZero();
        return inference;
    }
    const auto inverse = inverseOf(method == DfMethod::satterthwaite ? fit.observed : fit.expected);
    if (!inverse) {
        return std::nullopt;
    }
    inference.parameterCovariance = 2.0 * *inverse;
    if (method == DfMethod::kenwardRoger) {
        inference.covariance = adjustedCovariance(fit, inference.parameterCovariance);
    }
    return inference;
}

std::optional<double> contrastDf(const RemlFit& fit, const ContrastInference& inference, const VectorXd& k) {
    if (inference.method == DfMethod::satterthwaite) {
        return positive(satterthwaiteDf(fit, inference, k));
    }
    return positive(kenwardRoger(fit, inference, k.transpose()).df);
}

ContrastF contrastF(const RemlFit& fit, const ContrastInference& inference, const MatrixXd& contrasts) {
    const VectorXd estimate = contrasts * fit.coefficients;
    const MatrixXd variance = contrasts * inference.covariance * contrasts.transpose();
    const auto q = static_cast<double>(contrasts.rows());
    ContrastF result;
    if (inference.method == DfMethod::kenwardRoger) {
        const KenwardRoger match = kenwardRoger(fit, inference, contrasts);
        const double wald = estimate.dot(variance.llt().solve(estimate)) / fit.residualVariance;
        result.denominatorDf = positive(match.df);
        result.f = match.scale * wald / q;
    } else {
        const Eigen::SelfAdjointEigenSolver<MatrixXd> eigen(variance);
        const MatrixXd turned = eigen.eigenvectors().transpose() * contrasts;
        VectorXd df(contrasts.rows());
        for (Index m = 0; m < contrasts.rows(); ++m) {
            df[m] = satterthwaiteDf(fit, inference, turned.row(m).transpose());
        }
        const Eigen::ArrayXd along = (turned * fit.coefficients).array();
        result.denominatorDf = positive(combinedDf(df));
        result.f = (along.square() / eigen.eigenvalues().array()).sum() / fit.residualVariance / q;
    }
    if (!std::isfinite(*result.f) || *result.f < 0.0 || !result.denominatorDf) {
        result = {};
    }
    return result;
}

}  // namespace aftercurve
