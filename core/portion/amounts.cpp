#include "core/portion/amounts.h"

#include <cmath>

namespace aftercurve {

PortionValue finitePortionValue(double value) {
    if (!std::isfinite(value)) {
        return absentPortionValue("the numbers are too large or too small to divide");
    }
    return {value, {}};
}

PortionValue absentPortionValue(std::string_view because) {
    return {std::nullopt, std::string{because}};
}

PortionValue amountIn(const std::optional<double>& amount, const std::optional<double>& portionG,
                      const std::optional<double>& grams) {
    if (!amount) {
        return absentPortionValue("what the portion holds is not given");
    }
    if (!portionG) {
        return absentPortionValue("the weight of the portion is not given");
    }
    if (!grams) {
        return absentPortionValue("the serving is not given");
    }
    if (!(*portionG > 0.0)) {
        return absentPortionValue("the portion weighs 0 g");
    }
    return finitePortionValue(*amount * *grams / *portionG);
}

PortionValue portionHolding(double wantedG, const std::optional<double>& portionG,
                            const std::optional<double>& availableG) {
    if (!availableG) {
        return absentPortionValue("the available carbohydrate is not given");
    }
    if (!portionG) {
        return absentPortionValue("the weight of the portion is not given");
    }
    if (!(*availableG > 0.0)) {
        return absentPortionValue("the portion holds no available carbohydrate");
    }
    return finitePortionValue(*portionG * wantedG / *availableG);
}

PortionValue resistantStarchShare(const std::optional<double>& resistantG,
                                  const std::optional<double>& starchG) {
    if (!resistantG) {
        return absentPortionValue("the resistant starch is not given");
    }
    if (!starchG) {
        return absentPortionValue("the starch is not given");
    }
    if (!(*starchG > 0.0)) {
        return absentPortionValue("there is no starch");
    }
    return finitePortionValue(100.0 * *resistantG / *starchG);
}

}  // namespace aftercurve
