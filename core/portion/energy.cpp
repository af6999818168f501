#include "core/portion/energy.h"

#include <array>
#include <cmath>
#include <utility>

#include "core/portion/within.h"

namespace aftercurve {

PortionValue energyKjOf(const Macronutrients& portion) {
    const std::array parts{std::pair{portion.availableCarbohydrateG, carbohydrateKjPerG},
                           std::pair{portion.proteinG, proteinKjPerG}, std::pair{portion.fatG, fatKjPerG},
                           std::pair{portion.fibreG, fibreKjPerG}};
    constexpr std::array names{"the available carbohydrate", "the protein", "the fat", "the fibre"};
    double energy = 0.0;
    for (std::size_t i = 0; i < parts.size(); ++i) {
        if (!parts[i].first) {
            return absentPortionValue(std::string{names[i]} + " is not given");
        }
        energy += *parts[i].first * parts[i].second;
    }
    return finitePortionValue(energy);
}

EnergyComparison compareEnergy(const std::optional<double>& statedKj, const Macronutrients& portion) {
    EnergyComparison result;
    result.statedKj = statedKj;
    result.fromMacronutrientsKj = energyKjOf(portion);
    const auto& computed = result.fromMacronutrientsKj;
    if (!statedKj) {
        result.differencePercent = absentPortionValue("no energy is stated");
    } else if (!computed.value) {
        result.differencePercent = absentPortionValue(computed.absentBecause);
    } else if (!(*computed.value > 0.0)) {
        result.differencePercent = absentPortionValue("the macronutrients bring no energy");
        result.beyond = *statedKj > 0.0;
    } else {
        result.differencePercent =
            finitePortionValue(100.0 * (*statedKj - *computed.value) / *computed.value);
        result.beyond = !result.differencePercent.value ||
                        !withinPercent(*result.differencePercent.value, energyTolerancePercent);
    }
    return result;
}

double kcalOf(double kj) {
    return kj / kjPerKcal;
}

}  // namespace aftercurve
