#include "core/index/index_scale.h"

#include <cmath>

namespace aftercurve {

namespace {

std::optional<double> times(const std::optional<double>& value, double factor) {
    if (!value || !std::isfinite(*value * factor)) {
        return std::nullopt;
    }
    return *value * factor;
}

IndexInterval scaled(const IndexInterval& index, double factor) {
    IndexInterval result{times(index.estimate, factor), times(index.low, factor), times(index.high, factor)};
    if (!result.estimate || !result.low || !result.high) {
        result.low.reset();
        result.high.reset();
    }
    return result;
}

}  // namespace

IndexInterval onGlucoseScale(const IndexInterval& index, double factor) {
    if (!std::isfinite(factor) || factor <= 0.0) {
        return {};
    }
    return scaled(index, factor);
}

IndexInterval glycaemicLoad(const IndexInterval& glucoseScaleIndex, double availableCarbohydrateG) {
    if (!std::isfinite(availableCarbohydrateG) || availableCarbohydrateG < 0.0) {
        return {};
    }
    return scaled(glucoseScaleIndex, availableCarbohydrateG / 100.0);
}

std::optional<double> carbohydrateMismatchPercent(double testG, double referenceG) {
    if (!(testG > 0.0) || !(referenceG > 0.0)) {
        return std::nullopt;
    }
    const double percent = 100.0 * ((testG - referenceG) / referenceG);
    return std::isfinite(percent) ? std::optional<double>{percent} : std::nullopt;
}

}  // namespace aftercurve
