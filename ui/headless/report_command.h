#pragma once

#include <iosfwd>
#include <optional>

#include "ui/headless/commands.h"

namespace CLI {
class App;
}

namespace aftercurve {

/// The command report as it was given.
struct ReportCommand {
    CLI::App* command = nullptr;
    ReportArguments arguments;
    bool noFigures = false;
};

/// Adds the command to the program; `command` outlives it.
void addReportCommand(CLI::App& program, ReportCommand& command);

/// runReport where the command was given; nothing where it was not. Needs a QApplication.
std::optional<Exit> runReportCommand(const ReportCommand& command, std::ostream& lines,
                                     std::ostream& messages, bool terminal);

}  // namespace aftercurve
