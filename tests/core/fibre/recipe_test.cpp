// Recipes: sums by hand, what is missing, what cannot be, and what must not change with the size.
#include "core/fibre/recipe.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/support/close.h"

namespace aftercurve {
namespace {

using test::isClose;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

/// 200 g of flour and 100 g of water, baked to 250 g; bran stands by. Round numbers, invented.
Recipe loaf() {
    Recipe recipe;
    recipe.id = "loaf";
    recipe.label = "Loaf";
    recipe.parts = {{"flour", 200.0, 4.0, 70.0, 10.0, 2.0, 14.0},
                    {"water", 100.0, 0.0, 0.0, 0.0, 0.0, 100.0},
                    {"bran", 0.0, 40.0, 20.0, 16.0, 5.0, 10.0}};
    recipe.bakedMassG = 250.0;
    recipe.servingG = 50.0;
    recipe.replaced = "flour";
    recipe.by = "bran";
    recipe.replacedShare = 0.25;
    return recipe;
}

TEST(Recipe, SumsByHand) {
    const RecipeContents c = recipeContents(loaf(), 16.0);
    EXPECT_EQ(c.rawG, 300.0);
    EXPECT_EQ(c.bakedG.value, 250.0);
    EXPECT_TRUE(isClose(*c.lossPercent.value, 50.0 / 3.0, {.relative = 1e-15}));
    EXPECT_EQ(c.fibre.total.value, 8.0);       // 2 · 4
    EXPECT_EQ(c.fibre.per100g.value, 3.2);     // 8 / 2.5
    EXPECT_EQ(c.fibre.perServing.value, 1.6);  // 8 · 50 / 250
    EXPECT_EQ(c.availableCarbohydrate.total.value, 140.0);
    EXPECT_EQ(c.water.total.value, 78.0);  // 28 + 100 − 50 lost
    // 17 · 140 + 17 · 20 + 37 · 4 + 8 · 8 = 2380 + 340 + 148 + 64, Regulation (EU) 1169/2011, from memory
    EXPECT_EQ(c.energyKj.total.value, 2932.0);
    EXPECT_TRUE(isClose(*c.energyKj.per100g.value, 1172.8, {.relative = 1e-15}));
    EXPECT_TRUE(isClose(*c.servings.exact.value, 10.0, {.relative = 1e-15}));
    EXPECT_EQ(c.servings.whole, 10.0);
    EXPECT_THAT(c.faults, IsEmpty());
}

TEST(Recipe, AQuarterOfTheFlourAsBran) {
    const ReplacedRecipe after = afterReplacing(loaf());
    ASSERT_THAT(after.absentBecause, IsEmpty());
    EXPECT_EQ(after.recipe.parts[0].massG, 150.0);
    EXPECT_EQ(after.recipe.parts[2].massG, 50.0);
    const RecipeContents c = recipeContents(after.recipe, 16.0);
    EXPECT_EQ(c.rawG, 300.0);
    EXPECT_EQ(c.bakedG.value, 250.0);
    EXPECT_EQ(c.fibre.total.value, 26.0);                   // 6 + 20
    EXPECT_EQ(c.availableCarbohydrate.total.value, 115.0);  // 105 + 10
    EXPECT_EQ(c.fibre.perServing.value, 5.2);
    EXPECT_EQ(c.servings.whole, 4.0);  // 16 / 5.2 = 3.08
    EXPECT_EQ(replacementWords(loaf()), "25 % of flour as bran");
}

TEST(Recipe, NoneAndAllOfIt) {
    Recipe recipe = loaf();
    recipe.replacedShare = 0.0;
    EXPECT_EQ(afterReplacing(recipe).recipe, recipe);
    recipe.replacedShare = 1.0;
    const ReplacedRecipe all = afterReplacing(recipe);
    EXPECT_EQ(all.recipe.parts[0].massG, 0.0);
    EXPECT_EQ(all.recipe.parts[2].massG, 200.0);
}

TEST(Recipe, WhatCannotBeReplacedSaysWhy) {
    const auto because = [](auto change) {
        Recipe recipe = loaf();
        change(recipe);
        return afterReplacing(recipe).absentBecause;
    };
    EXPECT_EQ(because([](Recipe& r) { r.replaced.clear(); }), "nothing is to be replaced");
    EXPECT_EQ(because([](Recipe& r) { r.replaced = "rye"; }), "rye is not a part of the recipe");
    EXPECT_EQ(because([](Recipe& r) { r.by = "pulp"; }), "pulp is not a part of the recipe; add it with 0 g");
    EXPECT_EQ(because([](Recipe& r) { r.by.clear(); }), "the recipe does not say what takes its place");
    EXPECT_EQ(because([](Recipe& r) { r.by = "flour"; }), "a part cannot take its own place");
    EXPECT_EQ(because([](Recipe& r) { r.replacedShare = 1.01; }), "the share is not from 0 to 1");
    EXPECT_EQ(because([](Recipe& r) { r.replacedShare = -0.01; }), "the share is not from 0 to 1");
}

TEST(Recipe, MissingIsNotNought) {
    Recipe recipe = loaf();
    recipe.parts[0].fibrePer100g.reset();
    const RecipeContents c = recipeContents(recipe, 16.0);
    EXPECT_FALSE(c.fibre.total.value);
    EXPECT_EQ(c.fibre.per100g.absentBecause, "the fibre of flour is not given");
    EXPECT_EQ(c.availableCarbohydrate.total.value, 140.0);
    EXPECT_FALSE(c.energyKj.total.value);
    EXPECT_FALSE(c.servings.whole);
    // A part without a mass needs no fibre until it takes a place.
    recipe = loaf();
    recipe.parts[2].fibrePer100g.reset();
    EXPECT_EQ(recipeContents(recipe, {}).fibre.total.value, 8.0);
    EXPECT_EQ(recipeContents(afterReplacing(recipe).recipe, {}).fibre.total.absentBecause,
              "the fibre of bran is not given");
}

TEST(Recipe, NothingAndNoServing) {
    Recipe recipe;
    EXPECT_EQ(recipeContents(recipe, 30.0).fibre.per100g.absentBecause, "no part has a mass");
    recipe = loaf();
    recipe.servingG = 0.0;
    EXPECT_EQ(recipeContents(recipe, 30.0).fibre.perServing.absentBecause, "the serving is not given");
    EXPECT_FALSE(recipeContents(recipe, 30.0).servings.whole);
    recipe.bakedMassG = 0.0;
    EXPECT_EQ(recipeContents(recipe, 30.0).fibre.per100g.absentBecause, "the product weighs 0 g");
}

TEST(Recipe, MoreLostThanThereIsWater) {
    Recipe recipe = loaf();
    recipe.bakedMassG = 172.0;  // all of the 128 g of water
    EXPECT_THAT(recipeContents(recipe, {}).faults, IsEmpty());
    EXPECT_EQ(recipeContents(recipe, {}).water.total.value, 0.0);
    recipe.bakedMassG = 171.0;
    const RecipeContents c = recipeContents(recipe, {});
    EXPECT_THAT(c.faults,
                ElementsAre(HasSubstr("more is lost on baking (129 g) than the parts hold water (128 g)")));
    EXPECT_FALSE(c.water.total.value);
}

TEST(Recipe, TwiceTheDoughIsTheSameBread) {
    Recipe twice = loaf();
    for (RecipePart& part : twice.parts) {
        part.massG *= 2.0;
    }
    *twice.bakedMassG *= 2.0;
    const RecipeContents one = recipeContents(loaf(), 16.0);
    const RecipeContents two = recipeContents(twice, 16.0);
    const auto same = [](const RecipeAmount& a, const RecipeAmount& b) {
        return a.per100g == b.per100g && a.perServing == b.perServing &&
               *b.total.value == 2.0 * *a.total.value;
    };
    EXPECT_TRUE(same(one.fibre, two.fibre));
    EXPECT_TRUE(same(one.availableCarbohydrate, two.availableCarbohydrate));
    EXPECT_TRUE(same(one.water, two.water));
    EXPECT_TRUE(same(one.energyKj, two.energyKj));
    EXPECT_EQ(one.servings.whole, two.servings.whole);
    // And so it stays where a part is replaced, and where the parts stand in another order.
    std::swap(twice.parts[0], twice.parts[2]);
    const RecipeContents after = recipeContents(afterReplacing(loaf()).recipe, 16.0);
    EXPECT_TRUE(same(after.fibre, recipeContents(afterReplacing(twice).recipe, 16.0).fibre));
}

TEST(Recipe, HugeNumbersAreNoInfinity) {
    Recipe recipe = loaf();
    recipe.parts[0].massG = 1e308;
    recipe.parts[1].massG = 1e308;
    recipe.bakedMassG.reset();
    const RecipeContents c = recipeContents(recipe, 16.0);
    EXPECT_FALSE(c.fibre.per100g.value && !std::isfinite(*c.fibre.per100g.value));
    EXPECT_FALSE(c.bakedG.value);
}

}  // namespace
}  // namespace aftercurve
