#include "core/index/meal_index.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "tests/support/close.h"

namespace aftercurve {
namespace {

using test::isClose;

// FAO Food and Nutrition Paper 66 (1998), Table 4 (page 27): grams and index with bread = 100. The table
// rounds each proportion to three decimals and prints 80.0; unrounded it is 5857/73.
std::vector<MealPart> faoMeal(IndexScale scale) {
    return {{"bread", 25.0, 100.0, scale, "FAO 1998"},
            {"cereal", 25.0, 72.0, scale, "FAO 1998"},
            {"milk", 6.0, 39.0, scale, "FAO 1998"},
            {"sucrose", 5.0, 87.0, scale, "FAO 1998"},
            {"orange juice", 12.0, 74.0, scale, "FAO 1998"}};
}

TEST(MealIndex, FaoMealIsNotRoundedOnTheWay) {
    const MealIndex meal = mealIndex(faoMeal(IndexScale::glucose), 0.7);
    EXPECT_TRUE(isClose(*meal.index, 80.232877, {.absolute = 5e-7}));
    EXPECT_TRUE(isClose(*meal.index, 5857.0 / 73.0, {.relative = 1e-14}));
    EXPECT_EQ(meal.carbohydrateG, 73.0);
    EXPECT_TRUE(isClose(*meal.load, 58.57, {.relative = 1e-14}));
    const double products[] = {34.2466, 24.6575, 3.2055, 5.9589, 12.1644};
    const double printedProducts[] = {34.2, 24.6, 3.2, 5.9, 12.1};
    ASSERT_EQ(meal.parts.size(), 5U);
    double printedSum = 0.0;
    for (std::size_t i = 0; i < 5; ++i) {
        EXPECT_TRUE(isClose(meal.parts[i].contribution, products[i], {.absolute = 5e-5})) << i;
        // As the table has it: the proportion rounded first.
        const double proportion = std::round(1000.0 * meal.parts[i].proportion) / 1000.0;
        const double product = std::round(10.0 * proportion * meal.parts[i].indexGlucose) / 10.0;
        EXPECT_TRUE(isClose(product, printedProducts[i], {.absolute = 1e-9})) << i;
        printedSum += product;
    }
    EXPECT_TRUE(isClose(printedSum, 80.0, {.absolute = 1e-9}));
}

TEST(MealIndex, EachPartIsTakenToTheGlucoseScaleFirst) {
    EXPECT_TRUE(isClose(*mealIndex(faoMeal(IndexScale::whiteBread), 0.7).index, 0.7 * 5857.0 / 73.0,
                        {.relative = 1e-14}));
    const std::vector<MealPart> mixed = {{"a", 30.0, 100.0, IndexScale::whiteBread, ""},
                                         {"b", 10.0, 40.0, IndexScale::glucose, ""}};
    const MealIndex meal = mealIndex(mixed, 0.7);
    EXPECT_TRUE(isClose(*meal.index, (30.0 * 70.0 + 10.0 * 40.0) / 40.0, {.relative = 1e-14}));
    EXPECT_EQ(meal.parts[0].factor, 0.7);
    EXPECT_EQ(meal.parts[1].factor, 1.0);
}

TEST(MealIndex, OnePartIsItself) {
    const std::vector<MealPart> one = {{"a", 12.5, 61.0, IndexScale::glucose, ""}};
    EXPECT_EQ(mealIndex(one, 0.7).index, 61.0);
}

TEST(MealIndex, WithoutAnAmountThereIsNoIndex) {
    const double nan = std::numeric_limits<double>::quiet_NaN();
    EXPECT_FALSE(mealIndex({}, 0.7).index);
    for (const double bad : {-1.0, nan, std::numeric_limits<double>::infinity()}) {
        const std::vector<MealPart> carbohydrate = {{"a", bad, 61.0, IndexScale::glucose, ""}};
        const std::vector<MealPart> index = {{"a", 10.0, bad, IndexScale::glucose, ""}};
        for (const auto& parts : {carbohydrate, index}) {
            const MealIndex meal = mealIndex(parts, 0.7);
            EXPECT_FALSE(meal.index || meal.load || meal.carbohydrateG);
            EXPECT_FALSE(meal.absentBecause.empty());
            EXPECT_TRUE(meal.parts.empty());
        }
    }
    const std::vector<MealPart> none = {{"water", 0.0, 61.0, IndexScale::glucose, ""}};
    EXPECT_FALSE(mealIndex(none, 0.7).index);
    const std::vector<MealPart> huge = {{"a", 1e308, 61.0, IndexScale::glucose, ""},
                                        {"b", 1e308, 61.0, IndexScale::glucose, ""}};
    EXPECT_FALSE(mealIndex(huge, 0.7).index);
    const std::vector<MealPart> one = {{"a", 12.5, 61.0, IndexScale::glucose, ""}};
    EXPECT_FALSE(mealIndex(one, 0.0).index);
    EXPECT_FALSE(mealIndex(one, nan).index);
}

}  // namespace
}  // namespace aftercurve
