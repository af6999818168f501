#include "core/digest/digestion_fit.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <limits>
#include <set>
#include <unsupported/Eigen/NonLinearOptimization>

#include "core/compare/distributions.h"
#include "core/digest/digestion_problem.h"

namespace aftercurve {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double slowestRate = 0.02;         ///< k · last time: below it the curve is a line
constexpr double fastestRate = 20.0;         ///< k · first time: above it e^(−kt) is nothing
constexpr double leastRatio = 1.2;           ///< of the rates of two phases
constexpr double orthogonal = 1e-6;          ///< cosine between residuals and derivatives
constexpr double roundingShare = 1e-22;      ///< of Σy²: RSS below it is rounding
constexpr double indistinguishable = 1e-10;  ///< ratio of singular values

std::vector<std::string> keysOf(DigestModel model) {
    switch (model) {
        case DigestModel::onePhase:
            return {"cinf", "k"};
        case DigestModel::onePhaseWithStart:
            return {"c0", "cinf", "k"};
        case DigestModel::twoPhases:
            break;
    }
    return {"cinf_1", "cinf_2", "k_1", "k_2"};
}

/// Why points cannot be fitted at all; empty: they can.
std::string faultOf(std::span<const CurvePoint> points, DigestModel model) {
    std::set<double> times;
    double least = std::numeric_limits<double>::infinity();
    double most = -least;
    for (const CurvePoint& point : points) {
        if (!std::isfinite(point.timeMin) || !std::isfinite(point.value) || point.timeMin < 0.0) {
            return "a point is not finite or lies before the begin";
        }
        if (point.timeMin > 0.0) {
            times.insert(point.timeMin);
        }
        least = std::min(least, point.value);
        most = std::max(most, point.value);
    }
    const auto p = static_cast<std::size_t>(shapeOf(model).count());
    if (points.size() <= p || times.size() < p) {
        return std::to_string(points.size()) + (points.size() == 1 ? " reading" : " readings") + " at " +
               std::to_string(times.size()) + (times.size() == 1 ? " time" : " times") +
               " after the begin are too few for " + std::to_string(p) + " parameters";
    }
    if (most - least <= 1e-12 * std::max(std::abs(most), std::abs(least))) {
        return "the values do not change";
    }
    return {};
}

class Fitting {
  public:
    Fitting(std::span<const CurvePoint> points, DigestModel model, const FitOptions& options)
        : options_(options) {
        fit_.model = model;
        fit_.n = points.size();
        fit_.absentBecause = options.validate();
        if (fit_.usable()) {
            fit_.absentBecause = faultOf(points, model);
        }
        if (!fit_.usable()) {
            return;
        }
        problem_.shape = shapeOf(model);
        problem_.time.resize(static_cast<Index>(points.size()));
        problem_.value.resize(static_cast<Index>(points.size()));
        firstTime_ = std::numeric_limits<double>::infinity();
        for (const CurvePoint& point : points) {
            lastTime_ = std::max(lastTime_, point.timeMin);
            size_ = std::max(size_, std::abs(point.value));
            if (point.timeMin > 0.0) {
                firstTime_ = std::min(firstTime_, point.timeMin);
            }
        }
        fit_.lastMin = lastTime_;
        for (std::size_t i = 0; i < points.size(); ++i) {
            problem_.time(static_cast<Index>(i)) = points[i].timeMin / lastTime_;
            problem_.value(static_cast<Index>(i)) = points[i].value / size_;
        }
    }

    DigestionFit result() {
        if (fit_.usable()) {
            search();
        }
        if (!fit_.usable()) {
            fit_.parameters.clear();
        }
        return std::move(fit_);
    }

