#include "core/portion/composition_sums.h"

#include <algorithm>

#include "core/base/number_text.h"

namespace aftercurve {

namespace {

constexpr double toleranceShare = 0.05;
constexpr double toleranceG = 0.5;
constexpr double guard = 1e-9;

std::string grams(double g) {
    return plainNumber(g) + " g";
}

bool isMore(double sum, double limit) {
    return sum > (limit + compositionTolerance(limit)) * (1.0 + guard);
}

/// Parts of the portion that are known, as a sum and as words.
struct KnownParts {
    double sum = 0.0;
    std::string names;

    void add(const char* name, const std::optional<double>& amount) {
        if (amount) {
            sum += *amount;
            names += (names.empty() ? "" : ", ") + std::string{name} + " " + grams(*amount);
        }
    }
};

}  // namespace

double compositionTolerance(double limitG) {
    return std::max(toleranceG, toleranceShare * limitG);
}

std::vector<CompositionFault> compositionFaults(const std::optional<double>& portionG,
                                                const std::optional<double>& availableCarbohydrateG,
                                                const FoodComposition& c) {
    std::vector<CompositionFault> faults;
    const auto& available = availableCarbohydrateG;
    if (available && c.sugarsG && isMore(*c.sugarsG, *available)) {
        faults.push_back({"the sugars (" + grams(*c.sugarsG) +
                              ") are more than the available carbohydrate (" + grams(*available) +
                              ") that they are part of",
                          "check sugars_g and available_carbohydrate_g"});
    } else if (available && c.starchG && c.sugarsG) {
        const double resistant = c.resistantStarchG.value_or(0.0);
        if (c.resistantStarchG && isMore(*c.starchG + *c.sugarsG, *available + resistant)) {
            faults.push_back(
                {"starch (" + grams(*c.starchG) + ") and sugars (" + grams(*c.sugarsG) +
                     ") are more than available carbohydrate (" + grams(*available) +
                     ") and resistant starch (" + grams(resistant) + ")",
                 "check starch_g, sugars_g and resistant_starch_g, and whether available_carbohydrate_g "
                 "was taken as carbohydrate by difference"});
        }
    }
    if (c.starchG && (c.resistantStarchG || c.slowlyDigestibleStarchG)) {
        KnownParts kinds;
        kinds.add("resistant", c.resistantStarchG);
        kinds.add("slowly digestible", c.slowlyDigestibleStarchG);
        if (isMore(kinds.sum, *c.starchG)) {
            faults.push_back({"kinds of starch (" + kinds.names + ") are more than the starch (" +
                                  grams(*c.starchG) + ") that they are part of",
                              "check starch_g, resistant_starch_g and slowly_digestible_starch_g"});
        }
    }
    if (portionG) {
        KnownParts parts;
        parts.add("available carbohydrate", available);
        parts.add("protein", c.proteinG);
        parts.add("fat", c.fatG);
        parts.add("fibre", c.fibreG);
        if (isMore(parts.sum, *portionG)) {
            faults.push_back(
                {"its parts (" + parts.names + ") are more than the portion of " + grams(*portionG),
                 "check portion_g, and whether the composition is of that portion and not of 100 g"});
        }
    }
    return faults;
}

}  // namespace aftercurve
