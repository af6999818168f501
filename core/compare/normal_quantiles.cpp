#include "core/compare/normal_quantiles.h"

#include <algorithm>
#include <cmath>

#include "core/compare/descriptive.h"
#include "core/compare/distributions.h"
#include "core/compare/scaled.h"

namespace aftercurve {

namespace {

void addLine(NormalQuantiles& result, const Scaled& scaled) {
    std::optional<double> intercept;
    std::optional<double> slope;
    if (result.line == QuantileLine::meanAndSd) {
        intercept = mean(scaled.value);
        slope = sampleSd(scaled.value);
    } else {
        const auto low = quantile7(scaled.value, 0.25);
        const auto high = quantile7(scaled.value, 0.75);
        const auto z = normalUpperQuantile(0.25);
        if (low && high && z) {
            intercept = (*low + *high) / 2.0;
            slope = (*high - *low) / (2.0 * *z);
        }
    }
    if (intercept && slope) {
        result.intercept = scaledBack(*intercept, scaled.exponent);
        result.slope = scaledBack(*slope, scaled.exponent);
    }
    if (!result.intercept || !result.slope) {
        result.intercept.reset();
        result.slope.reset();
        result.absentBecause = "the line is too steep for the number format";
    }
}

}  // namespace

NormalQuantiles normalQuantiles(std::span<const double> value, QuantileLine line) {
    NormalQuantiles result;
    result.line = line;
    if (value.empty()) {
        result.absentBecause = "there is no value";
        return result;
    }
    const auto scaled = scaledNearOne(value);
    if (!scaled) {
        result.absentBecause = "a value is not a finite number";
        return result;
    }
    const auto n = static_cast<double>(value.size());
    for (std::size_t i = 0; i < value.size(); ++i) {
        result.points.push_back({0.0, value[i], i});
    }
    std::stable_sort(result.points.begin(), result.points.end(),
                     [](const QuantilePoint& a, const QuantilePoint& b) { return a.value < b.value; });
    // Both ends together, so that z is exactly antisymmetric.
    for (std::size_t i = 0; i < value.size() / 2; ++i) {
        const auto z = normalUpperQuantile((static_cast<double>(i) + 0.625) / (n + 0.25));
        result.points[i].normal = -z.value_or(0.0);
        result.points[value.size() - 1 - i].normal = z.value_or(0.0);
    }
    if (value.size() == 1) {
        result.absentBecause = "one value: no line";
        return result;
    }
    addLine(result, *scaled);
    return result;
}

}  // namespace aftercurve
