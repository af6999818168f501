#pragma once

#include <filesystem>
#include <iosfwd>
#include <optional>

#include "ui/headless/commands.h"

namespace CLI {
class App;
}

namespace aftercurve {

struct RecipeArguments {
    std::filesystem::path study;
    std::filesystem::path csv;  ///< file for the table `recipes`; empty: none
};

/// Prints what each recipe of a study holds in 100 g and in a serving, as it is made and with its part
/// replaced, side by side; what is not known says why. With a file the table `recipes` is written as CSV.
/// Problems of fibre and recipes go to `messages`. A study that cannot be read, or has no recipe:
/// Exit::unreadable.
Exit runRecipe(const RecipeArguments& arguments, std::ostream& out, std::ostream& messages);

/// The options of `recipe` on a command line.
struct RecipeCommand {
    RecipeArguments arguments;
    CLI::App* command = nullptr;
};

/// Adds the command to the program; `recipe` outlives the parsing.
void addRecipeCommand(CLI::App& program, RecipeCommand& recipe);

/// Runs it where it was named; absent where it is another command's turn.
std::optional<Exit> runRecipeCommand(const RecipeCommand& recipe, std::ostream& out, std::ostream& messages);

}  // namespace aftercurve