  private:
    void search() {
        std::vector<DigestionStart> starts;
        if (options_.firstRate && problem_.shape.phases == 1) {
            starts.push_back(solvedAt(problem_, VectorXd::Constant(1, *options_.firstRate * lastTime_)));
        } else {
            starts = startsOf(problem_);
        }
        std::vector<Ended> ends;
        for (const DigestionStart& start : starts) {
            if (std::isfinite(start.rss) && start.x.allFinite()) {
                ends.push_back(searchedFrom(start));
            }
        }
        if (ends.empty()) {
            fit_.absentBecause = problem_.shape.phases == 2
                                     ? "no two rates explain the readings with both parts above 0"
                                     : "no rate to begin from explains the readings";
            return;
        }
        // Of equal ends the one whose start was the best.
        const Ended& best = *std::min_element(ends.begin(), ends.end(), [](const Ended& a, const Ended& b) {
            return a.converged != b.converged ? a.converged : a.rss < (1.0 - 1e-9) * b.rss;
        });
        if (best.converged) {
            take(best.x);
            return;
        }
        // A search that runs off says most by where it runs to.
        fit_.absentBecause = best.x.allFinite() ? faultOfRates(best.x) : std::string{};
        if (fit_.usable()) {
            fit_.absentBecause = "the search did not converge in " + std::to_string(best.steps) + " steps";
        }
    }

    struct Ended {
        VectorXd x;
        double rss = std::numeric_limits<double>::infinity();
        bool converged = false;
        Index steps = 0;
    };

    Ended searchedFrom(const DigestionStart& start) const {
        Ended end;
        end.x = start.x;
        DigestionProblem problem = problem_;
        Eigen::LevenbergMarquardt<DigestionProblem> solver(problem);
        solver.parameters.ftol = 1e-15;
        solver.parameters.xtol = 1e-15;
        solver.parameters.factor = 1.0;
        solver.parameters.maxfev = 400;
        const auto status = solver.minimize(end.x);
        using namespace Eigen::LevenbergMarquardtSpace;
        end.steps = solver.nfev;
        end.converged = status != ImproperInputParameters && status != UserAsked &&
                        status != TooManyFunctionEvaluation && end.x.allFinite();
        orderPhases(end.x);
        if (end.converged) {
            polish(end.x);
            VectorXd residual;
            if (problem_(end.x, residual) == 0) {
                end.rss = residual.squaredNorm();
            }
        }
        return end;
    }

    void orderPhases(VectorXd& x) const {
        if (problem_.shape.phases == 2 && x(2) < x(3)) {
            std::swap(x(0), x(1));
            std::swap(x(2), x(3));
        }
    }

    /// Largest cosine between the residuals and a derivative; 0 at the optimum.
    static double steepness(const VectorXd& residual, const MatrixXd& jacobian) {
        double largest = 0.0;
        for (Index j = 0; j < jacobian.cols(); ++j) {
            const double lengths = jacobian.col(j).norm() * residual.norm();
            largest =
                std::max(largest, lengths > 0.0 ? std::abs(jacobian.col(j).dot(residual)) / lengths : 0.0);
        }
        return largest;
    }

    /// The search ends where the sum of squares no longer falls, which fixes half the digits of the
    /// parameters; Gauss–Newton steps find the rest. A step that leads away from the optimum is not taken.
    void polish(VectorXd& x) const {
        VectorXd residual;
        MatrixXd jacobian(problem_.time.size(), problem_.shape.count());
        if (problem_(x, residual) != 0 || problem_.df(x, jacobian) != 0) {
            return;
        }
        double best = steepness(residual, jacobian);
        for (int step = 0; step < 10 && best > 0.0; ++step) {
            const VectorXd next = x - jacobian.colPivHouseholderQr().solve(residual);
            if (!next.allFinite() || problem_(next, residual) != 0 || problem_.df(next, jacobian) != 0) {
                return;
            }
            const double now = steepness(residual, jacobian);
            if (!(now < best)) {
                return;
            }
            best = now;
            x = next;
        }
    }

    std::string faultOfRates(const VectorXd& x) const {
        const Index first = problem_.shape.linear();
        for (Index phase = 0; phase < problem_.shape.phases; ++phase) {
            const double rate = std::exp(x(first + phase));
            if (rate < slowestRate) {
                return "k is at its lower bound: as far as it was read the curve is a line, its plateau out "
                       "of "
                       "reach";
            }
            if (rate * firstTime_ / lastTime_ > fastestRate) {
                return "k is at its upper bound: what is digested was so before the first reading";
            }
        }
        const Index amplitude = problem_.shape.start ? 1 : 0;
        if (problem_.shape.phases == 1 && !(x(amplitude) > 0.0)) {
            return "the curve does not rise";
        }
        if (problem_.shape.phases == 2) {
            if (!(x(0) > 0.0) || !(x(1) > 0.0)) {
                return "one of the two phases is not above 0";
            }
            if (x(2) - x(3) < std::log(leastRatio)) {
                return "the rates of the two phases are the same within a factor of 1.2";
            }
        }
        return {};
    }

