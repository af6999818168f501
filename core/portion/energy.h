#pragma once

#include <optional>

#include "core/portion/amounts.h"

namespace aftercurve {

/// kJ in a g: Regulation (EU) 1169/2011, Annex XIV, from memory. Carbohydrate is the available one; resistant
/// starch counts as fibre.
inline constexpr double carbohydrateKjPerG = 17.0;
inline constexpr double proteinKjPerG = 17.0;
inline constexpr double fatKjPerG = 37.0;
inline constexpr double fibreKjPerG = 8.0;
inline constexpr double kjPerKcal = 4.184;
/// A stated energy further than this from that of the macronutrients asks for a look. Common practice, no
/// source.
inline constexpr double energyTolerancePercent = 10.0;

/// g in one portion; absent: not known.
struct Macronutrients {
    std::optional<double> availableCarbohydrateG;
    std::optional<double> proteinG;
    std::optional<double> fatG;
    std::optional<double> fibreG;
};

/// Energy, kJ: 17 · carbohydrate + 17 · protein + 37 · fat + 8 · fibre. Alcohol, organic acids and polyols
/// are taken as none. Not known where one of the four is not known: a missing one is never 0.
PortionValue energyKjOf(const Macronutrients& portion);

/// The stated energy beside that of the macronutrients.
struct EnergyComparison {
    std::optional<double> statedKj;
    PortionValue fromMacronutrientsKj;
    PortionValue differencePercent;  ///< 100 · (stated − macronutrients) / macronutrients
    bool beyond = false;             ///< |difference| > 10 %; at 10 % it is not
};
EnergyComparison compareEnergy(const std::optional<double>& statedKj, const Macronutrients& portion);

/// kcal for kJ: kJ / 4.184.
double kcalOf(double kj);

}  // namespace aftercurve
