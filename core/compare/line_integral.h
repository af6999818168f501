#pragma once

#include <algorithm>
#include <cmath>
#include <optional>

namespace aftercurve {

/// ∫ f over the whole line by the trapezoidal rule, which for smooth f that fall off at both ends converges
/// faster than any power of the step (Trefethen & Weideman 2014, SIAM Review 56:385, from memory). The step
/// is halved until two results agree to 1e-6 of the value; the last one is then better by far, since each
/// halving at least squares the error. `centre` is near the bulk of f, f ≥ 0 and falls on both sides of it
/// once it is small; it is followed `reach` to each side at least. Nothing where 12 halvings do not do.
template <typename Function>
std::optional<double> lineIntegral(const Function& f, double centre, double step, double reach = 0.0) {
    constexpr double agree = 1e-6;
    constexpr double negligible = 1e-18;
    constexpr int mostSteps = 100000;
    double largest = 0.0;
    // Sum over centre + (offset + j·stride), j = 0, 1, ... to one side.
    const auto side = [&](double offset, double stride) {
        double sum = 0.0;
        double before = 0.0;
        for (int j = 0; j < mostSteps; ++j) {
            const double term = f(centre + offset + j * stride);
            sum += term;
            if (std::isnan(term)) {
                break;
            }
            largest = std::max(largest, term);
            if (term <= negligible * largest && term <= before && std::abs(offset + j * stride) >= reach) {
                break;
            }
            before = term;
        }
        return sum;
    };
    double sum = side(0.0, step) + side(-step, -step);
    double coarse = sum * step;
    for (int halving = 0; halving < 12; ++halving) {
        sum += side(0.5 * step, step) + side(-0.5 * step, -step);
        step *= 0.5;
        const double fine = sum * step;
        if (!std::isfinite(fine)) {
            return std::nullopt;
        }
        if (std::abs(fine - coarse) <= agree * fine) {
            return fine;
        }
        coarse = fine;
    }
    return std::nullopt;
}

}  // namespace aftercurve
