#pragma once

#include <Eigen/Core>
#include <functional>
#include <optional>
#include <vector>

namespace aftercurve {

/// A value and its gradient; nothing where the function is not defined there. Internal to core/compare.
struct Height {
    double value = 0.0;
    Eigen::VectorXd gradient;
};

using HeightAt = std::function<std::optional<Height>(const Eigen::VectorXd&)>;

struct Minimum {
    Eigen::VectorXd at;
    Height height;
    Eigen::MatrixXd hessian;  ///< of the active coordinates; after `polished` only
    double decrement = 0.0;  ///< gradientᵀ · Hessian⁻¹ · gradient: twice the fall a Newton step foretells
    bool found = false;      ///< the function is defined at the start
    bool curved = false;     ///< the Hessian is positive definite
};

/// Walks down from `start` in the coordinates `active` (quasi-Newton, BFGS, halving steps). `curvature`: a
/// guess of the second derivatives, by coordinate.
Minimum descended(const HeightAt& height, const Eigen::VectorXd& start,
                  const std::vector<Eigen::Index>& active, const Eigen::VectorXd& curvature);

/// Newton steps from a point near a minimum until the gradient is as good as rounding; the Hessian by central
/// differences of the gradient, step 1e-4 of `size` by coordinate.
Minimum polished(const HeightAt& height, const Minimum& near, const std::vector<Eigen::Index>& active,
                 const std::function<double(Eigen::Index, double)>& stepOf);

}  // namespace aftercurve
