#include "core/fibre/label_amount.h"

#include <algorithm>
#include <cmath>

#include "core/base/number_text.h"

namespace aftercurve {

namespace {

constexpr double guard = 1e-9;
constexpr int mostDecimals = 9;

const FibreRoundingStep* stepFor(double grams, std::span<const FibreRoundingStep> steps) {
    const FibreRoundingStep* found = nullptr;
    for (const FibreRoundingStep& step : steps) {
        const double reach = guard * (1.0 + step.fromG);
        if (step.above ? grams > step.fromG + reach : grams >= step.fromG - reach) {
            found = &step;
        }
    }
    return found;
}

double halfUp(double value, double step) {
    return std::floor(value / step + 0.5 + guard) * step;
}

/// Decimals that a multiple of `step` needs: 1 for 0.1, 0 for 1, 2 for 0.25.
int decimalsOf(double step) {
    int decimals = 0;
    for (double scaled = step;
         decimals < mostDecimals && std::abs(scaled - std::round(scaled)) > guard * step; scaled *= 10.0) {
        ++decimals;
    }
    return decimals;
}

struct Written {
    double value = 0.0;
    int decimals = 0;
};

Written written(double grams, const FibreRoundingStep& step) {
    if (step.nearestG > 0.0) {
        return {halfUp(grams, step.nearestG), decimalsOf(step.nearestG)};
    }
    if (!(grams > 0.0)) {
        return {};
    }
    const auto decimalsFor = [&step](double value) {
        return step.figures - 1 - static_cast<int>(std::floor(std::log10(value) + guard));
    };
    const double rounded = halfUp(grams, std::pow(10.0, -decimalsFor(grams)));
    return {rounded, std::clamp(decimalsFor(rounded), 0, mostDecimals)};
}

}  // namespace

std::string labelAmount(double grams, std::span<const FibreRoundingStep> steps) {
    if (!std::isfinite(grams) || grams < 0.0) {
        return {};
    }
    const FibreRoundingStep* step = stepFor(grams, steps);
    if (step == nullptr) {
        return {};
    }
    if (!step->words.empty()) {
        return step->words;
    }
    Written amount = written(grams, *step);
    const FibreRoundingStep* reached = stepFor(amount.value, steps);
    if (reached != nullptr && reached > step && reached->words.empty()) {
        amount = written(amount.value, *reached);
    }
    return fixedNumber(amount.value, amount.decimals) + " g";
}

}  // namespace aftercurve
