#include "core/compare/gauss_hermite.h"

#include <Eigen/Eigenvalues>
#include <cassert>
#include <cmath>

namespace aftercurve {

namespace {

/// At z: the orthonormal Hermite polynomial of degree n, its derivative, and the sum of the squares of those
/// of lower degree.
struct HermiteAt {
    double value = 1.0;
    double derivative = 0.0;
    double squaresBelow = 0.0;
};

HermiteAt hermiteAt(std::size_t n, double z) {
    HermiteAt h;
    double before = 0.0;
    for (std::size_t j = 0; j < n; ++j) {
        h.squaresBelow += h.value * h.value;
        const double next = (z * h.value - std::sqrt(static_cast<double>(j)) * before) /
                            std::sqrt(static_cast<double>(j + 1));
        before = h.value;
        h.value = next;
    }
    h.derivative = std::sqrt(static_cast<double>(n)) * before;
    return h;
}

}  // namespace

NormalQuadrature normalQuadrature(std::size_t points) {
    assert(points >= 1 && points <= 63);
    const auto n = static_cast<Eigen::Index>(points);
    Eigen::VectorXd offDiagonal(n - 1);
    for (Eigen::Index j = 0; j + 1 < n; ++j) {
        offDiagonal[j] = std::sqrt(static_cast<double>(j + 1));
    }
    Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> solver;
    solver.computeFromTridiagonal(Eigen::VectorXd::Zero(n), offDiagonal, Eigen::EigenvaluesOnly);
    NormalQuadrature quadrature;
    quadrature.node.assign(solver.eigenvalues().begin(), solver.eigenvalues().end());
    quadrature.weight.resize(points);
    for (std::size_t k = 0; 2 * k < points; ++k) {
        const std::size_t mirror = points - 1 - k;
        double z = k == mirror ? 0.0 : 0.5 * (quadrature.node[mirror] - quadrature.node[k]);
        for (int step = 0; step < 3 && k != mirror; ++step) {
            const HermiteAt h = hermiteAt(points, z);
            z -= h.value / h.derivative;
        }
        quadrature.node[mirror] = z;
        quadrature.node[k] = -z;
        quadrature.weight[mirror] = 1.0 / hermiteAt(points, z).squaresBelow;
        quadrature.weight[k] = quadrature.weight[mirror];
    }
    return quadrature;
}

}  // namespace aftercurve
