#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

namespace aftercurve {

/// One visit as far as first-order carry-over asks: who ate what in which period.
struct CarryOverVisit {
    std::size_t subject = 0;
    int period = 0;
    std::size_t food = 0;
};

enum class CarryOverSource {
    firstPeriod,      ///< nothing is carried over: the study's first period
    previousPeriod,   ///< `food` was eaten in the period before
    noVisitBefore,    ///< not known: the subject has no visit in the period before
    severalFoods,     ///< not known: visits with different foods in the period before
    periodNotUnique,  ///< not known: visits with different foods in this period, their order is not told
};

struct CarryOver {
    CarryOverSource source = CarryOverSource::noVisitBefore;
    std::optional<std::size_t> food;  ///< present for previousPeriod alone
};

/// The food whose effect a visit may carry over, for each visit in the order given: that of the same subject
/// in the period before (period − 1). The first period is the smallest one that any subject has. Give every
/// visit that took place, also one without a value: what was eaten then is known. Several visits of one food
/// in a period (replicates) count as that food. What to do where it is not known (leave the row out, or take
/// it as nothing carried over) is the caller's choice and must be told.
std::vector<CarryOver> carryOverLevels(std::span<const CarryOverVisit> visits);

}  // namespace aftercurve
