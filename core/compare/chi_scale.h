#pragma once

#include <algorithm>
#include <boost/math/policies/policy.hpp>
#include <boost/math/special_functions/gamma.hpp>
#include <cmath>
#include <optional>

#include "core/compare/line_integral.h"

namespace aftercurve {

/// From here on the normal limit is taken: the two differ by less than rounding for every p down to 1e-10.
constexpr double infiniteDf = 1e13;

/// E g(t·s), s = √(χ²/df): the tail at t of a statistic that is divided by an independent estimate of its
/// standard deviation with df degrees of freedom; g(w) is its tail where that standard deviation is known,
/// falling from 1 at 0 as exp(−decay·w²) far out. t > 0; df > 0, may be infinite or not whole. Integrated
/// over y with log s = y − exp(−y), so that both ends fall off faster than exponentially also for small df.
/// Nothing where the integral does not converge. Internal to core/compare.
template <typename Tail>
std::optional<double> overChiScale(Tail& g, double t, double df, double decay) {
    if (df >= infiniteDf) {
        return g(t);
    }
    namespace policies = boost::math::policies;
    using Quiet =
        policies::policy<policies::domain_error<policies::ignore_error>,
                         policies::overflow_error<policies::ignore_error>,
                         policies::underflow_error<policies::ignore_error>,
                         policies::evaluation_error<policies::ignore_error>, policies::promote_double<false>>;
    const double a = 0.5 * df;
    // Density of x = log s: 2aᵃe⁻ᵃ/Γ(a) · exp(df·(x − (e²ˣ − 1)/2)).
    const double height = 2.0 * a * boost::math::gamma_p_derivative(a, a, Quiet());
    const auto integrand = [&](double y) {
        const double tail = std::exp(-y);
        const double x = y - tail;
        const double density = height * std::exp(df * (x - 0.5 * std::expm1(2.0 * x)));
        return density == 0.0 ? 0.0 : density * g(t * std::exp(x)) * (1.0 + tail);
    };
    // The peak of density · exp(−decay·w²), and its y by Newton's rule.
    const double ratio = 2.0 * decay * t / df * t;
    const double peak = -0.5 * (std::isinf(ratio) ? std::log(2.0 * decay) - std::log(df) + 2.0 * std::log(t)
                                                  : std::log1p(ratio));
    double y = peak > -1.0 ? 0.5 : -std::log(-peak);
    for (int i = 0; i < 30; ++i) {
        y -= (y - std::exp(-y) - peak) / (1.0 + std::exp(-y));
    }
    const double stretch = 1.0 + std::exp(-y);
    const double step = std::min(1.1 / (std::sqrt(2.0 * df) * stretch), 0.3);
    return lineIntegral(integrand, y, step);
}

}  // namespace aftercurve
