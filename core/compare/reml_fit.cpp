#include "core/compare/reml_fit.h"

#include <Eigen/Cholesky>
#include <boost/math/policies/policy.hpp>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <limits>
#include <numbers>
#include <optional>
#include <vector>

namespace aftercurve {

namespace {

using Eigen::ArrayXd;
using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double largestLambda = 1e18;
constexpr double smallestGridLambda = 1e-6;
constexpr double gridFactor = 3.1622776601683795;  // half a decade
// A ratio so small moves no digit of a result: taken as the boundary.
constexpr double boundaryLambda = 1e-12;

/// State of the model at one λ, σ² left free.
struct AtLambda {
    ArrayXd shrink;  ///< ω = 1/(1 + λn), by subject
    MatrixXd information;
    VectorXd correction;        ///< of the least squares coefficients
    VectorXd residual;          ///< by row
    ArrayXd residualSum;        ///< by subject
    double sumOfSquares = 0.0;  ///< rᵀH⁻¹r
    double profile = 0.0;       ///< −2 log L without its constant
    double slope = 0.0;         ///< its derivative
};

class Profile {
  public:
    Profile(const FixedDesign& design, const VectorXd& value)
        : design_(design),
          n_(design.rowsOfSubject.array()),
          freedom_(static_cast<double>(design.basis.rows() - design.basis.cols())) {
        leastSquares_ = design.basis.transpose() * value;
        rest_ = value - design.basis * leastSquares_;
        const VectorXd again = design.basis.transpose() * rest_;
        leastSquares_ += again;
        rest_ -= design.basis * again;
        const ArrayXd sum = sumBySubject(rest_);
        restWithin_ = lessMeans(rest_, sum);
        restSum_ = sum;
        withinInformation_ = design.within.transpose() * design.within;
        withinScore_ = design.within.transpose() * restWithin_;
    }

    double freedom() const { return freedom_; }
    const ArrayXd& n() const { return n_; }
    const VectorXd& leastSquares() const { return leastSquares_; }
    const VectorXd& rest() const { return rest_; }
    const MatrixXd& withinInformation() const { return withinInformation_; }

    /// Σ over subjects of weight · s sᵀ / n, s the subject's sum of the basis.
    MatrixXd between(const ArrayXd& weight) const {
        return design_.subjectSum.transpose() * (weight / n_).matrix().asDiagonal() * design_.subjectSum;
    }

    ArrayXd sumBySubject(const VectorXd& rows) const {
        ArrayXd sum = ArrayXd::Zero(n_.size());
        for (Index i = 0; i < rows.size(); ++i) {
            sum[subjectOf(i)] += rows[i];
        }
        return sum;
    }

    VectorXd lessMeans(const VectorXd& rows, const ArrayXd& sum) const {
        VectorXd centred = rows;
        for (Index i = 0; i < rows.size(); ++i) {
            centred[i] -= sum[subjectOf(i)] / n_[subjectOf(i)];
        }
        return centred;
    }

    AtLambda at(double lambda) const {
        AtLambda state;
        state.shrink = 1.0 / (1.0 + lambda * n_);
        state.information = withinInformation_ + between(state.shrink);
        const Eigen::LLT<MatrixXd> cholesky(state.information);
        const VectorXd score =
            withinScore_ + design_.subjectSum.transpose() * (state.shrink * restSum_ / n_).matrix();
        state.correction = cholesky.solve(score);
        state.residual = rest_ - design_.basis * state.correction;
        state.residualSum = sumBySubject(state.residual);
        state.sumOfSquares = lessMeans(state.residual, state.residualSum).squaredNorm() +
                             (state.shrink * state.residualSum.square() / n_).sum();
        const double logDet = 2.0 * cholesky.matrixLLT().diagonal().array().log().sum();
        state.profile =
            freedom_ * std::log(state.sumOfSquares / freedom_) - state.shrink.log().sum() + logDet;
        const MatrixXd moved = between(state.shrink.square() * n_);
        state.slope = (state.shrink * n_).sum() - cholesky.solve(moved).trace() -
                      freedom_ * (state.shrink * state.residualSum).square().sum() / state.sumOfSquares;
        return state;
    }

  private:
    Index subjectOf(Index row) const {
        return static_cast<Index>(design_.subject[static_cast<std::size_t>(row)]);
    }

