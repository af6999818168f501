#include <gtest/gtest.h>

#include "core/edit/edit.h"

namespace aftercurve {
namespace {

Study studyWithLaboratory() {
    Study study;
    study.foods.resize(2);
    study.foods[0].id = "crisp";
    study.foods[1].id = "drink";
    AssaySample sample;
    sample.id = "flour";
    sample.food = "crisp";
    study.assays.samples.push_back(sample);
    Recipe recipe;
    recipe.id = "crisp-recipe";
    recipe.food = "crisp";
    study.fibre.recipes.push_back(recipe);
    return study;
}

TEST(LaboratoryRename, FollowsTheFoodIntoAssaysAndRecipes) {
    Study study = studyWithLaboratory();
    ASSERT_TRUE(apply(study, SetCell{StudyTable::foods, 0, 0, "thin-crisp"}));
    EXPECT_EQ(study.assays.samples[0].food, "thin-crisp");
    EXPECT_EQ(study.fibre.recipes[0].food, "thin-crisp");
}

TEST(LaboratoryRename, KeepsAFoodThatAnAssayOrARecipeNames) {
    Study study = studyWithLaboratory();
    EXPECT_FALSE(apply(study, RemoveRow{StudyTable::foods, 0}));
    EXPECT_TRUE(apply(study, RemoveRow{StudyTable::foods, 1}));
    study.assays.samples.clear();
    EXPECT_FALSE(apply(study, RemoveRow{StudyTable::foods, 0}));
    study.fibre.recipes.clear();
    EXPECT_TRUE(apply(study, RemoveRow{StudyTable::foods, 0}));
}

}  // namespace
}  // namespace aftercurve
