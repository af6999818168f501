#include "core/compare/effect_size.h"

#include <boost/math/special_functions/gamma.hpp>
#include <cmath>
#include <cstddef>

#include "core/compare/descriptive.h"
#include "core/compare/scaled.h"

namespace aftercurve {

namespace {

/// J(m), m ≥ 2, through the ratio Γ(x)/Γ(x + 1/2): a difference of two logarithms would lose a digit for each
/// power of ten of m.
double smallSampleCorrection(double m) {
    namespace policies = boost::math::policies;
    using Quiet = policies::policy<
        policies::domain_error<policies::ignore_error>, policies::pole_error<policies::ignore_error>,
        policies::overflow_error<policies::ignore_error>, policies::underflow_error<policies::ignore_error>,
        policies::evaluation_error<policies::ignore_error>, policies::rounding_error<policies::ignore_error>,
        policies::promote_double<false>>;
    return 1.0 / (boost::math::tgamma_delta_ratio((m - 1.0) / 2.0, 0.5, Quiet()) * std::sqrt(m / 2.0));
}

}  // namespace

EffectSize effectSize(const Differences& differences) {
    EffectSize result;
    const std::size_t n = differences.value.size();
    if (n < 2) {
        result.absentBecause = "fewer than two pairs: the spread cannot be estimated";
        return result;
    }
    const auto scaled = scaledNearOne(differences.value);
    if (!scaled) {
        result.absentBecause = "a difference is not a finite number";
        return result;
    }
    const double sd = *sampleSd(scaled->value);
    if (allEqual(differences) || sd == 0.0) {
        result.absentBecause = "all differences are equal: there is no spread to compare the mean with";
        return result;
    }
    const double dz = *mean(scaled->value) / sd;
    result.dz = dz;
    if (n == 2) {
        result.absentBecause = "two pairs: the small-sample correction is not defined, no gz";
        return result;
    }
    result.gz = dz * smallSampleCorrection(static_cast<double>(n - 1));
    return result;
}

}  // namespace aftercurve
