#pragma once

#include <filesystem>
#include <iosfwd>
#include <optional>

#include "ui/headless/commands.h"

namespace CLI {
class App;
}

namespace aftercurve {

/// What `servings` was asked; absent numbers were not given.
struct ServingsArguments {
    double fibrePerServingG = 0.0;
    double targetG = 0.0;
    std::optional<double> servingG;
    std::optional<double> carbohydratePerServingG;  ///< available
    std::optional<double> energyPerServingKj;
    std::filesystem::path csv;  ///< file for the same numbers; empty: none
};

/// Prints how many servings bring the intake of fibre, exactly and as whole servings, and what those bring
/// beside it, as far as it was given. With a file they are written as CSV as well. Numbers that cannot be
/// used go to `messages` and give Exit::usage; a file that cannot be written Exit::unreadable.
Exit runServings(const ServingsArguments& arguments, std::ostream& out, std::ostream& messages);

/// The options of `servings` on a command line.
struct PortionCommands {
    ServingsArguments servings;
    CLI::App* servingsCommand = nullptr;
};

/// Adds the command to the program; `commands` outlives the parsing.
void addPortionCommands(CLI::App& program, PortionCommands& commands);

/// Runs it where it was named; absent where it is another command's turn.
std::optional<Exit> runPortionCommand(const PortionCommands& commands, std::ostream& out,
                                      std::ostream& messages);

}  // namespace aftercurve
