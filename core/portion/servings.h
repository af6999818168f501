#pragma once

#include <optional>

#include "core/portion/amounts.h"

namespace aftercurve {

/// What one serving holds; absent: not known.
struct ServingContents {
    std::optional<double> fibreG;
    std::optional<double> weightG;
    std::optional<double> availableCarbohydrateG;
    std::optional<double> energyKj;
};

/// The servings that bring an intake of fibre, and what else they bring.
struct ServingsForTarget {
    PortionValue exact;
    std::optional<double> whole;  ///< a whole number; absent where `exact` is
    PortionValue grams;           ///< of food in the whole servings
    PortionValue availableCarbohydrateG;
    PortionValue energyKj;
};

/// exact = target / fibre of a serving; whole = exact rounded up, where what a double loses does not add a
/// serving (15.000000000000002 is 15; a rest below 1e-9 of it counts as none). What the whole servings bring
/// = whole · one serving's. Fibre of 0 or not known, or a target that is not above 0: no servings, with the
/// reason. Definition.
ServingsForTarget servingsFor(double targetG, const ServingContents& serving);

/// The whole number of servings that is not fewer than `exact`.
double wholeServings(double exact);

}  // namespace aftercurve
