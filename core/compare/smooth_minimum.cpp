#include "core/compare/smooth_minimum.h"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>

namespace aftercurve {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr int mostSteps = 400;
constexpr int mostHalvings = 30;
constexpr double longestStep = 1.5;
constexpr double enough = 1e-10;

Index at(std::size_t i) {
    return static_cast<Index>(i);
}

VectorXd part(const VectorXd& whole, const std::vector<Index>& active) {
    VectorXd result(at(active.size()));
    for (std::size_t i = 0; i < active.size(); ++i) {
        result[at(i)] = whole[active[i]];
    }
    return result;
}

VectorXd moved(const VectorXd& from, const std::vector<Index>& active, const VectorXd& by) {
    VectorXd result = from;
    for (std::size_t i = 0; i < active.size(); ++i) {
        result[active[i]] += by[at(i)];
    }
    return result;
}

/// Shorter and shorter steps along `direction`; nothing where none leads down enough.
std::optional<double> stepDown(const HeightAt& height, Minimum& m, const std::vector<Index>& active,
                               const VectorXd& direction, double slope) {
    double step = std::min(1.0, longestStep / direction.cwiseAbs().maxCoeff());
    for (int i = 0; i < mostHalvings; ++i) {
        VectorXd x = moved(m.at, active, step * direction);
        auto h = height(x);
        if (h && h->value <= m.height.value + 1e-4 * step * slope) {
            m.at = std::move(x);
            m.height = std::move(*h);
            return step;
        }
        double shorter = 0.5 * step;
        if (h) {
            const double bend = h->value - m.height.value - step * slope;
            shorter = std::clamp(-0.5 * slope * step * step / bend, 0.1 * step, 0.5 * step);
        }
        step = shorter;
    }
    return std::nullopt;
}

/// BFGS update of an inverse Hessian.
void learn(MatrixXd& inverse, const VectorXd& s, const VectorXd& y) {
    const double sy = s.dot(y);
    if (!(sy > 1e-12 * s.norm() * y.norm())) {
        return;
    }
    const VectorXd hy = inverse * y;
    inverse +=
        (1.0 + y.dot(hy) / sy) / sy * s * s.transpose() - (hy * s.transpose() + s * hy.transpose()) / sy;
}

std::optional<MatrixXd> hessianAt(const HeightAt& height, const VectorXd& x, const std::vector<Index>& active,
                                  const std::function<double(Index, double)>& stepOf) {
    MatrixXd hessian(at(active.size()), at(active.size()));
    for (std::size_t i = 0; i < active.size(); ++i) {
        const double step = stepOf(active[i], x[active[i]]);
        VectorXd up = x;
        VectorXd down = x;
        up[active[i]] += step;
        down[active[i]] -= step;
        const auto above = height(up);
        const auto below = height(down);
        if (!above || !below) {
            return std::nullopt;
        }
        hessian.col(at(i)) =
            part(above->gradient - below->gradient, active) / (up[active[i]] - down[active[i]]);
    }
    return MatrixXd(0.5 * (hessian + hessian.transpose()));
}

}  // namespace

Minimum descended(const HeightAt& height, const VectorXd& start, const std::vector<Index>& active,
                  const VectorXd& curvature) {
    Minimum m;
    m.at = start;
    auto first = height(start);
    if (!first) {
        return m;
    }
    m.found = true;
    m.height = std::move(*first);
    const MatrixXd guess = part(curvature, active).cwiseInverse().asDiagonal();
    MatrixXd inverse = guess;
    for (int i = 0; i < mostSteps; ++i) {
        const VectorXd g = part(m.height.gradient, active);
        VectorXd direction = -inverse * g;
        if (!(direction.dot(g) < 0.0)) {
            inverse = guess;
            direction = -inverse * g;
        }
        const double slope = direction.dot(g);
        if (!(-slope > enough)) {
            break;
        }
        const auto step = stepDown(height, m, active, direction, slope);
        if (!step) {
            break;
        }
        learn(inverse, *step * direction, part(m.height.gradient, active) - g);
    }
    return m;
}

Minimum polished(const HeightAt& height, const Minimum& near, const std::vector<Index>& active,
                 const std::function<double(Index, double)>& stepOf) {
    Minimum m = near;
    for (int round = 0; round < 8; ++round) {
        const auto hessian = hessianAt(height, m.at, active, stepOf);
        const Eigen::LLT<MatrixXd> cholesky(hessian ? *hessian : MatrixXd::Constant(1, 1, -1.0));
        m.curved = cholesky.info() == Eigen::Success && cholesky.rcond() > 1e-14;
        if (!m.curved) {
            return m;
        }
        m.hessian = *hessian;
        const auto decrementOf = [&](const Height& h) {
            const VectorXd g = part(h.gradient, active);
            return g.dot(cholesky.solve(g));
        };
        m.decrement = decrementOf(m.height);
        const double before = m.decrement;
        for (int i = 0; i < 8 && m.decrement > 1e-26; ++i) {
            const VectorXd x = moved(m.at, active, -cholesky.solve(part(m.height.gradient, active)));
            const auto h = height(x);
            if (!h || !(decrementOf(*h) < 0.5 * m.decrement)) {
                break;
            }
            m.at = x;
            m.height = *h;
            m.decrement = decrementOf(*h);
        }
        // So short a way that the Hessian is that of the minimum.
        if (before < 1e-9 || m.decrement == before) {
            return m;
        }
    }
    return m;
}

}  // namespace aftercurve
