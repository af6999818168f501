#include "core/compare/distributions.h"

#include <algorithm>
#include <boost/math/distributions/binomial.hpp>
#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/complement.hpp>
#include <boost/math/distributions/fisher_f.hpp>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <boost/math/policies/policy.hpp>
#include <boost/math/special_functions/beta.hpp>
#include <cmath>
#include <limits>

namespace aftercurve {

namespace {

namespace policies = boost::math::policies;

// An error yields a NaN or an infinity, which `finite` turns into an absent value. No promotion to long
// double, whose width differs between machines.
using Quiet = policies::policy<
    policies::domain_error<policies::ignore_error>, policies::pole_error<policies::ignore_error>,
    policies::overflow_error<policies::ignore_error>, policies::underflow_error<policies::ignore_error>,
    policies::denorm_error<policies::ignore_error>, policies::rounding_error<policies::ignore_error>,
    policies::evaluation_error<policies::ignore_error>,
    policies::indeterminate_result_error<policies::ignore_error>, policies::promote_double<false>>;
using StudentT = boost::math::students_t_distribution<double, Quiet>;
using FisherF = boost::math::fisher_f_distribution<double, Quiet>;
using ChiSquared = boost::math::chi_squared_distribution<double, Quiet>;
using Binomial = boost::math::binomial_distribution<double, Quiet>;
using Normal = boost::math::normal_distribution<double, Quiet>;

std::optional<double> finite(double x) {
    if (!std::isfinite(x)) {
        return std::nullopt;
    }
    return x;
}

std::optional<double> probability(double p) {
    if (!std::isfinite(p)) {
        return std::nullopt;
    }
    return std::clamp(p, std::numeric_limits<double>::min(), 1.0);
}

bool isDf(double df) {
    return std::isfinite(df) && df > 0.0;
}

constexpr std::uint64_t mostCountedTrials = 50;  // 2^50 is exact in a double

/// Patterns of `trials` signs with at most `successes` of one kind.
double countedPatterns(std::uint64_t successes, std::uint64_t trials) {
    std::uint64_t choose = 1;
    std::uint64_t sum = 1;
    for (std::uint64_t k = 1; k <= successes; ++k) {
        choose = choose * (trials - k + 1) / k;  // below 50·2^50; the division leaves nothing over
        sum += choose;
    }
    return static_cast<double>(sum);
}

bool isTail(double p) {
    return p > 0.0 && p < 1.0;
}

}  // namespace

std::optional<double> studentTTwoSidedP(double t, double df) {
    if (!std::isfinite(t) || !isDf(df)) {
        return std::nullopt;
    }
    return probability(2.0 * cdf(complement(StudentT(df), std::abs(t))));
}

std::optional<double> studentTUpperTail(double t, double df) {
    if (!std::isfinite(t) || !isDf(df)) {
        return std::nullopt;
    }
    return probability(cdf(complement(StudentT(df), t)));
}

std::optional<double> studentTUpperQuantile(double upperTail, double df) {
    if (!isTail(upperTail) || !isDf(df)) {
        return std::nullopt;
    }
    return finite(quantile(complement(StudentT(df), upperTail)));
}

std::optional<double> absTUpperTail(double t, double df) {
    if (df != std::numeric_limits<double>::infinity()) {
        return studentTTwoSidedP(t, df);
    }
    const auto p = normalUpperTail(std::abs(t));
    return p ? probability(2.0 * *p) : std::nullopt;
}

std::optional<double> absTUpperQuantile(double p, double df) {
    return df == std::numeric_limits<double>::infinity() ? normalUpperQuantile(0.5 * p)
                                                         : studentTUpperQuantile(0.5 * p, df);
}

std::optional<double> fUpperTail(double f, double numeratorDf, double denominatorDf) {
    if (!std::isfinite(f) || f < 0.0 || !isDf(numeratorDf) || !isDf(denominatorDf)) {
        return std::nullopt;
    }
    return probability(cdf(complement(FisherF(numeratorDf, denominatorDf), f)));
}

std::optional<double> chiSquareUpperTail(double x, double df) {
    if (!std::isfinite(x) || x < 0.0 || !isDf(df)) {
        return std::nullopt;
    }
    return probability(cdf(complement(ChiSquared(df), x)));
}

std::optional<double> binomialLowerTail(std::uint64_t successes, std::uint64_t trials, double share) {
    if (trials == 0 || successes > trials || !(share >= 0.0 && share <= 1.0)) {
        return std::nullopt;
    }
    if (successes == trials || share == 0.0) {
        return 1.0;
    }
    if (share == 0.5 && trials <= mostCountedTrials) {
        return std::ldexp(countedPatterns(successes, trials), -static_cast<int>(trials));
    }
    return probability(cdf(Binomial(static_cast<double>(trials), share), static_cast<double>(successes)));
}

std::optional<double> normalUpperTail(double z) {
    if (std::isnan(z)) {
        return std::nullopt;
    }
    return probability(cdf(complement(Normal(), z)));
}

std::optional<double> normalUpperQuantile(double upperTail) {
    if (!isTail(upperTail)) {
        return std::nullopt;
    }
    return finite(quantile(complement(Normal(), upperTail)));
}

std::optional<double> betaQuantile(double p, double a, double b) {
    return finite(boost::math::ibeta_inv(a, b, p, Quiet()));
}

}  // namespace aftercurve
