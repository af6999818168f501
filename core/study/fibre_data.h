#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/study/fibre_rule.h"

namespace aftercurve {

/// One determination of fibre, or of a part of it, by an official method.
struct FibreResult {
    std::string material;  ///< ingredient or food
    std::string method;    ///< "2009.01"
    std::string fraction;  ///< "total", "insoluble", "soluble-high", "soluble-low", "resistant-starch",
                           ///< "fructans", "beta-glucan"
    int replicate = 1;
    std::optional<double> value;  ///< g per 100 g, on `basis`
    bool dryBasis = false;
    std::optional<double> moisturePercent;  ///< of the material as it is
    std::string laboratory;
    std::size_t row = 0;

    bool operator==(const FibreResult&) const = default;
};

/// The words of FibreResult::fraction.
inline constexpr std::array<std::string_view, 7> fibreFractions{
    "total", "insoluble", "soluble-high", "soluble-low", "resistant-starch", "fructans", "beta-glucan"};

/// The repeatability of a method in the laboratory's own hands.
struct OwnRepeatability {
    std::string method;
    double sdG = 0.0;  ///< s_r, g per 100 g

    bool operator==(const OwnRepeatability&) const = default;
};

/// One ingredient of a recipe with what 100 g of it hold. A mass of 0 g only says what the material holds, so
/// that it can take another's place.
struct RecipePart {
    std::string material;
    double massG = 0.0;
    std::optional<double> fibrePer100g;
    std::optional<double> availableCarbohydratePer100g;
    std::optional<double> proteinPer100g;
    std::optional<double> fatPer100g;
    std::optional<double> waterPer100g;

    bool operator==(const RecipePart&) const = default;
};

/// A food as it is made, and what is to be replaced by what.
struct Recipe {
    std::string id;
    std::string label;
    std::string food;  ///< id of the study's food; empty: none
    std::vector<RecipePart> parts;
    std::optional<double> bakedMassG;  ///< after baking or drying; absent: no loss
    double servingG = 0.0;             ///< as eaten
    std::string replaced;              ///< material of a part; empty: nothing is replaced
    std::string by;                    ///< material that takes its place
    double replacedShare = 0.0;        ///< 0 to 1, of the part's mass

    bool operator==(const Recipe&) const = default;
};

/// The fibre determinations and recipes of a study.
struct FibreData {
    std::string file;    ///< relative to the study folder; empty: none
    std::string region;  ///< key of the definition that is asked for: "eu", "us", ...
    std::vector<FibreResult> results;
    std::vector<Recipe> recipes;
    std::optional<double> targetG;                ///< intake of fibre to reach; absent: that of the plan
    std::vector<OwnRepeatability> repeatability;  ///< at most one a method
    std::vector<FibreRule>
        rules;  ///< the study's own; one with the key of a built-in rule stands in its place

    bool operator==(const FibreData&) const = default;
};

}  // namespace aftercurve
