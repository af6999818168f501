#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace aftercurve {

/// A number that follows from what a portion holds, or why there is none.
struct PortionValue {
    std::optional<double> value;
    std::string absentBecause;

    bool operator==(const PortionValue&) const = default;
};

/// The value where it is finite; else absent with a reason.
PortionValue finitePortionValue(double value);
PortionValue absentPortionValue(std::string_view because);

/// What `grams` of a food hold of something of which `portionG` grams hold `amount`: amount · grams /
/// portionG, in the unit of `amount`. Assumes the same food throughout. Not known where one of the three is
/// not known; a portion of 0 g says nothing. Definition.
PortionValue amountIn(const std::optional<double>& amount, const std::optional<double>& portionG,
                      const std::optional<double>& grams);

/// Grams of the food that hold `wantedG` of available carbohydrate: portionG · wantedG / availableG. Not
/// known where one is not known; absent where the portion holds none. ISO 26642:2010 tests portions with 50 g
/// (25 g where that is too much to eat), from memory.
PortionValue portionHolding(double wantedG, const std::optional<double>& portionG,
                            const std::optional<double>& availableG);

/// Resistant starch as a share of total starch, g in 100 g of starch: 100 · resistant / total; the resistant
/// starch is part of the total. Not known where one is not known; absent where there is no starch. More than
/// 100 is not hidden: sums that cannot be are told by compositionFaults. The share that EFSA Journal
/// 2011;9(4):2024 speaks of.
PortionValue resistantStarchShare(const std::optional<double>& resistantG,
                                  const std::optional<double>& starchG);

}  // namespace aftercurve