    const FixedDesign& design_;
    ArrayXd n_;
    double freedom_ = 0.0;
    VectorXd leastSquares_;
    VectorXd rest_;  ///< residuals of least squares
    VectorXd restWithin_;
    ArrayXd restSum_;
    MatrixXd withinInformation_;
    VectorXd withinScore_;
};

/// The λ between `low` (falling) and `high` (rising) where the profile is lowest.
double refined(const Profile& profile, double low, double high, double slopeLow, double slopeHigh) {
    using Policy = boost::math::policies::policy<
        boost::math::policies::evaluation_error<boost::math::policies::ignore_error>>;
    boost::uintmax_t iterations = 200;
    const auto bracket = boost::math::tools::toms748_solve(
        [&profile](double lambda) { return profile.at(lambda).slope; }, low, high, slopeLow, slopeHigh,
        boost::math::tools::eps_tolerance<double>(std::numeric_limits<double>::digits - 2), iterations,
        Policy());
    return 0.5 * (bracket.first + bracket.second);
}

/// The λ of the lowest minimum; nothing where the profile still falls at the end of the grid and no minimum
/// lies before.
std::optional<double> bestLambda(const Profile& profile) {
    std::optional<double> best;
    double lowest = std::numeric_limits<double>::infinity();
    const auto consider = [&](double lambda) {
        const double height = profile.at(lambda).profile;
        if (height < lowest) {
            lowest = height;
            best = lambda;
        }
    };
    double low = 0.0;
    double slopeLow = profile.at(0.0).slope;
    if (slopeLow >= 0.0) {
        consider(0.0);
    }
    for (double high = smallestGridLambda; low < largestLambda; high *= gridFactor) {
        const double slopeHigh = profile.at(high).slope;
        if (slopeLow < 0.0 && slopeHigh >= 0.0) {
            consider(slopeHigh == 0.0 ? high : refined(profile, low, high, slopeLow, slopeHigh));
        }
        low = high;
        slopeLow = slopeHigh;
    }
    if (slopeLow < 0.0 && profile.at(low).profile < lowest) {
        return std::nullopt;
    }
    if (best && *best < boundaryLambda) {
        best = 0.0;
    }
    return best;
}

/// H⁻¹r and 11ᵀH⁻¹r for the observed Hessian: parts within subjects, and sums by subject.
struct Spread {
    VectorXd within;
    ArrayXd sum;
};

Eigen::Matrix2d quadraticForms(const Profile& profile, const FixedDesign& design, const AtLambda& state,
                               const MatrixXd& covariance, double sigma2) {
    const double scale = 1.0 / std::sqrt(sigma2);
    const VectorXd residual = state.residual * scale;
    const ArrayXd sum = state.residualSum * scale;
    const ArrayXd& n = profile.n();
    const std::array<Spread, 2> spread{Spread{profile.lessMeans(residual, sum), state.shrink * sum},
                                       Spread{VectorXd::Zero(residual.size()), n * state.shrink * sum}};
    std::array<VectorXd, 2> score;
    for (std::size_t i = 0; i < 2; ++i) {
        score[i] = design.within.transpose() * spread[i].within +
                   design.subjectSum.transpose() * (state.shrink * spread[i].sum / n).matrix();
    }
    Eigen::Matrix2d forms;
    for (Index i = 0; i < 2; ++i) {
        for (Index j = 0; j < 2; ++j) {
            const Spread& a = spread[static_cast<std::size_t>(i)];
            const Spread& b = spread[static_cast<std::size_t>(j)];
            forms(i, j) =
                a.within.dot(b.within) + (state.shrink * a.sum * b.sum / n).sum() -
                score[static_cast<std::size_t>(i)].dot(covariance * score[static_cast<std::size_t>(j)]);
        }
    }
    return forms;
}

void addDerivatives(const Profile& profile, const FixedDesign& design, const AtLambda& state, RemlFit& fit) {
    const ArrayXd& n = profile.n();
    const ArrayXd& w = state.shrink;
    const MatrixXd& within = profile.withinInformation();
    fit.p[0] = -(within + profile.between(w.square()));
    fit.p[1] = -profile.between(w.square() * n);
    fit.q[0][0] = within + profile.between(w.cube());
    fit.q[0][1] = fit.q[1][0] = profile.between(w.cube() * n);
    fit.q[1][1] = profile.between(w.cube() * n.square());
    const double rowsLessSubjects = n.sum() - static_cast<double>(n.size());
    Eigen::Matrix2d trace;
    trace << rowsLessSubjects + w.square().sum(), (w.square() * n).sum(), (w.square() * n).sum(),
        (w.square() * n.square()).sum();
    for (Index i = 0; i < 2; ++i) {
        for (Index j = 0; j < 2; ++j) {
            const auto a = static_cast<std::size_t>(i);
            const auto b = static_cast<std::size_t>(j);
            fit.expected(i, j) = trace(i, j) - 2.0 * (fit.covariance * fit.q[a][b]).trace() +
                                 (fit.covariance * fit.p[a] * fit.covariance * fit.p[b]).trace();
        }
    }
    fit.observed =
        2.0 * quadraticForms(profile, design, state, fit.covariance, fit.residualVariance) - fit.expected;
}

}  // namespace

RemlFit remlFit(const FixedDesign& design, const VectorXd& value, double resolution) {
    RemlFit fit;
    const Profile profile(design, value);
    if (profile.rest().cwiseAbs().maxCoeff() <= resolution) {
        fit.failed = "the factors reproduce every value: nothing is left to estimate a variance from";
        return fit;
    }
    const auto lambda = bestLambda(profile);
    const auto found = lambda ? std::optional{profile.at(*lambda)} : std::nullopt;
    if (found) {
        fit.residualVariance = found->sumOfSquares / profile.freedom();
    }
    if (!found || std::sqrt(fit.residualVariance) <= resolution) {
        fit.failed =
            "the residual variance cannot be told from 0: factors and subjects reproduce every value, "
            "and the fit has no end";
        return fit;
    }
    fit.lambda = *lambda;
    fit.minusTwoLogL = found->profile + 2.0 * design.logDetKept +
                       profile.freedom() * (1.0 + std::log(2.0 * std::numbers::pi));
    fit.coefficients = profile.leastSquares() + found->correction;
    fit.covariance = found->information.llt().solve(
        MatrixXd::Identity(found->information.rows(), found->information.cols()));
    addDerivatives(profile, design, *found, fit);
    return fit;
}

}  // namespace aftercurve
