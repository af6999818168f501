#include "core/index/ratio_identity.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <vector>

#include "core/compare/descriptive.h"
#include "core/compare/scaled.h"

namespace aftercurve {

RatioIdentity ratioIdentity(std::span<const double> test, std::span<const double> reference) {
    assert(test.size() == reference.size());
    RatioIdentity result;
    result.n = test.size();
    if (test.empty()) {
        result.absentBecause = "no subject has both";
        return result;
    }
    // Each side near 1 by a power of two, so that nothing overflows on the way.
    const auto above = scaledNearOne(test);
    const auto below = scaledNearOne(reference);
    if (!above || !below) {
        result.absentBecause = "a value is not a finite number";
        return result;
    }
    if (!std::all_of(below->value.begin(), below->value.end(), [](double x) { return x > 0.0; })) {
        result.absentBecause = "a mean of the reference food is not positive, or vanishes beside the others";
        return result;
    }
    std::vector<double> ratio;
    for (std::size_t i = 0; i < test.size(); ++i) {
        ratio.push_back(above->value[i] / below->value[i]);
    }
    const auto meanRatio = mean(ratio);
    const auto meanTest = mean(above->value);
    const auto meanReference = mean(below->value);
    const int exponent = above->exponent - below->exponent;
    if (meanRatio && meanTest && meanReference && *meanReference > 0.0) {
        std::vector<double> product;
        for (std::size_t i = 0; i < ratio.size(); ++i) {
            product.push_back((ratio[i] - *meanRatio) * (below->value[i] - *meanReference));
        }
        if (const auto covariance = mean(product)) {
            result.meanOfRatios = scaledBack(100.0 * *meanRatio, exponent);
            result.ratioOfMeans = scaledBack(100.0 * (*meanTest / *meanReference), exponent);
            result.covarianceTerm = scaledBack(100.0 * (*covariance / *meanReference), exponent);
        }
    }
    if (!result.meanOfRatios || !result.ratioOfMeans || !result.covarianceTerm) {
        result = {};
        result.n = test.size();
        result.absentBecause = "a ratio is too large for a double";
    }
    return result;
}

}  // namespace aftercurve
