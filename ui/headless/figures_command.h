#pragma once

#include <filesystem>
#include <iosfwd>
#include <optional>
#include <string>
#include <vector>

#include "ui/headless/commands.h"

namespace CLI {
class App;
}

namespace aftercurve {

/// What `figures` was asked.
struct FiguresArguments {
    std::filesystem::path study;
    std::filesystem::path out;
    std::filesystem::path spec;             ///< file of figures; empty: the study's own, or the default ones
    std::filesystem::path saveSpec;         ///< writes the figures drawn here, to be altered; empty: nowhere
    std::vector<std::string> only = {};     ///< ids; empty: all
    std::vector<std::string> formats = {};  ///< svg, pdf, png, tiff; empty: svg, pdf and png
    int dpi = 300;                          ///< of png and tiff
};

/// Reads and analyses the study and draws its figures alone into `out`, one file a figure and format. Prints
/// the names written to `lines`. Exit::usage: a format or id that there is not, a resolution out of range;
/// Exit::unreadable: the study or the file of figures cannot be read, or a file cannot be written. What the
/// figures ask for and the study does not have is a warning. Needs a QApplication.
Exit runFigures(const FiguresArguments& arguments, std::ostream& lines, std::ostream& messages,
                bool terminal);

/// The options of `figures` on a command line.
struct FiguresCommand {
    FiguresArguments arguments;
    CLI::App* command = nullptr;
};

/// Adds the command to the program; `command` outlives the parsing.
void addFiguresCommand(CLI::App& program, FiguresCommand& command);

/// Runs it where it was named; absent where it is another command's turn.
std::optional<Exit> runFiguresCommand(const FiguresCommand& command, std::ostream& lines,
                                      std::ostream& messages, bool terminal);

}  // namespace aftercurve
