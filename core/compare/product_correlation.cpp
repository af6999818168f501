#include "core/compare/product_correlation.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "core/compare/line_integral.h"

namespace aftercurve {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double productTolerance = 1e-10;
constexpr double largestExact = 1.0 - 1e-6;
constexpr double largestNear = 0.99;

double lowerNormal(double z) {
    return 0.5 * std::erfc(-z / std::numbers::sqrt2);
}

bool reproduces(const VectorXd& l, const MatrixXd& correlation) {
    if (!(l.cwiseAbs().maxCoeff() < largestExact)) {
        return false;
    }
    MatrixXd gap = correlation - l * l.transpose();
    gap.diagonal().setZero();
    return gap.cwiseAbs().maxCoeff() <= productTolerance;
}

}  // namespace

std::optional<VectorXd> productForm(const MatrixXd& correlation) {
    const Index size = correlation.rows();
    MatrixXd off = correlation.cwiseAbs();
    off.diagonal().setZero();
    Index i = 0;
    Index j = 0;
    VectorXd l = VectorXd::Zero(size);
    if (size == 1 || off.maxCoeff(&i, &j) == 0.0) {
        return l;
    }
    // lᵢ² = ρᵢⱼρᵢₖ/ρⱼₖ, with the third variable that is best determined.
    Index k = i;
    double best = 0.0;
    for (Index m = 0; m < size; ++m) {
        const double strength = off(i, m) * off(j, m);
        if (m != i && m != j && strength > best) {
            best = strength;
            k = m;
        }
    }
    const double square = k == i ? off(i, j) : correlation(i, j) * correlation(i, k) / correlation(j, k);
    if (!(square > 0.0)) {
        return std::nullopt;
    }
    l[i] = std::sqrt(square);
    for (Index m = 0; m < size; ++m) {
        if (m != i) {
            l[m] = correlation(i, m) / l[i];
        }
    }
    return reproduces(l, correlation) ? std::optional{l} : std::nullopt;
}

VectorXd nearestProductForm(const MatrixXd& correlation) {
    const Index size = correlation.rows();
    MatrixXd off = correlation;
    off.diagonal().setZero();
    // From the mean correlation of each, with the sign against the variable of the largest one.
    Index lead = 0;
    off.cwiseAbs().rowwise().sum().maxCoeff(&lead);
    VectorXd l(size);
    for (Index i = 0; i < size; ++i) {
        const double mean = off.row(i).cwiseAbs().sum() / static_cast<double>(std::max<Index>(size - 1, 1));
        l[i] = (i != lead && off(i, lead) < 0.0 ? -1.0 : 1.0) * std::sqrt(mean);
    }
    constexpr int rounds = 200;
    for (int round = 0; round < rounds; ++round) {
        for (Index i = 0; i < size; ++i) {
            const double others = l.squaredNorm() - l[i] * l[i];
            if (others > 0.0) {
                l[i] = std::clamp(off.row(i).dot(l) / others, -largestNear, largestNear);
            }
        }
    }
    return l;
}

std::optional<double> productFormTail(const VectorXd& l, double w) {
    if (w <= 0.0) {
        return 1.0;
    }
    const Eigen::ArrayXd rest = ((1.0 - l.array()) * (1.0 + l.array())).sqrt();
    const auto integrand = [&](double z) {
        double logInside = 0.0;
        double outside = 0.0;
        double log = 0.0;
        for (Index i = 0; i < l.size(); ++i) {
            if (i == 0 || l[i] != l[i - 1]) {
                outside = lowerNormal((l[i] * z - w) / rest[i]) + lowerNormal((-l[i] * z - w) / rest[i]);
                log = outside < 1.0 ? std::log1p(-outside) : -800.0;
            }
            logInside += log;
        }
        return -std::expm1(logInside) * std::exp(-0.5 * z * z) / std::sqrt(2.0 * std::numbers::pi);
    };
    const double steepest = (l.array().abs() / rest).maxCoeff();
    return lineIntegral(integrand, 0.0, 0.9 / std::max(1.0, steepest), l.cwiseAbs().maxCoeff() * w + 1.0);
}

}  // namespace aftercurve
