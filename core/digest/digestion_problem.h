#pragma once

#include <Eigen/Dense>
#include <cstddef>
#include <vector>

#include "core/digest/digestion_fit.h"

namespace aftercurve {

// Internal to fitDigestion: the least squares problem as Eigen's Levenberg–Marquardt takes it.

/// Parameters as they are fitted: linear amplitudes, then ln k; times and values near 1.
struct DigestionShape {
    bool start = false;
    Eigen::Index phases = 1;

    Eigen::Index linear() const { return phases + (start ? 1 : 0); }
    Eigen::Index count() const { return linear() + phases; }
};

DigestionShape shapeOf(DigestModel model);

/// Residuals and their derivatives. −1: not finite.
struct DigestionProblem {
    DigestionShape shape;
    Eigen::VectorXd time;
    Eigen::VectorXd value;

    int inputs() const { return static_cast<int>(shape.count()); }
    int values() const { return static_cast<int>(time.size()); }

    int operator()(const Eigen::VectorXd& x, Eigen::VectorXd& residual) const;
    int df(const Eigen::VectorXd& x, Eigen::MatrixXd& jacobian) const;
};

/// Where a search begins.
struct DigestionStart {
    Eigen::VectorXd x;
    double rss = 0.0;
};

/// The amplitudes that fit best with given rates.
DigestionStart solvedAt(const DigestionProblem& problem, const Eigen::VectorXd& rates);

/// One for a single phase. For two phases the best for each of several fast rates, since the sum of squares
/// often has another low place where the fast phase is over before the first reading. Best first; empty where
/// nothing explains the values with both phases above 0.
std::vector<DigestionStart> startsOf(const DigestionProblem& problem);

}  // namespace aftercurve
