#include "core/compare/curve_reml.h"

#include <cmath>
#include <numbers>

namespace aftercurve {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

std::size_t asSize(Index i) {
    return static_cast<std::size_t>(i);
}

MatrixXd covarianceOf(const CurveBlock& block, const CovariancePieces& c) {
    const Index m = block.rows();
    MatrixXd v(m, m);
    for (Index j = 0; j < m; ++j) {
        for (Index i = j; i < m; ++i) {
            double x = c.subject;
            if (block.food[asSize(i)] == block.food[asSize(j)]) {
                x += c.subjectFood;
            }
            if (block.curve[asSize(i)] == block.curve[asSize(j)]) {
                x += c.curve + c.within(block.time[asSize(i)], block.time[asSize(j)]);
            }
            v(i, j) = x;
            v(j, i) = x;
        }
    }
    return v;
}

/// Adds weight · XᵀAX.
void addInformation(const CurveBlock& block, const MatrixXd& a, double weight, MatrixXd& information) {
    const Index m = block.rows();
    for (Index j = 0; j < m; ++j) {
        const Index cj = block.cell[asSize(j)];
        const Index pj = block.period[asSize(j)];
        for (Index i = 0; i < m; ++i) {
            const double x = weight * a(i, j);
            const Index pi = block.period[asSize(i)];
            information(block.cell[asSize(i)], cj) += x;
            if (pi >= 0) {
                information(pi, cj) += x;
            }
            if (pj >= 0) {
                information(block.cell[asSize(i)], pj) += x;
                if (pi >= 0) {
                    information(pi, pj) += x;
                }
            }
        }
    }
}

void addToColumns(const CurveBlock& block, const VectorXd& byRow, VectorXd& sum) {
    for (Index i = 0; i < block.rows(); ++i) {
        sum[block.cell[asSize(i)]] += byRow[i];
        if (block.period[asSize(i)] >= 0) {
            sum[block.period[asSize(i)]] += byRow[i];
        }
    }
}

/// X·b, b by column of X (one or more vectors).
MatrixXd fittedOf(const CurveBlock& block, const MatrixXd& b) {
    MatrixXd fitted(block.rows(), b.cols());
    for (Index i = 0; i < block.rows(); ++i) {
        fitted.row(i) = b.row(block.cell[asSize(i)]);
        if (block.period[asSize(i)] >= 0) {
            fitted.row(i) += b.row(block.period[asSize(i)]);
        }
    }
    return fitted;
}

/// XCXᵀ.
MatrixXd spread(const CurveBlock& block, const MatrixXd& c) {
    const Index m = block.rows();
    MatrixXd result(m, m);
    for (Index j = 0; j < m; ++j) {
        const Index cj = block.cell[asSize(j)];
        const Index pj = block.period[asSize(j)];
        for (Index i = 0; i < m; ++i) {
            const Index ci = block.cell[asSize(i)];
            const Index pi = block.period[asSize(i)];
            double x = c(ci, cj);
            if (pi >= 0) {
                x += c(pi, cj) + (pj >= 0 ? c(pi, pj) : 0.0);
            }
            if (pj >= 0) {
                x += c(ci, pj);
            }
            result(i, j) = x;
        }
    }
    return result;
}

void addPieces(const CurveBlock& block, const MatrixXd& g, CovariancePieces& sum) {
    const Index m = block.rows();
    for (Index j = 0; j < m; ++j) {
        for (Index i = 0; i < m; ++i) {
            const double x = g(i, j);
            sum.subject += x;
            if (block.food[asSize(i)] == block.food[asSize(j)]) {
                sum.subjectFood += x;
            }
            if (block.curve[asSize(i)] == block.curve[asSize(j)]) {
                sum.curve += x;
                sum.within(block.time[asSize(i)], block.time[asSize(j)]) += x;
            }
        }
    }
}

CovariancePieces noPieces(Index times) {
    CovariancePieces pieces;
    pieces.within = MatrixXd::Zero(times, times);
    return pieces;
}

double logDeterminant(const Eigen::LLT<MatrixXd>& cholesky) {
    return 2.0 * cholesky.matrixLLT().diagonal().array().log().sum();
}

bool goodCholesky(const Eigen::LLT<MatrixXd>& cholesky) {
    return cholesky.info() == Eigen::Success && cholesky.matrixLLT().diagonal().allFinite() &&
           cholesky.matrixLLT().diagonal().minCoeff() > 0.0;
}

}  // namespace

std::optional<CurveReml> curveReml(const CurveDesign& design, const CovariancePieces& covariance) {
    CurveReml result;
    const Index columns = design.columns();
    MatrixXd information = MatrixXd::Zero(columns, columns);
    VectorXd score = VectorXd::Zero(columns);
    double f =
        static_cast<double>(static_cast<Index>(design.rows) - columns) * std::log(2.0 * std::numbers::pi);
    result.inverse.reserve(design.blocks.size());
    for (const CurveBlock& block : design.blocks) {
        const auto n = static_cast<double>(block.subjects());
        const Eigen::LLT<MatrixXd> cholesky(covarianceOf(block, covariance));
        if (!goodCholesky(cholesky)) {
            return std::nullopt;
        }
        f += n * logDeterminant(cholesky);
        const MatrixXd a = cholesky.solve(MatrixXd::Identity(block.rows(), block.rows()));
        addInformation(block, a, n, information);
        addToColumns(block, a * block.value.rowwise().sum(), score);
        result.inverse.push_back(a);
    }
    result.information.compute(information);
    if (!goodCholesky(result.information)) {
        return std::nullopt;
    }
    f += logDeterminant(result.information);
    result.coefficients = result.information.solve(score);
    const MatrixXd c = result.information.solve(MatrixXd::Identity(columns, columns));
    result.gradient = noPieces(covariance.within.rows());
    for (std::size_t b = 0; b < design.blocks.size(); ++b) {
        const CurveBlock& block = design.blocks[b];
        const MatrixXd& a = result.inverse[b];
        const MatrixXd residual = block.value.colwise() - fittedOf(block, result.coefficients).col(0);
        const MatrixXd e = a * residual;
        f += e.cwiseProduct(residual).sum();
        MatrixXd g = a - a * spread(block, c) * a;
        g *= static_cast<double>(block.subjects());
        g -= e * e.transpose();
        addPieces(block, g, result.gradient);
    }
    if (!std::isfinite(f)) {
        return std::nullopt;
    }
    result.minusTwoLogL = f;
    return result;
}

std::vector<CovariancePieces> varianceGradients(const CurveDesign& design, const CurveReml& reml,
                                                const MatrixXd& functions) {
    const auto times = static_cast<Index>(design.times.size());
    std::vector<CovariancePieces> result(asSize(functions.cols()), noPieces(times));
    const MatrixXd weights = reml.information.solve(functions);
    for (std::size_t b = 0; b < design.blocks.size(); ++b) {
        const CurveBlock& block = design.blocks[b];
        const auto n = static_cast<double>(block.subjects());
        const MatrixXd u = reml.inverse[b] * fittedOf(block, weights);
        for (Index q = 0; q < functions.cols(); ++q) {
            addPieces(block, n * u.col(q) * u.col(q).transpose(), result[asSize(q)]);
        }
    }
    return result;
}

}  // namespace aftercurve
