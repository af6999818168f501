#include "core/compare/covariance_form.h"

#include <cmath>

namespace aftercurve {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr std::array parts{CovarianceForm::subject, CovarianceForm::subjectFood, CovarianceForm::curve};

Index partCount(const CovarianceForm& form) {
    Index count = 0;
    for (const bool has : form.has) {
        count += has ? 1 : 0;
    }
    return count;
}

bool isUnstructured(const CovarianceForm& form) {
    return form.covariance == CurveCovariance::unstructured;
}

/// rho^distance without its diagonal's 1 lost where rho is 0.
MatrixXd correlation(const CovarianceForm& form, double rho) {
    return form.distance.unaryExpr([&](double d) { return d == 0.0 ? 1.0 : std::pow(rho, d); });
}

MatrixXd correlationSlope(const CovarianceForm& form, double rho) {
    return form.distance.unaryExpr([&](double d) { return d == 0.0 ? 0.0 : d * std::pow(rho, d - 1.0); });
}

MatrixXd factorOf(const CovarianceForm& form, const VectorXd& at) {
    const Index times = form.start.rows();
    MatrixXd m = MatrixXd::Zero(times, times);
    Index k = partCount(form);
    for (Index c = 0; c < times; ++c) {
        for (Index r = c; r < times; ++r, ++k) {
            m(r, c) = r == c ? std::exp(at[k]) : at[k];
        }
    }
    return m;
}

double varianceOf(const CovarianceForm& form, const VectorXd& at) {
    return std::exp(2.0 * at[partCount(form)]);
}

double& pieceOf(CovariancePieces& pieces, CovarianceForm::Part part) {
    return part == CovarianceForm::subject       ? pieces.subject
           : part == CovarianceForm::subjectFood ? pieces.subjectFood
                                                 : pieces.curve;
}

double pieceOf(const CovariancePieces& pieces, CovarianceForm::Part part) {
    return part == CovarianceForm::subject       ? pieces.subject
           : part == CovarianceForm::subjectFood ? pieces.subjectFood
                                                 : pieces.curve;
}

}  // namespace

Index CovarianceForm::size() const {
    const Index times = start.rows();
    return partCount(*this) + (isUnstructured(*this) ? times * (times + 1) / 2 : hasRho ? 2 : 1);
}

Index CovarianceForm::coordinateOf(Part part) const {
    Index k = 0;
    for (const Part p : parts) {
        if (p == part) {
            return has[p] ? k : -1;
        }
        k += has[p] ? 1 : 0;
    }
    return -1;
}

Index CovarianceForm::rhoCoordinate() const {
    return hasRho ? partCount(*this) + 1 : -1;
}

std::vector<Index> CovarianceForm::evenCoordinates() const {
    std::vector<Index> result;
    for (Index k = 0; k < partCount(*this); ++k) {
        result.push_back(k);
    }
    if (hasRho) {
        result.push_back(rhoCoordinate());
    }
    return result;
}

std::string CovarianceForm::nameOf(Index evenCoordinate) const {
    return evenCoordinate == rhoCoordinate()             ? "rho"
           : evenCoordinate == coordinateOf(subject)     ? "subject"
           : evenCoordinate == coordinateOf(subjectFood) ? "subject x food"
                                                         : "curve";
}

double rhoOf(const CovarianceForm& form, const VectorXd& at) {
    const double h = form.hasRho ? at[form.rhoCoordinate()] : 0.0;
    return h * h / (1.0 + h * h);
}

CovariancePieces piecesOf(const CovarianceForm& form, const VectorXd& at) {
    CovariancePieces pieces;
    for (const CovarianceForm::Part part : parts) {
        if (form.has[part]) {
            const double sd = at[form.coordinateOf(part)];
            pieceOf(pieces, part) = sd * sd;
        }
    }
    if (isUnstructured(form)) {
        const MatrixXd l = form.start * factorOf(form, at);
        pieces.within = l * l.transpose();
    } else {
        pieces.within = varianceOf(form, at) * correlation(form, rhoOf(form, at));
    }
    return pieces;
}

VectorXd byCoordinates(const CovarianceForm& form, const VectorXd& at, const CovariancePieces& derivative) {
    VectorXd result = VectorXd::Zero(form.size());
    for (const CovarianceForm::Part part : parts) {
        if (form.has[part]) {
            const Index k = form.coordinateOf(part);
            result[k] = 2.0 * at[k] * pieceOf(derivative, part);
        }
    }
    Index k = partCount(form);
    if (isUnstructured(form)) {
        const MatrixXd m = factorOf(form, at);
        const MatrixXd slope = 2.0 * form.start.transpose() * derivative.within * form.start * m;
        for (Index c = 0; c < m.cols(); ++c) {
            for (Index r = c; r < m.rows(); ++r, ++k) {
                result[k] = slope(r, c) * (r == c ? m(c, c) : 1.0);
            }
        }
        return result;
    }
    const double rho = rhoOf(form, at);
    const double variance = varianceOf(form, at);
    result[k] = 2.0 * variance * derivative.within.cwiseProduct(correlation(form, rho)).sum();
    if (form.hasRho) {
        const double h = at[k + 1];
        result[k + 1] = variance * derivative.within.cwiseProduct(correlationSlope(form, rho)).sum() * 2.0 *
                        h / ((1.0 + h * h) * (1.0 + h * h));
    }
    return result;
}

double beyondBoundary(const CovarianceForm& form, const VectorXd& at, const CovariancePieces& derivative,
                      Index evenCoordinate) {
    for (const CovarianceForm::Part part : parts) {
        if (form.coordinateOf(part) == evenCoordinate) {
            return pieceOf(derivative, part);
        }
    }
    return varianceOf(form, at) * derivative.within.cwiseProduct(correlationSlope(form, 0.0)).sum();
}

}  // namespace aftercurve
