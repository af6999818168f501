#include "core/compare/box_lattice.h"

#include <Eigen/Cholesky>
#include <algorithm>
#include <array>
#include <boost/math/policies/policy.hpp>
#include <boost/math/special_functions/erf.hpp>
#include <cmath>
#include <numbers>

#include "core/compare/counter_random.h"

namespace aftercurve {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;

// Prime sizes and, of the multipliers up to half of each, the one with the smallest P₂ in six dimensions of
// falling weight.
struct Korobov {
    std::uint64_t points;
    std::uint64_t multiplier;
};
constexpr std::array<Korobov, 3> lattices{{{251, 66}, {1021, 223}, {4093, 946}}};
constexpr std::uint64_t seed = 20261125;
constexpr double smallestPivot = 1e-7;

double lowerNormal(double z) {
    return 0.5 * std::erfc(-z / std::numbers::sqrt2);
}

/// The z with Φ(z) = p, p ≤ ½ or a little more.
double lowerQuantile(double p) {
    namespace policies = boost::math::policies;
    using Quiet =
        policies::policy<policies::domain_error<policies::ignore_error>,
                         policies::overflow_error<policies::ignore_error>, policies::promote_double<false>>;
    return -std::numbers::sqrt2 * boost::math::erfc_inv(2.0 * p, Quiet());
}

/// A value of the normal within (low, high), at the share u of the probability there, which is multiplied to
/// `weight`. From the lower tail, so that digits are kept.
double within(double low, double high, double u, double& weight) {
    const bool flip = low + high > 0.0;
    if (flip) {
        std::swap(low, high);
        low = -low;
        high = -high;
        u = 1.0 - u;
    }
    const double below = lowerNormal(low);
    const double inside = lowerNormal(high) - below;
    weight *= inside;
    if (!(inside > 0.0)) {
        return 0.0;
    }
    const double z = std::clamp(lowerQuantile(below + u * inside), low, high);
    return flip ? -z : z;
}

/// Density at one point of (0, 1)^i of P(Z₀ ≥ w, |Zⱼ| < w), the variables in the order of the factor.
double termAt(const MatrixXd& factor, double w, const std::vector<double>& u) {
    const Index last = factor.rows() - 1;
    std::array<double, 64> z{};
    // An exponential of rate w + 1 stands in for the tail.
    const double rate = w + 1.0;
    const double x = -std::log1p(-std::min(u[0], 1.0 - 1e-15)) / rate;
    double weight =
        std::exp(-0.5 * (w + x) * (w + x) + rate * x) / (rate * std::sqrt(2.0 * std::numbers::pi));
    z[0] = w + x;
    for (Index j = 1; j <= last && weight > 0.0; ++j) {
        double centre = 0.0;
        for (Index m = 0; m < j; ++m) {
            centre += factor(j, m) * z[static_cast<std::size_t>(m)];
        }
        const double low = (-w - centre) / factor(j, j);
        const double high = (w - centre) / factor(j, j);
        if (j < last) {
            z[static_cast<std::size_t>(j)] = within(low, high, u[static_cast<std::size_t>(j)], weight);
        } else {
            weight *=
                low > 0.0 ? lowerNormal(-low) - lowerNormal(-high) : lowerNormal(high) - lowerNormal(low);
        }
    }
    return weight;
}

double unit(ReplicateRandom& random) {
    return (static_cast<double>(random.next()) + 0.5) / 4294967296.0;
}

}  // namespace

BoxLattice::BoxLattice(const MatrixXd& correlation) {
    for (Index i = 0; i < correlation.rows(); ++i) {
        MatrixXd part(i + 1, i + 1);
        const auto original = [i](Index position) { return position == 0 ? i : position - 1; };
        for (Index a = 0; a <= i; ++a) {
            for (Index b = 0; b <= i; ++b) {
                part(a, b) = correlation(original(a), original(b));
            }
        }
        const Eigen::LLT<MatrixXd> cholesky(part);
        factors_.emplace_back(cholesky.matrixL());
        singular_ = singular_ || cholesky.info() != Eigen::Success ||
                    !(factors_.back().diagonal().minCoeff() > smallestPivot);
    }
}

std::size_t BoxLattice::sizes() {
    return lattices.size();
}

std::vector<double> BoxLattice::tails(double w, std::size_t size) const {
    const Korobov lattice = lattices[size];
    std::vector<double> result(shifts, 2.0 * lowerNormal(-w));
    for (std::size_t s = 0; s < shifts; ++s) {
        ReplicateRandom random(seed, RandomPurpose::latticeShifts, s);
        std::vector<double> shift;
        for (std::size_t j = 0; j < factors_.size(); ++j) {
            shift.push_back(unit(random));
        }
        std::vector<double> u(factors_.size());
        double sum = 0.0;
        for (std::uint64_t point = 0; point < lattice.points; ++point) {
            std::uint64_t position = point;
            for (std::size_t j = 0; j < u.size(); ++j) {
                const double at =
                    static_cast<double>(position) / static_cast<double>(lattice.points) + shift[j];
                u[j] = 1.0 - std::abs(2.0 * (at - std::floor(at)) - 1.0);
                position = position * lattice.multiplier % lattice.points;
            }
            for (std::size_t i = 1; i < factors_.size(); ++i) {
                sum += termAt(factors_[i], w, u);
            }
        }
        result[s] += 2.0 * sum / static_cast<double>(lattice.points);
    }
    return result;
}

}  // namespace aftercurve
