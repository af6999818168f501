#include "core/planning/noncentral.h"

#include <algorithm>
#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/complement.hpp>
#include <boost/math/distributions/fisher_f.hpp>
#include <boost/math/distributions/non_central_f.hpp>
#include <boost/math/distributions/non_central_t.hpp>
#include <boost/math/policies/policy.hpp>
#include <boost/math/quadrature/gauss.hpp>
#include <boost/math/special_functions/beta.hpp>
#include <cmath>
#include <numbers>

namespace aftercurve {

namespace {

namespace policies = boost::math::policies;

// An error yields a NaN or an infinity, which `probability` turns into an absent value.
using Quiet = policies::policy<
    policies::domain_error<policies::ignore_error>, policies::pole_error<policies::ignore_error>,
    policies::overflow_error<policies::ignore_error>, policies::underflow_error<policies::ignore_error>,
    policies::denorm_error<policies::ignore_error>, policies::rounding_error<policies::ignore_error>,
    policies::evaluation_error<policies::ignore_error>,
    policies::indeterminate_result_error<policies::ignore_error>, policies::promote_double<false>>;

constexpr double seriesEnds = 1e8;  ///< noncentrality beyond which the series takes too many terms

std::optional<double> probability(double p) {
    if (!std::isfinite(p)) {
        return std::nullopt;
    }
    return std::clamp(p, 0.0, 1.0);
}

bool isDf(double df) {
    return std::isfinite(df) && df > 0.0;
}

bool isTail(double p) {
    return p > 0.0 && p < 1.0;
}

/// P(C ≤ x) − where x overflows, 1.
double chiSquareBelow(double x, double df) {
    if (x == 0.0) {
        return 0.0;
    }
    return std::isinf(x) ? 1.0 : cdf(boost::math::chi_squared_distribution<double, Quiet>(df), x);
}

}  // namespace

std::optional<double> noncentralTUpperTail(double t, double df, double delta) {
    if (!std::isfinite(t) || t < 0.0 || !isDf(df) || std::isnan(delta)) {
        return std::nullopt;
    }
    if (std::abs(delta) >= std::sqrt(seriesEnds)) {
        if (delta < 0.0) {
            return 0.0;
        }
        const double ratio = t > 0.0 ? delta / t : delta;
        return t > 0.0 ? probability(chiSquareBelow(df * ratio * ratio, df)) : 1.0;
    }
    return probability(cdf(complement(boost::math::non_central_t_distribution<double, Quiet>(df, delta), t)));
}

std::optional<double> noncentralFUpperTail(double f, double df1, double df2, double lambda) {
    if (!std::isfinite(f) || f < 0.0 || !isDf(df1) || !isDf(df2) || std::isnan(lambda) || lambda < 0.0) {
        return std::nullopt;
    }
    if (lambda >= seriesEnds) {
        return f > 0.0 ? probability(chiSquareBelow(df2 * ((lambda + df1) / df1) / f, df2)) : 1.0;
    }
    if (lambda == 0.0) {
        return probability(cdf(complement(boost::math::fisher_f_distribution<double, Quiet>(df1, df2), f)));
    }
    return probability(
        cdf(complement(boost::math::non_central_f_distribution<double, Quiet>(df1, df2, lambda), f)));
}

std::optional<double> fUpperQuantile(double upperTail, double df1, double df2) {
    if (!isTail(upperTail) || !isDf(df1) || !isDf(df2)) {
        return std::nullopt;
    }
    // By the incomplete beta function: x = df1·F / (df1·F + df2), y = 1 − x without cancellation.
    double y = 0.0;
    const double x = boost::math::ibetac_inv(0.5 * df1, 0.5 * df2, upperTail, &y, Quiet());
    const double f = df2 * x / (df1 * y);
    return std::isfinite(f) ? std::optional{f} : std::nullopt;
}

std::optional<double> chiSquareLowerTail(double x, double df) {
    if (std::isnan(x) || x < 0.0 || !isDf(df)) {
        return std::nullopt;
    }
    return probability(chiSquareBelow(x, df));
}

std::optional<double> chiSquareQuantile(double lowerTail, double df) {
    if (!isTail(lowerTail) || !isDf(df)) {
        return std::nullopt;
    }
    const double x = quantile(boost::math::chi_squared_distribution<double, Quiet>(df), lowerTail);
    return std::isfinite(x) ? std::optional{x} : std::nullopt;
}

double normalLowerTail(double x) {
    return 0.5 * std::erfc(-x / std::numbers::sqrt2);
}

double meanOverSampleSd(double df, double end, const std::vector<double>& cuts,
                        const std::function<double(double)>& g) {
    constexpr int panelsBetween = 3;
    const double mode = std::sqrt((df - 1.0) / df);
    const double spread = 1.0 / std::sqrt(2.0 * df);
    const double low = std::max(0.0, mode - 14.0 * spread);
    const double high = std::min(end, mode + 14.0 * spread);
    if (!(high > low)) {
        return 0.0;
    }
    std::vector<double> edges{low, high};
    const auto cut = [&](double at) {
        if (at > low && at < high) {
            edges.push_back(at);
        }
    };
    for (const double at : cuts) {
        cut(at);
    }
    for (const double away : {-8.0, -5.0, -3.0, -1.5, 0.0, 1.5, 3.0, 5.0, 8.0}) {
        cut(mode + away * spread);
    }
    std::sort(edges.begin(), edges.end());
    const double constant = std::log(2.0) + 0.5 * df * std::log(0.5 * df) - std::lgamma(0.5 * df);
    const auto weighted = [&](double s) {
        const double power = df == 1.0 ? 0.0 : (df - 1.0) * std::log(s);
        return std::exp(constant + power - 0.5 * df * s * s) * g(s);
    };
    double sum = 0.0;
    for (std::size_t i = 0; i + 1 < edges.size(); ++i) {
        const double step = (edges[i + 1] - edges[i]) / panelsBetween;
        for (int j = 0; j < panelsBetween && step > 0.0; ++j) {
            const double from = edges[i] + j * step;
            sum += boost::math::quadrature::gauss<double, 20>::integrate(weighted, from, from + step);
        }
    }
    return sum;
}

}  // namespace aftercurve
