#include "core/compare/descriptive.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numeric>
#include <vector>

#include "core/compare/scaled.h"

namespace aftercurve {

namespace {

/// Of values near 1. The second sum gives back what the first one lost.
double refinedMean(std::span<const double> value) {
    const auto n = static_cast<double>(value.size());
    const double first = std::accumulate(value.begin(), value.end(), 0.0) / n;
    double rest = 0.0;
    for (const double x : value) {
        rest += x - first;
    }
    return first + rest / n;
}

}  // namespace

std::optional<double> mean(std::span<const double> value) {
    const auto scaled = scaledNearOne(value);
    if (value.empty() || !scaled) {
        return std::nullopt;
    }
    return scaledBack(refinedMean(scaled->value), scaled->exponent);
}

std::optional<double> sampleSd(std::span<const double> value) {
    const auto scaled = scaledNearOne(value);
    if (value.size() < 2 || !scaled) {
        return std::nullopt;
    }
    const auto n = static_cast<double>(value.size());
    const double centre = refinedMean(scaled->value);
    double squares = 0.0;
    double rest = 0.0;
    for (const double x : scaled->value) {
        const double d = x - centre;
        squares += d * d;
        rest += d;
    }
    const double variance = std::max(0.0, (squares - rest * rest / n) / (n - 1.0));
    return scaledBack(std::sqrt(variance), scaled->exponent);
}

std::optional<double> median(std::span<const double> value) {
    if (value.empty() || !allFinite(value)) {
        return std::nullopt;
    }
    std::vector<double> sorted(value.begin(), value.end());
    std::sort(sorted.begin(), sorted.end());
    const std::size_t upper = sorted.size() / 2;
    if (sorted.size() % 2 == 1) {
        return sorted[upper];
    }
    return std::midpoint(sorted[upper - 1], sorted[upper]);
}

std::optional<double> quantile7(std::span<const double> value, double p) {
    if (value.empty() || !allFinite(value) || !(p >= 0.0 && p <= 1.0)) {
        return std::nullopt;
    }
    std::vector<double> sorted(value.begin(), value.end());
    std::sort(sorted.begin(), sorted.end());
    const double position = static_cast<double>(sorted.size() - 1) * p;
    const auto lower = static_cast<std::size_t>(position);
    const std::size_t upper = std::min(lower + 1, sorted.size() - 1);
    return std::lerp(sorted[lower], sorted[upper], position - static_cast<double>(lower));
}

}  // namespace aftercurve
