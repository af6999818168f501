#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>

namespace aftercurve {

/// Why the mean of ratios and the ratio of means differ. With r_i = test_i/reference_i and R the mean of the
/// references, mean(test) = mean(r·reference) = mean(r)·R + cov(r, reference), so that exactly
///   mean(test)/R − mean(r) = cov(r, reference)/R,
/// the covariance with n in its divisor. It is 0 where a subject's ratio does not go with how high the
/// subject answers to the reference; below 0 where those who answer little have the large ratios. Both are
/// given × 100, on the scale of the index. `covarianceTerm` is found from the deviations, `ratioOfMeans` −
/// `meanOfRatios` from the means. n = 1: equal, term 0. References that are not all above 0, a value that is
/// not finite, a result too large for a double, no pair: absent with the reason. Source: the definition of
/// the covariance; Cochran 1977, Sampling Techniques, ch. 6 (from memory).
struct RatioIdentity {
    std::size_t n = 0;
    std::optional<double> meanOfRatios;    ///< 100 × mean of test_i/reference_i
    std::optional<double> ratioOfMeans;    ///< 100 × mean(test)/mean(reference)
    std::optional<double> covarianceTerm;  ///< 100 × cov(ratio, reference)/mean(reference)
    std::string absentBecause;
};

/// Same lengths.
RatioIdentity ratioIdentity(std::span<const double> test, std::span<const double> reference);

}  // namespace aftercurve
