#include "core/compare/shapiro_wilk.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <vector>

#include "core/compare/distributions.h"
#include "core/compare/scaled.h"

namespace aftercurve {

namespace {

constexpr std::size_t fewest = 3;
constexpr std::size_t most = 5000;

template <std::size_t N>
double polynomial(const std::array<double, N>& coefficient, double x) {
    double sum = 0.0;
    for (std::size_t i = N; i > 0; --i) {
        sum = sum * x + coefficient[i - 1];
    }
    return sum;
}

/// The weights of the n/2 largest values, largest first; those of the smallest are their negatives and a
/// middle value has none. Royston 1995: exact for n = 3, else normal scores with polynomials in 1/√n for the
/// outermost one or two.
std::vector<double> weights(std::size_t n) {
    constexpr std::array first = {0.0, 0.221157, -0.147981, -2.07119, 4.434685, -2.706056};
    constexpr std::array second = {0.0, 0.042981, -0.293762, -1.752461, 5.682633, -3.582633};
    if (n == 3) {
        return {1.0 / std::numbers::sqrt2};
    }
    const auto size = static_cast<double>(n);
    std::vector<double> a(n / 2);
    double squares = 0.0;
    for (std::size_t i = 0; i < a.size(); ++i) {
        // The tail is within (0, 1/2): the quantile exists.
        a[i] = *normalUpperQuantile((static_cast<double>(i + 1) - 0.375) / (size + 0.25));
        squares += 2.0 * a[i] * a[i];
    }
    const double norm = std::sqrt(squares);
    const double u = 1.0 / std::sqrt(size);
    const double outer = polynomial(first, u) + a[0] / norm;
    double left = squares - 2.0 * a[0] * a[0];
    double share = 1.0 - 2.0 * outer * outer;
    std::size_t next = 1;
    if (n > 5) {
        const double inner = polynomial(second, u) + a[1] / norm;
        left -= 2.0 * a[1] * a[1];
        share -= 2.0 * inner * inner;
        a[1] = inner;
        next = 2;
    }
    a[0] = outer;
    const double factor = std::sqrt(left / share);
    for (std::size_t i = next; i < a.size(); ++i) {
        a[i] /= factor;
    }
    return a;
}

/// 1 − W, which keeps its digits where W is near 1. Sorted values, not all equal.
double oneMinusW(const std::vector<double>& sorted) {
    const std::size_t n = sorted.size();
    const std::vector<double> a = weights(n);
    // About a middle value first: a large common part must not eat the digits of the spread.
    const double centre = sorted[n / 2];
    const double range = sorted.back() - sorted.front();
    std::vector<double> x;
    x.reserve(n);
    double sum = 0.0;
    for (const double value : sorted) {
        x.push_back((value - centre) / range);
        sum += x.back();
    }
    const double meanX = sum / static_cast<double>(n);
    double ssA = 0.0;
    double ssX = 0.0;
    double product = 0.0;
    for (std::size_t i = 0; i < n; ++i) {
        const std::size_t fromEnd = n - 1 - i;
        const double weight = i < fromEnd ? -a[i] : i > fromEnd ? a[fromEnd] : 0.0;
        const double d = x[i] - meanX;
        ssA += weight * weight;
        ssX += d * d;
        product += weight * d;
    }
    const double root = std::sqrt(ssA * ssX);
    return std::max(0.0, (root - product) * (root + product) / (ssA * ssX));
}

std::optional<double> pValue(double oneMinus, std::size_t n) {
    constexpr std::array gammaOfN = {-2.273, 0.459};
    constexpr std::array meanOfN = {0.544, -0.39978, 0.025054, -6.714e-4};
    constexpr std::array logSdOfN = {1.3822, -0.77857, 0.062767, -0.0020322};
    constexpr std::array meanOfLog = {-1.5861, -0.31082, -0.083751, 0.0038915};
    constexpr std::array logSdOfLog = {-0.4803, -0.082676, 0.0030302};
    if (n == 3) {
        // acos √(1 − W) = asin √W, and keeps its digits where W is near 1.
        const double angle = std::acos(std::sqrt(oneMinus)) - std::numbers::pi / 3.0;
        return std::clamp(6.0 / std::numbers::pi * angle, 0.0, 1.0);
    }
    const auto size = static_cast<double>(n);
    const double y = std::log(oneMinus);
    if (n <= 11) {
        return normalUpperTail((-std::log(polynomial(gammaOfN, size) - y) - polynomial(meanOfN, size)) /
                               std::exp(polynomial(logSdOfN, size)));
    }
    const double logN = std::log(size);
    return normalUpperTail((y - polynomial(meanOfLog, logN)) / std::exp(polynomial(logSdOfLog, logN)));
}

}  // namespace

ShapiroWilk shapiroWilk(std::span<const double> value, double resolution) {
    ShapiroWilk result;
    const std::size_t n = value.size();
    if (n < fewest || n > most) {
        result.absentBecause = n < fewest ? "fewer than 3 values" : "more than 5000 values";
        return result;
    }
    if (!allFinite(value)) {
        result.absentBecause = "a value is not a finite number";
        return result;
    }
    const auto [low, high] = std::minmax_element(value.begin(), value.end());
    if (*high - *low <= resolution) {
        result.absentBecause = "all values are equal";
        return result;
    }
    std::vector<double> sorted = scaledNearOne(value)->value;
    std::sort(sorted.begin(), sorted.end());
    const double oneMinus = oneMinusW(sorted);
    result.w = 1.0 - oneMinus;
    result.p = pValue(oneMinus, n);
    return result;
}

}  // namespace aftercurve
