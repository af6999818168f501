#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/edit/edit.h"
#include "core/fibre/fibre_rules.h"
#include "tests/core/edit/table_editor.h"

namespace aftercurve {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;

constexpr auto fibre = StudyTable::fibre;
constexpr auto recipes = StudyTable::recipes;
constexpr auto parts = StudyTable::recipeParts;

TEST(FibreEdits, ResultsKeepTheRulesOfTheirFile) {
    test::TableEditor edit{test::laboratoryStudy()};
    EXPECT_EQ(edit.at(fibre, 0, "value"), "10.5");
    EXPECT_EQ(edit.at(fibre, 1, "basis"), "as-is");
    EXPECT_THAT(edit.set(fibre, 0, "material", " "), HasSubstr("the material is empty"));
    EXPECT_THAT(edit.set(fibre, 0, "fraction", "most"), HasSubstr("fraction"));
    EXPECT_THAT(edit.set(fibre, 0, "replicate", "2"), HasSubstr("is there twice"));
    EXPECT_THAT(edit.set(fibre, 0, "value", "<0.5"), HasSubstr("value"));
    EXPECT_THAT(edit.set(fibre, 0, "value", "-1"), HasSubstr("lies outside 0 to 100"));
    EXPECT_THAT(edit.set(fibre, 0, "moisture_percent", "101"), HasSubstr("moisture_percent"));
    EXPECT_THAT(edit.set(fibre, 0, "basis", "wet"), HasSubstr("basis"));
    EXPECT_THAT(edit.set(fibre, 0, "laboratory", std::string(2001, 'x')), HasSubstr("laboratory"));
    EXPECT_THAT(edit.set(fibre, 0, "method", "own method"), IsEmpty());
    EXPECT_THAT(edit.set(fibre, 0, "basis", "dry"), IsEmpty());
    EXPECT_TRUE(edit.study.fibre.results[0].dryBasis);
    EXPECT_THAT(edit.insert(fibre, 1, {"Kelp", "2017.16", "total", "", "36", "", "", "North"}), IsEmpty());
    EXPECT_THAT(edit.remove(fibre, 0), IsEmpty());
    EXPECT_THAT(edit.remove(fibre, 1), IsEmpty());
    EXPECT_EQ(rowCount(edit.study, fibre), 1u);
    EXPECT_EQ(describe(edit.study, SetCell{fibre, 0, 4, "35"}),
              "Kelp, 2017.16, total, replicate 1, value: 36 → 35");
}

TEST(FibreEdits, RecipesNameFoodsAndPartsThatAreThere) {
    test::TableEditor edit{test::laboratoryStudy()};
    EXPECT_EQ(edit.at(recipes, 0, "label"), "dough");
    EXPECT_EQ(edit.at(recipes, 0, "replaced_share"), "0.5");
    EXPECT_THAT(edit.set(recipes, 0, "food", "rye"), HasSubstr("there is no food"));
    EXPECT_THAT(edit.set(recipes, 0, "by", "kelp"), HasSubstr("the recipe has no part 'kelp'"));
    EXPECT_THAT(edit.set(recipes, 0, "replaced_share", "1.5"), HasSubstr("replaced_share"));
    EXPECT_THAT(edit.set(recipes, 0, "serving_g", "-1"), HasSubstr("serving_g"));
    EXPECT_THAT(edit.set(recipes, 0, "id", "plain"), HasSubstr("is there already"));
    EXPECT_THAT(edit.set(recipes, 0, "baked_mass_g", "60"), IsEmpty());
    EXPECT_THAT(edit.set(recipes, 0, "id", "dough 2"), IsEmpty());
    EXPECT_THAT(edit.remove(recipes, 1), HasSubstr("has parts"));
    EXPECT_THAT(edit.insert(recipes, 0, {"new", "", "drink", "", "", "", "", ""}), IsEmpty());
    EXPECT_THAT(edit.remove(recipes, 0), IsEmpty());
}

TEST(FibreEdits, PartsStandInTheOrderOfTheirRecipes) {
    test::TableEditor edit{test::laboratoryStudy()};
    ASSERT_EQ(rowCount(edit.study, parts), 3u);
    EXPECT_EQ(edit.at(parts, 1, "material"), "starch");
    EXPECT_EQ(edit.at(parts, 2, "recipe"), "plain");
    EXPECT_THAT(edit.set(parts, 0, "recipe", "plain"), HasSubstr("a part stays in its recipe"));
    EXPECT_THAT(edit.set(parts, 0, "material", "starch"), HasSubstr("has 'starch' already"));
    EXPECT_THAT(edit.set(parts, 0, "mass_g", "-2"), HasSubstr("mass_g"));
    EXPECT_THAT(edit.set(parts, 0, "fat_per_100g", "101"), HasSubstr("fat_per_100g"));
    EXPECT_THAT(edit.remove(parts, 1), HasSubstr("needs this part"));
    // What the recipe replaces is another name for the same part.
    EXPECT_THAT(edit.set(parts, 1, "material", "resistant starch"), IsEmpty());
    EXPECT_EQ(edit.study.fibre.recipes[0].by, "resistant starch");
    EXPECT_THAT(edit.set(recipes, 0, "by", ""), IsEmpty());
    EXPECT_THAT(edit.remove(parts, 1), IsEmpty());
}

TEST(FibreEdits, APartThatIsAddedAnywhereComesToItsRecipe) {
    test::TableEditor edit{test::laboratoryStudy()};
    const std::vector<std::string> cells{"dough", "salt", "5", "", "", "", "", ""};
    EXPECT_THAT(edit.insert(parts, 3, cells), IsEmpty());
    EXPECT_EQ(edit.study.fibre.recipes[0].parts[2].material, "salt");
    EXPECT_THAT(edit.insert(parts, 0, {"plain", "salt", "", "", "", "", "", ""}), IsEmpty());
    EXPECT_EQ(edit.study.fibre.recipes[1].parts[0].material, "salt");
    EXPECT_THAT(edit.insert(parts, 0, {"rye", "salt", "", "", "", "", "", ""}), HasSubstr("no recipe 'rye'"));
}

TEST(FibreEdits, SettingsAreThoseThatStudyJsonCanHold) {
    test::TableEditor edit{test::laboratoryStudy()};
    SetFibreSettings set{edit.study.fibre};
    set.settings.results.clear();
    set.settings.region = "us";
    set.settings.targetG = 30;
    set.settings.repeatability = {{"b", 0.3}, {"a", 0.25}};
    set.settings.rules = {builtInFibreRules().front()};
    EXPECT_THAT(edit.make(set), IsEmpty());
    EXPECT_EQ(edit.study.fibre.results.size(), 2u);
    EXPECT_EQ(edit.study.fibre.repeatability[0].method, "a");
    EXPECT_THAT(describe(test::laboratoryStudy(), set), HasSubstr("settings of fibre: region eu → us"));
    set.settings.targetG = -1;
    EXPECT_THAT(edit.make(set), HasSubstr("target_g"));
    set.settings.targetG.reset();
    set.settings.repeatability = {{"a", 0.0}};
    EXPECT_THAT(edit.make(set), HasSubstr("is 0"));
    set.settings.repeatability = {{"a", 0.1}, {"a", 0.2}};
    EXPECT_THAT(edit.make(set), HasSubstr("read back otherwise"));
    set.settings.repeatability.clear();
    set.settings.rules.push_back(set.settings.rules.front());
    EXPECT_THAT(edit.make(set), HasSubstr("appears twice"));
    set.settings.rules.resize(1);
    set.settings.rules[0].source = "";
    EXPECT_THAT(edit.make(set), HasSubstr("source"));
    set.settings.rules.clear();
    set.settings.region = "a\nb";
    EXPECT_THAT(edit.make(set), HasSubstr("control characters"));
}

}  // namespace
}  // namespace aftercurve
