#pragma once

#include <algorithm>
#include <boost/math/policies/policy.hpp>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <optional>

namespace aftercurve {

/// The t in [low, high] whose `tail`, falling in t, is `upperTail`; solved in log t and log p, where it is
/// nearly straight. low and high bracket it but for rounding. Nothing where the tail is absent on the way.
/// Internal to core/compare.
template <typename Tail>
std::optional<double> tailQuantile(const Tail& tail, double upperTail, double low, double high) {
    bool failed = false;
    const auto height = [&](double logT) {
        const std::optional<double> p = tail(std::exp(logT));
        failed = failed || !p;
        return failed ? 0.0 : std::log(*p / upperTail);
    };
    double a = std::log(low) - 1e-9;
    double b = std::log(high) + 1e-9;
    const double atA = height(a);
    const double atB = height(b);
    if (failed || !std::isfinite(a) || !std::isfinite(b) || !(atA >= 0.0) || !(atB <= 0.0)) {
        return std::nullopt;
    }
    if (atA == 0.0 || atB == 0.0) {
        return atA == 0.0 ? low : high;
    }
    using Policy = boost::math::policies::policy<
        boost::math::policies::evaluation_error<boost::math::policies::ignore_error>>;
    boost::uintmax_t iterations = 100;
    const auto bracket = boost::math::tools::toms748_solve(
        height, a, b, atA, atB, [](double x, double y) { return std::abs(x - y) <= 1e-12; }, iterations,
        Policy());
    if (failed) {
        return std::nullopt;
    }
    const double t = std::exp(0.5 * (bracket.first + bracket.second));
    return std::isfinite(t) ? std::optional{t} : std::nullopt;
}

}  // namespace aftercurve
