#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/study/food_facts.h"

namespace aftercurve {

/// What one part of a mixed meal brings to the index that the parts predict.
struct MealPartShare {
    double factor = 1.0;        ///< from the scale of the part's index to the glucose scale
    double indexGlucose = 0.0;  ///< index × factor
    double proportion = 0.0;    ///< of the meal's available carbohydrate
    double contribution = 0.0;  ///< proportion × indexGlucose
};

/// The index of a mixed meal as its parts predict it: Σ index_i·g_i / Σ g_i, g_i the available carbohydrate
/// (g) of the part, every index on the glucose scale first (one on the white-bread scale × breadFactor). It
/// leaves out what fat, protein and fibre do to emptying of the stomach, and rests on published values of
/// other subjects. Nothing is rounded on the way. Source: FAO Food and Nutrition Paper 66 (1998), Table 4;
/// its printed 80.0 rounds each proportion to three decimals, unrounded it is 80.23. No part, a carbohydrate
/// or index that is below 0 or not finite, no carbohydrate at all, a factor that is not above 0: absent with
/// the reason.
struct MealIndex {
    std::optional<double> index;          ///< on the glucose scale
    std::optional<double> carbohydrateG;  ///< Σ g_i
    std::optional<double> load;           ///< index × carbohydrate / 100 = Σ index_i·g_i / 100, in g
    std::vector<MealPartShare> parts;     ///< as given; empty where the index is absent
    std::string absentBecause;
};

MealIndex mealIndex(std::span<const MealPart> parts, double breadFactor);

}  // namespace aftercurve
