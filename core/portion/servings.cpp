#include "core/portion/servings.h"

#include <cmath>
#include <string_view>

namespace aftercurve {

namespace {

constexpr double guard = 1e-9;

PortionValue broughtBy(double servings, const std::optional<double>& one, std::string_view missing) {
    return one ? finitePortionValue(servings * *one) : absentPortionValue(missing);
}

}  // namespace

double wholeServings(double exact) {
    const double below = std::floor(exact);
    return exact - below <= guard * exact ? below : below + 1.0;
}

ServingsForTarget servingsFor(double targetG, const ServingContents& serving) {
    ServingsForTarget result;
    if (!std::isfinite(targetG) || !(targetG > 0.0)) {
        result.exact = absentPortionValue("the intake of fibre is not above 0 g");
    } else if (!serving.fibreG) {
        result.exact = absentPortionValue("the fibre of a serving is not known");
    } else if (!(*serving.fibreG > 0.0)) {
        result.exact = absentPortionValue("a serving holds no fibre");
    } else {
        result.exact = finitePortionValue(targetG / *serving.fibreG);
    }
    if (!result.exact.value) {
        for (PortionValue* value : {&result.grams, &result.availableCarbohydrateG, &result.energyKj}) {
            *value = absentPortionValue(result.exact.absentBecause);
        }
        return result;
    }
    // Less than one serving is still a serving: something has to be eaten.
    const double whole = std::fmax(1.0, wholeServings(*result.exact.value));
    result.whole = whole;
    result.grams = broughtBy(whole, serving.weightG, "the weight of a serving is not known");
    result.availableCarbohydrateG = broughtBy(whole, serving.availableCarbohydrateG,
                                              "the available carbohydrate of a serving is not known");
    result.energyKj = broughtBy(whole, serving.energyKj, "the energy of a serving is not known");
    return result;
}

}  // namespace aftercurve
