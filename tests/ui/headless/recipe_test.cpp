// `aftercurve-run recipe`: numbers by hand, what is not known, and what it refuses.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <CLI/CLI.hpp>
#include <sstream>

#include "tests/support/study_files.h"
#include "ui/headless/recipe_command.h"

namespace aftercurve {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;
using testing::StartsWith;

constexpr const char* samples = "subject,food,time_min,glucose\n01,drink,0,4.5\n01,drink,30,6.5\n";

/// 100 g of flour (4 % fibre), half of it as bran (40 %): 4 and 22 g in 100 g.
constexpr const char* recipes = R"(, "fibre": {"target_g": 11}, "recipes": [{"id": "loaf", "label": "Loaf",
 "parts": [{"material": "flour", "mass_g": 100, "fibre_g": 4, "available_carbohydrate_g": 70},
           {"material": "bran", "mass_g": 0, "fibre_g": 40, "available_carbohydrate_g": 20}],
 "serving_g": 50, "replace": "flour", "by": "bran", "share": 0.5}])";

struct Said {
    Exit exit = Exit::done;
    std::string out;
    std::string messages;
};

Said recipe(const RecipeArguments& arguments) {
    std::ostringstream out;
    std::ostringstream messages;
    const Exit exit = runRecipe(arguments, out, messages);
    return {exit, out.str(), messages.str()};
}

TEST(HeadlessRecipe, BeforeAndAfterSideBySide) {
    const test::StudyFiles files(samples, test::smallStudyJson(recipes));
    const Said said = recipe({files.folder.path(), {}});
    EXPECT_EQ(said.exit, Exit::done);
    EXPECT_THAT(said.messages, IsEmpty());
    EXPECT_THAT(said.out, StartsWith("Loaf: as it is made -> 50 % of flour as bran\n"
                                     "  fibre (g) in 100 g: 4.00 -> 22.00\n"
                                     "  fibre (g) in a serving: 2.00 -> 11.00\n"
                                     "  available carbohydrate (g) in 100 g: 70.0 -> 45.0\n"
                                     "  available carbohydrate (g) in a serving: 35.0 -> 22.5\n"));
    EXPECT_THAT(said.out, HasSubstr("energy (kJ) in 100 g: not known: "));
    EXPECT_THAT(said.out, HasSubstr("  servings for 11 g of fibre: 6 -> 1\n"));
    EXPECT_THAT(said.out, HasSubstr("competent authority"));
}

TEST(HeadlessRecipe, TheTableAsCsv) {
    const test::StudyFiles files(samples, test::smallStudyJson(recipes));
    const Said said = recipe({files.folder.path(), files.folder.path() / "recipes.csv"});
    EXPECT_EQ(said.exit, Exit::done);
    const std::string csv = files.folder.read("recipes.csv");
    EXPECT_THAT(csv, StartsWith("recipe,food,state,raw_g [g],product_g [g],"));
    EXPECT_THAT(csv, HasSubstr("\nLoaf,,50 % of flour as bran,100,100,0,50,22,22,11,45,45,22.5,"));
    EXPECT_EQ(recipe({files.folder.path(), files.folder.path() / "none" / "recipes.csv"}).exit,
              Exit::unreadable);
}

TEST(HeadlessRecipe, NoRecipeAndNoStudy) {
    const test::StudyFiles files(samples, test::smallStudyJson());
    EXPECT_EQ(recipe({files.folder.path(), {}}).exit, Exit::unreadable);
    EXPECT_THAT(recipe({files.folder.path(), {}}).messages, HasSubstr("the study has no recipe"));
    EXPECT_EQ(recipe({files.folder.path() / "none", {}}).exit, Exit::unreadable);
}

TEST(HeadlessRecipe, OptionsOfTheCommandLine) {
    const test::StudyFiles files(samples, test::smallStudyJson(recipes));
    CLI::App program;
    RecipeCommand command;
    addRecipeCommand(program, command);
    program.parse("recipe " + files.folder.path().string());
    std::ostringstream out;
    std::ostringstream messages;
    EXPECT_EQ(runRecipeCommand(command, out, messages), Exit::done);
    EXPECT_THAT(out.str(), HasSubstr("Loaf"));
}

}  // namespace
}  // namespace aftercurve
