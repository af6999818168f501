#include "core/digest/digestion_problem.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

#include "core/digest/first_order.h"

namespace aftercurve {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

namespace {

constexpr std::size_t mostStarts = 6;

/// Columns of the amplitudes for given rates.
MatrixXd basisAt(const DigestionShape& shape, const VectorXd& time, const VectorXd& rates) {
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

}  // namespace

DigestionShape shapeOf(DigestModel model) {
    return {model == DigestModel::onePhaseWithStart, model == DigestModel::twoPhases ? 2 : 1};
}

int DigestionProblem::operator()(const VectorXd& x, VectorXd& residual) const {
    const VectorXd rates = x.tail(shape.phases).array().exp();
    residual = basisAt(shape, time, rates) * x.head(shape.linear()) - value;
    return residual.allFinite() ? 0 : -1;
}

int DigestionProblem::df(const VectorXd& x, MatrixXd& jacobian) const {
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

DigestionStart solvedAt(const DigestionProblem& problem, const VectorXd& rates) {
    const MatrixXd basis = basisAt(problem.shape, problem.time, rates);
    const VectorXd amplitudes = basis.colPivHouseholderQr().solve(problem.value);
    DigestionStart start;
    start.x.resize(problem.shape.count());
    start.x << amplitudes, rates.array().log().matrix();
    start.rss = (basis * amplitudes - problem.value).squaredNorm();
    return start;
}

std::vector<DigestionStart> startsOf(const DigestionProblem& problem) {
    std::vector<DigestionStart> starts;
    const auto take = [](DigestionStart start, std::optional<DigestionStart>& best) {
        if (start.x.allFinite() && std::isfinite(start.rss) && (!best || start.rss < best->rss)) {
            best = std::move(start);
        }
    };
    const auto keep = [&starts](std::optional<DigestionStart> best) {
        if (best) {
            starts.push_back(std::move(*best));
        }
    };
    if (problem.shape.phases == 1) {
        std::optional<DigestionStart> best;
        for (const double rate : rateGrid(61)) {
            take(solvedAt(problem, VectorXd::Constant(1, rate)), best);
        }
        keep(std::move(best));
        return starts;
    }
    const std::vector<double> rates = rateGrid(25);
    for (std::size_t fast = 1; fast < rates.size(); ++fast) {
        std::optional<DigestionStart> best;
        for (std::size_t slow = 0; slow < fast; ++slow) {
            DigestionStart start = solvedAt(problem, Eigen::Vector2d(rates[fast], rates[slow]));
            if (start.x(0) > 0.0 && start.x(1) > 0.0) {
                take(std::move(start), best);
            }
        }
        keep(std::move(best));
    }
    std::sort(starts.begin(), starts.end(),
              [](const DigestionStart& a, const DigestionStart& b) { return a.rss < b.rss; });
    starts.resize(std::min(starts.size(), mostStarts));
    return starts;
}

}  // namespace aftercurve
