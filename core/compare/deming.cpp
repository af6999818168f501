#include "core/compare/deming.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <vector>

#include "core/compare/descriptive.h"
#include "core/compare/distributions.h"
#include "core/compare/scaled.h"

namespace aftercurve {

namespace {

struct Line {
    double slope = 0.0;
    double intercept = 0.0;
};

/// Sums of products below this share of √(Sxx·Syy) are rounding.
constexpr double smallestDirection = 1e-12;

std::optional<Line> lineThrough(std::span<const double> x, std::span<const double> y, double lambda) {
    const auto centreX = mean(x);
    const auto centreY = mean(y);
    if (!centreX || !centreY) {
        return std::nullopt;
    }
    double sxx = 0.0;
    double syy = 0.0;
    double sxy = 0.0;
    for (std::size_t i = 0; i < x.size(); ++i) {
        const double dx = x[i] - *centreX;
        const double dy = y[i] - *centreY;
        sxx += dx * dx;
        syy += dy * dy;
        sxy += dx * dy;
    }
    if (!(std::abs(sxy) > smallestDirection * std::sqrt(sxx * syy))) {
        return std::nullopt;
    }
    const double u = syy - lambda * sxx;
    const double root = std::hypot(u, 2.0 * std::sqrt(lambda) * sxy);
    // The two forms are equal; each loses no digits on its side.
    const double slope = u >= 0.0 ? (u + root) / (2.0 * sxy) : 2.0 * lambda * sxy / (root - u);
    if (!std::isfinite(slope)) {
        return std::nullopt;
    }
    return Line{slope, *centreY - slope * *centreX};
}

std::vector<double> without(std::span<const double> value, std::size_t left) {
    std::vector<double> rest(value.begin(), value.end());
    rest.erase(rest.begin() + static_cast<std::ptrdiff_t>(left));
    return rest;
}

bool allSame(std::span<const double> value) {
    const auto [low, high] = std::minmax_element(value.begin(), value.end());
    return *high - *low <= 1e-12 * std::max(std::abs(*low), std::abs(*high));
}

void addIntervals(DemingLine& result, std::span<const double> x, std::span<const double> y, double alpha) {
    const std::size_t n = x.size();
    if (n < 4) {
        result.intervalAbsentBecause = "3 pairs: the jackknife needs 4";
        return;
    }
    const auto count = static_cast<double>(n);
    std::vector<double> slopes;
    std::vector<double> intercepts;
    for (std::size_t i = 0; i < n; ++i) {
        const auto line = lineThrough(without(x, i), without(y, i), result.lambda);
        if (!line) {
            result.intervalAbsentBecause = "without one of its points the line has no direction";
            return;
        }
        slopes.push_back(count * *result.slope - (count - 1.0) * line->slope);
        intercepts.push_back(count * *result.intercept - (count - 1.0) * line->intercept);
    }
    const auto t = studentTUpperQuantile(0.5 * alpha, count - 2.0);
    const auto slopeSd = sampleSd(slopes);
    const auto interceptSd = sampleSd(intercepts);
    if (!t || !slopeSd || !interceptSd) {
        result.intervalAbsentBecause = "the jackknife could not be computed";
        return;
    }
    result.slopeSe = *slopeSd / std::sqrt(count);
    result.interceptSe = *interceptSd / std::sqrt(count);
    result.slopeLow = *result.slope - *t * *result.slopeSe;
    result.slopeHigh = *result.slope + *t * *result.slopeSe;
    result.interceptLow = *result.intercept - *t * *result.interceptSe;
    result.interceptHigh = *result.intercept + *t * *result.interceptSe;
}

}  // namespace

DemingLine demingLine(std::span<const double> x, std::span<const double> y, double lambda, double alpha) {
    assert(x.size() == y.size() && lambda > 0.0 && std::isfinite(lambda) && alpha > 0.0 && alpha < 1.0);
    DemingLine result;
    result.n = x.size();
    result.lambda = lambda;
    if (result.n < 3) {
        result.absentBecause = "fewer than 3 pairs";
    } else if (!allFinite(x) || !allFinite(y)) {
        result.absentBecause = "a value is not a finite number";
    } else if (allSame(x)) {
        result.absentBecause = "all values of x are equal";
    } else if (allSame(y)) {
        result.absentBecause = "all values of y are equal";
    } else if (const auto line = lineThrough(x, y, lambda)) {
        result.slope = line->slope;
        result.intercept = line->intercept;
        addIntervals(result, x, y, alpha);
        return result;
    } else {
        result.absentBecause = "x and y do not vary together: the line has no direction";
    }
    result.intervalAbsentBecause = result.absentBecause;
    return result;
}

}  // namespace aftercurve
