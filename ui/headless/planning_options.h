#pragma once

#include "ui/headless/planning_command.h"

namespace CLI {
class App;
}

namespace aftercurve {

/// The options of `power`, `randomise` and `check-schedule` on a command line.
struct PlanningCommands {
    PowerArguments power;
    RandomiseArguments randomise;
    std::filesystem::path schedule;
    CLI::App* powerCommand = nullptr;
    CLI::App* randomiseCommand = nullptr;
    CLI::App* checkCommand = nullptr;
};

/// Adds the three commands to the program; `commands` outlives the parsing.
void addPlanningCommands(CLI::App& program, PlanningCommands& commands);

/// Runs the one that was named; absent where it is another command's turn.
std::optional<Exit> runPlanningCommand(const PlanningCommands& commands, std::ostream& out,
                                       std::ostream& messages);

}  // namespace aftercurve
