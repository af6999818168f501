#include "core/index/meal_index.h"

#include <cmath>

namespace aftercurve {

namespace {

bool isAmount(double value) {
    return std::isfinite(value) && value >= 0.0;
}

}  // namespace

MealIndex mealIndex(std::span<const MealPart> parts, double breadFactor) {
    MealIndex result;
    if (parts.empty()) {
        result.absentBecause = "the meal has no parts";
        return result;
    }
    if (!isAmount(breadFactor) || breadFactor == 0.0) {
        result.absentBecause = "the factor to the glucose scale is not above 0";
        return result;
    }
    double carbohydrate = 0.0;
    for (const MealPart& part : parts) {
        if (!isAmount(part.carbohydrateG) || !isAmount(part.index)) {
            result.absentBecause = "part " + part.label + " has a carbohydrate or an index that is no amount";
            return result;
        }
        carbohydrate += part.carbohydrateG;
    }
    if (carbohydrate <= 0.0) {
        result.absentBecause = "the parts hold no available carbohydrate";
        return result;
    }
    double index = 0.0;
    for (const MealPart& part : parts) {
        MealPartShare share;
        share.factor = part.scale == IndexScale::whiteBread ? breadFactor : 1.0;
        share.indexGlucose = part.index * share.factor;
        share.proportion = part.carbohydrateG / carbohydrate;
        share.contribution = share.proportion * share.indexGlucose;
        index += share.contribution;
        result.parts.push_back(share);
    }
    const double load = index / 100.0 * carbohydrate;
    if (!std::isfinite(index) || !std::isfinite(load)) {
        result.parts.clear();
        result.absentBecause = "the sum over the parts is too large for a double";
        return result;
    }
    result.index = index;
    result.carbohydrateG = carbohydrate;
    result.load = load;
    return result;
}

}  // namespace aftercurve