    void take(const VectorXd& x) {
        fit_.absentBecause = faultOfRates(x);
        if (!fit_.usable()) {
            return;
        }
        VectorXd residual;
        MatrixXd jacobian(problem_.time.size(), problem_.shape.count());
        problem_(x, residual);
        problem_.df(x, jacobian);
        const double rss = residual.squaredNorm();
        fit_.exact = rss <= roundingShare * problem_.value.squaredNorm();
        if (!fit_.exact && !(steepness(residual, jacobian) <= orthogonal)) {
            fit_.absentBecause = "the search ended before the optimum";
            return;
        }
        addErrors(x, jacobian, rss);
    }

    void addErrors(const VectorXd& x, const MatrixXd& jacobian, double rss) {
        const VectorXd lengths = jacobian.colwise().norm();
        if (!(lengths.minCoeff() > 0.0)) {
            fit_.absentBecause = "the readings cannot tell the parameters apart";
            return;
        }
        const MatrixXd unit = jacobian * lengths.cwiseInverse().asDiagonal();
        const Eigen::JacobiSVD<MatrixXd> svd(unit, Eigen::ComputeThinU | Eigen::ComputeThinV);
        const VectorXd singular = svd.singularValues();
        if (!(singular(singular.size() - 1) > indistinguishable * singular(0))) {
            fit_.absentBecause = "the readings cannot tell the parameters apart";
            return;
        }
        const auto n = static_cast<double>(fit_.n);
        const auto p = static_cast<double>(x.size());
        fit_.df = n - p;
        fit_.rss = rss * size_ * size_;
        fit_.residualSd = std::sqrt(*fit_.rss / *fit_.df);
        const double k = p + 1.0;
        if (n > k + 1.0 && !fit_.exact) {
            fit_.aicc = n * std::log(*fit_.rss / n) + 2.0 * k + 2.0 * k * (k + 1.0) / (n - k - 1.0);
        }
        const MatrixXd turned = svd.matrixV() * singular.cwiseInverse().asDiagonal();
        const VectorXd spread = turned.rowwise().norm().cwiseQuotient(lengths) * std::sqrt(rss / *fit_.df);
        addParameters(x, spread);
    }

    void addParameters(const VectorXd& x, const VectorXd& spread) {
        const auto quantile = studentTUpperQuantile(options_.alpha / 2.0, *fit_.df);
        if (fit_.exact) {
            fit_.errorsAbsentBecause =
                "the readings lie on the curve: there is no residual to judge errors by";
        }
        const std::vector<std::string> keys = keysOf(fit_.model);
        for (Index j = 0; j < x.size(); ++j) {
            const bool rate = j >= problem_.shape.linear();
            FitParameter parameter;
            parameter.key = keys[static_cast<std::size_t>(j)];
            parameter.estimate = rate ? std::exp(x(j)) / lastTime_ : x(j) * size_;
            if (!fit_.exact) {
                // d k = k · d ln k.
                parameter.se = spread(j) * (rate ? parameter.estimate : size_);
                if (quantile) {
                    parameter.ciLow = parameter.estimate - *quantile * *parameter.se;
                    parameter.ciHigh = parameter.estimate + *quantile * *parameter.se;
                }
            }
            fit_.parameters.push_back(std::move(parameter));
        }
    }

    const FitOptions& options_;
    DigestionProblem problem_;
    DigestionFit fit_;
    double firstTime_ = 0.0;
    double lastTime_ = 0.0;
    double size_ = 0.0;
};

}  // namespace

DigestionFit fitDigestion(std::span<const CurvePoint> points, DigestModel model, const FitOptions& options) {
    return Fitting{points, model, options}.result();
}

}  // namespace aftercurve
