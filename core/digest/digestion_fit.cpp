#include "core/digest/digestion_fit.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <limits>
#include <set>
#include <unsupported/Eigen/NonLinearOptimization>

#include "core/compare/distributions.h"
#include "core/digest/first_order.h"

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

/// Parameters as they are fitted: linear amplitudes, then ln k; times and values near 1.
struct Shape {
    bool start = false;
    Index phases = 1;

    Index linear() const { return phases + (start ? 1 : 0); }
    Index count() const { return linear() + phases; }
};

Shape shapeOf(DigestModel model) {
    return {model == DigestModel::onePhaseWithStart, model == DigestModel::twoPhases ? 2 : 1};
}

/// Columns of the amplitudes for given rates.
MatrixXd basisAt(const Shape& shape, const VectorXd& time, const VectorXd& rates) {
    MatrixXd basis(time.size(), shape.linear());
    Index column = 0;
    if (shape.start) {
        basis.col(column++).setOnes();
    }
    for (Index phase = 0; phase < shape.phases; ++phase, ++column) {
        for (Index i = 0; i < time.size(); ++i) {
            basis(i, column) = risen(rates(phase), time(i));
        }
    }
    return basis;
}

/// What Eigen's Levenberg–Marquardt asks of a problem.
struct Residuals {
    Shape shape;
    VectorXd time;
    VectorXd value;

    int inputs() const { return static_cast<int>(shape.count()); }
    int values() const { return static_cast<int>(time.size()); }

    int operator()(const VectorXd& x, VectorXd& residual) const {
        const VectorXd rates = x.tail(shape.phases).array().exp();
        residual = basisAt(shape, time, rates) * x.head(shape.linear()) - value;
        return residual.allFinite() ? 0 : -1;
    }

    int df(const VectorXd& x, MatrixXd& jacobian) const {
        const VectorXd rates = x.tail(shape.phases).array().exp();
        jacobian.leftCols(shape.linear()) = basisAt(shape, time, rates);
        const Index first = shape.start ? 1 : 0;
        for (Index phase = 0; phase < shape.phases; ++phase) {
            for (Index i = 0; i < time.size(); ++i) {
                const double kt = rates(phase) * time(i);
                jacobian(i, shape.linear() + phase) =
                    std::isfinite(kt) ? x(first + phase) * kt * std::exp(-kt) : 0.0;
            }
        }
        return jacobian.allFinite() ? 0 : -1;
    }
};

struct Start {
    VectorXd x;
    double rss = 0.0;
};

/// The amplitudes that fit best with given rates.
Start solvedAt(const Residuals& problem, const VectorXd& rates) {
    const MatrixXd basis = basisAt(problem.shape, problem.time, rates);
    const VectorXd amplitudes = basis.colPivHouseholderQr().solve(problem.value);
    Start start;
    start.x.resize(problem.shape.count());
    start.x << amplitudes, rates.array().log().matrix();
    start.rss = (basis * amplitudes - problem.value).squaredNorm();
    return start;
}

std::vector<double> rateGrid(std::size_t count) {
    std::vector<double> rates;
    const double low = std::log(0.03);
    const double high = std::log(300.0);
    for (std::size_t i = 0; i < count; ++i) {
        rates.push_back(
            std::exp(low + (high - low) * static_cast<double>(i) / static_cast<double>(count - 1)));
    }
    return rates;
}

Start bestStart(const Residuals& problem) {
    Start best;
    best.rss = std::numeric_limits<double>::infinity();
    const auto take = [&](Start start) {
        if (start.x.allFinite() && start.rss < best.rss) {
            best = std::move(start);
        }
    };
    if (problem.shape.phases == 1) {
        for (const double rate : rateGrid(61)) {
            take(solvedAt(problem, VectorXd::Constant(1, rate)));
        }
        return best;
    }
    const std::vector<double> rates = rateGrid(25);
    for (std::size_t slow = 0; slow < rates.size(); ++slow) {
        for (std::size_t fast = slow + 1; fast < rates.size(); ++fast) {
            Start start = solvedAt(problem, Eigen::Vector2d(rates[fast], rates[slow]));
            if (start.x(0) > 0.0 && start.x(1) > 0.0) {
                take(std::move(start));
            }
        }
    }
    return best;
}

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
        Start start = options_.firstRate && problem_.shape.phases == 1
                          ? solvedAt(problem_, VectorXd::Constant(1, *options_.firstRate * lastTime_))
                          : bestStart(problem_);
        if (!std::isfinite(start.rss) || start.x.size() == 0 || !start.x.allFinite()) {
            fit_.absentBecause = problem_.shape.phases == 2
                                     ? "no two rates explain the readings with both parts above 0"
                                     : "no rate to begin from explains the readings";
            return;
        }
        VectorXd x = start.x;
        Eigen::LevenbergMarquardt<Residuals> solver(problem_);
        solver.parameters.ftol = 1e-15;
        solver.parameters.xtol = 1e-15;
        solver.parameters.factor = 1.0;
        solver.parameters.maxfev = 400;
        const auto status = solver.minimize(x);
        using namespace Eigen::LevenbergMarquardtSpace;
        const bool ended = status != ImproperInputParameters && status != UserAsked &&
                           status != TooManyFunctionEvaluation && x.allFinite();
        orderPhases(x);
        if (ended) {
            polish(x);
            take(x);
        } else {
            // A search that runs off says most by where it runs to.
            fit_.absentBecause = x.allFinite() ? faultOfRates(x) : std::string{};
            if (fit_.usable()) {
                fit_.absentBecause =
                    "the search did not converge in " + std::to_string(solver.nfev) + " steps";
            }
        }
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
    Residuals problem_;
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
