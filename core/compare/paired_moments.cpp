#include "core/compare/paired_moments.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <vector>

#include "core/compare/descriptive.h"
#include "core/compare/scaled.h"

namespace aftercurve {

namespace {

constexpr double relativeResolution = 1e-11;

struct Centred {
    std::vector<double> value;
    double mean = 0.0;
    double largest = 0.0;  ///< |value| before centring
};

Centred centred(std::span<const double> value) {
    Centred result;
    result.mean = *mean(value);
    for (const double x : value) {
        result.value.push_back(x - result.mean);
        result.largest = std::max(result.largest, std::abs(x));
    }
    return result;
}

}  // namespace

PairedMomentsResult pairedMoments(std::span<const double> food, std::span<const double> comparator) {
    assert(food.size() == comparator.size());
    PairedMomentsResult result;
    const std::size_t n = std::min(food.size(), comparator.size());
    if (n == 0) {
        result.absentBecause = "there is no pair";
        return result;
    }
    const auto scaledFood = scaledNearOne(food.first(n));
    const auto scaledComparator = scaledNearOne(comparator.first(n));
    if (!scaledFood || !scaledComparator) {
        result.absentBecause = "a value is not a finite number";
        return result;
    }
    const Centred f = centred(scaledFood->value);
    const Centred c = centred(scaledComparator->value);
    if (std::abs(c.mean) <= relativeResolution * c.largest) {
        result.absentBecause = "the mean of the comparator is 0: there is no ratio";
        return result;
    }
    PairedMoments m;
    m.n = n;
    m.food = f.mean;
    m.comparator = c.mean;
    m.exponent = scaledFood->exponent - scaledComparator->exponent;
    double squaresFood = 0.0;
    double squaresComparator = 0.0;
    double products = 0.0;
    double squaresOfContrast = 0.0;
    const double flat = relativeResolution * (std::abs(c.mean) * f.largest + std::abs(f.mean) * c.largest);
    result.proportional = true;
    for (std::size_t i = 0; i < n; ++i) {
        squaresFood += f.value[i] * f.value[i];
        squaresComparator += c.value[i] * c.value[i];
        products += f.value[i] * c.value[i];
        const double contrast = c.mean * f.value[i] - f.mean * c.value[i];
        squaresOfContrast += contrast * contrast;
        result.proportional = result.proportional && std::abs(contrast) <= flat;
    }
    const double slope = squaresComparator > 0.0 ? products / squaresComparator : 0.0;
    double squaresGiven = 0.0;
    for (std::size_t i = 0; i < n; ++i) {
        const double rest = f.value[i] - slope * c.value[i];
        squaresGiven += rest * rest;
    }
    const auto size = static_cast<double>(n);
    const double divisor = n > 1 ? size * (size - 1.0) : 1.0;
    m.varianceFood = squaresFood / divisor;
    m.varianceComparator = squaresComparator / divisor;
    m.covariance = products / divisor;
    m.varianceOfContrast = squaresOfContrast / divisor;
    m.varianceGivenComparator = squaresGiven / divisor;
    result.moments = m;
    return result;
}

double varianceAt(const PairedMoments& m, double theta) {
    // About the estimate r: f − θc = (f − rc) − (θ − r)c, so that nothing cancels near r.
    const double away = theta - m.food / m.comparator;
    const double covarianceOfContrast =
        (m.comparator * m.covariance - m.food * m.varianceComparator) / m.comparator;
    return m.varianceOfContrast / (m.comparator * m.comparator) - 2.0 * away * covarianceOfContrast +
           away * away * m.varianceComparator;
}

}  // namespace aftercurve
