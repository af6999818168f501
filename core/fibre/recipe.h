#pragma once

#include <string>
#include <vector>

#include "core/portion/amounts.h"
#include "core/portion/servings.h"
#include "core/study/fibre_data.h"

namespace aftercurve {

/// What a recipe gives: of the whole, in 100 g of the product, in a serving.
struct RecipeAmount {
    PortionValue total;  ///< g, or kJ
    PortionValue per100g;
    PortionValue perServing;

    bool operator==(const RecipeAmount&) const = default;
};

struct RecipeContents {
    double rawG = 0.0;         ///< sum of the parts
    PortionValue bakedG;       ///< the raw mass where no loss is given
    PortionValue lossPercent;  ///< of the raw mass
    RecipeAmount fibre;
    RecipeAmount availableCarbohydrate;
    RecipeAmount protein;
    RecipeAmount fat;
    RecipeAmount water;     ///< of the parts less what was lost: what is lost is taken to be water
    RecipeAmount energyKj;  ///< 17 · available carbohydrate + 17 · protein + 37 · fat + 8 · fibre
    ServingContents serving;
    ServingsForTarget servings;       ///< for the target, where one is given
    std::vector<std::string> faults;  ///< what cannot be: more lost than there is water
};

/// total = Σ mass · amount per 100 g / 100 over the parts with a mass; per 100 g = 100 · total / mass of the
/// product; per serving likewise. Baking or drying takes water only. A part with a mass whose amount is not
/// given makes the total absent, naming the part: nothing is taken as 0. Without any mass, nothing. Energy:
/// see core/portion/energy.h. `targetG` absent: no servings are counted.
RecipeContents recipeContents(const Recipe& recipe, const std::optional<double>& targetG);

/// The recipe with the share of `replaced` given to `by`, mass for mass; the product's mass stays, so that
/// the same share is taken to be lost. Where nothing is to be replaced, or it cannot be, the reason:
/// `replaced` or `by` is not among the parts, they are the same, the share is not from 0 to 1.
struct ReplacedRecipe {
    Recipe recipe;
    std::string absentBecause;
};
ReplacedRecipe afterReplacing(const Recipe& recipe);

/// The material of the second is the first's with its share replaced, in the words of a heading: "50 % of
/// wheat flour as barley bran".
std::string replacementWords(const Recipe& recipe);

}  // namespace aftercurve
