#include "core/fibre/recipe.h"

#include <algorithm>
#include <cmath>

#include "core/base/number_text.h"
#include "core/portion/energy.h"

namespace aftercurve {

namespace {

constexpr double guard = 1e-9;

using PartAmount = std::optional<double> RecipePart::*;

PortionValue totalOf(const Recipe& recipe, PartAmount amount, const std::string& what) {
    double total = 0.0;
    bool any = false;
    for (const RecipePart& part : recipe.parts) {
        if (!(part.massG > 0.0)) {
            continue;
        }
        if (!(part.*amount)) {
            return absentPortionValue("the " + what + " of " + part.material + " is not given");
        }
        any = true;
        total += part.massG * *(part.*amount) / 100.0;
    }
    return any ? finitePortionValue(total) : absentPortionValue("no part has a mass");
}

RecipeAmount spread(PortionValue total, const PortionValue& productG, double servingG) {
    RecipeAmount amount;
    amount.total = std::move(total);
    if (!amount.total.value || !productG.value) {
        const std::string& because = amount.total.value ? productG.absentBecause : amount.total.absentBecause;
        amount.per100g = absentPortionValue(because);
        amount.perServing = amount.per100g;
        return amount;
    }
    amount.per100g = finitePortionValue(100.0 * *amount.total.value / *productG.value);
    amount.perServing = servingG > 0.0 ? finitePortionValue(*amount.total.value * servingG / *productG.value)
                                       : absentPortionValue("the serving is not given");
    return amount;
}

PortionValue productOf(const Recipe& recipe, double rawG) {
    if (!(rawG > 0.0)) {
        return absentPortionValue("no part has a mass");
    }
    const double product = recipe.bakedMassG.value_or(rawG);
    return product > 0.0 ? finitePortionValue(product) : absentPortionValue("the product weighs 0 g");
}

/// The water that is left; the loss is water.
PortionValue waterLeft(const Recipe& recipe, double lostG, std::vector<std::string>& faults) {
    PortionValue water = totalOf(recipe, &RecipePart::waterPer100g, "water");
    if (!water.value) {
        return water;
    }
    const double left = *water.value - lostG;
    if (left < -guard * (1.0 + *water.value)) {
        faults.push_back("more is lost on baking (" + plainNumber(lostG) + " g) than the parts hold water (" +
                         plainNumber(*water.value) + " g)");
        return absentPortionValue("more is lost than there is water");
    }
    return finitePortionValue(std::fmax(0.0, left));
}

}  // namespace

RecipeContents recipeContents(const Recipe& recipe, const std::optional<double>& targetG) {
    RecipeContents contents;
    for (const RecipePart& part : recipe.parts) {
        contents.rawG += part.massG;
    }
    contents.bakedG = productOf(recipe, contents.rawG);
    const PortionValue& product = contents.bakedG;
    contents.lossPercent = product.value
                               ? finitePortionValue(100.0 * (contents.rawG - *product.value) / contents.rawG)
                               : absentPortionValue(product.absentBecause);
    const auto amount = [&](PartAmount member, const char* what) {
        return spread(totalOf(recipe, member, what), product, recipe.servingG);
    };
    contents.fibre = amount(&RecipePart::fibrePer100g, "fibre");
    contents.availableCarbohydrate =
        amount(&RecipePart::availableCarbohydratePer100g, "available carbohydrate");
    contents.protein = amount(&RecipePart::proteinPer100g, "protein");
    contents.fat = amount(&RecipePart::fatPer100g, "fat");
    const double lostG = product.value ? contents.rawG - *product.value : 0.0;
    contents.water = spread(waterLeft(recipe, lostG, contents.faults), product, recipe.servingG);
    PortionValue energy =
        energyKjOf({contents.availableCarbohydrate.total.value, contents.protein.total.value,
                    contents.fat.total.value, contents.fibre.total.value});
    contents.energyKj = spread(std::move(energy), product, recipe.servingG);
    contents.serving = {contents.fibre.perServing.value,
                        recipe.servingG > 0.0 ? std::optional{recipe.servingG} : std::nullopt,
                        contents.availableCarbohydrate.perServing.value, contents.energyKj.perServing.value};
    if (targetG) {
        contents.servings = servingsFor(*targetG, contents.serving);
    } else {
        contents.servings.exact = absentPortionValue("no intake of fibre is named");
    }
    return contents;
}

ReplacedRecipe afterReplacing(const Recipe& recipe) {
    ReplacedRecipe after{recipe, {}};
    const auto partOf = [&after](const std::string& material) {
        return std::find_if(after.recipe.parts.begin(), after.recipe.parts.end(),
                            [&material](const RecipePart& part) { return part.material == material; });
    };
    if (recipe.replaced.empty()) {
        after.absentBecause = "nothing is to be replaced";
        return after;
    }
    const auto from = partOf(recipe.replaced);
    const auto to = partOf(recipe.by);
    if (from == after.recipe.parts.end()) {
        after.absentBecause = recipe.replaced + " is not a part of the recipe";
    } else if (to == after.recipe.parts.end()) {
        after.absentBecause = recipe.by.empty() ? "the recipe does not say what takes its place"
                                                : recipe.by + " is not a part of the recipe; add it with 0 g";
    } else if (from == to) {
        after.absentBecause = "a part cannot take its own place";
    } else if (!std::isfinite(recipe.replacedShare) || recipe.replacedShare < 0.0 ||
               recipe.replacedShare > 1.0) {
        after.absentBecause = "the share is not from 0 to 1";
    } else {
        const double moved = from->massG * recipe.replacedShare;
        from->massG = recipe.replacedShare < 1.0 ? from->massG - moved : 0.0;
        to->massG += moved;
    }
    return after;
}

std::string replacementWords(const Recipe& recipe) {
    return plainNumber(std::round(recipe.replacedShare * 1e6) / 1e4) + " % of " + recipe.replaced + " as " +
           recipe.by;
}

}  // namespace aftercurve
