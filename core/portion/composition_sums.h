#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/study/food_facts.h"

namespace aftercurve {

/// Something in a composition that cannot be, as words: "the starch (52 g) and the sugars (4 g) are more than
/// ...", and what to check.
struct CompositionFault {
    std::string what;
    std::string check;
};

/// Sums that cannot be, each looked at only where all of its parts are known:
///   starch + sugars ≤ available carbohydrate + resistant starch (of starch: what is digestible is
///   available); sugars ≤ available carbohydrate; resistant + slowly digestible starch ≤ starch (one of the
///   two alone as well); available carbohydrate + protein + fat + fibre ≤ portion (those that are known).
/// Beyond the right side by more than 5 % of it, and by more than 0.5 g: what rounding and different methods
/// do is no fault (common practice, no source). Fewer carbohydrates named than available ones is no fault:
/// maltodextrins are neither.
std::vector<CompositionFault> compositionFaults(const std::optional<double>& portionG,
                                                const std::optional<double>& availableCarbohydrateG,
                                                const FoodComposition& composition);

/// The larger of 5 % of it and 0.5 g.
double compositionTolerance(double limitG);

}  // namespace aftercurve
