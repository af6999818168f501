#pragma once

#include <filesystem>
#include <iosfwd>
#include <optional>
#include <string>

#include "ui/headless/commands.h"

namespace CLI {
class App;
}

namespace aftercurve {

/// The command cut-sensor as it was given.
struct SensorCommand {
    CLI::App* command = nullptr;
    std::filesystem::path readings;
    std::filesystem::path meals;
    std::filesystem::path out;  ///< folder of the new study
    std::string smooth = "none";
    int windowReadings = 5;
    double bandwidthMin = 20.0;
    double beforeMin = 30.0;
    double afterMin = 180.0;
    double maxGapMin = 20.0;
    bool leaveOutGaps = false;
    bool leaveOutShortened = false;
    std::string unit;
    std::string dateOrder;  ///< "day-month", "month-day"; empty: dates begin with the year
    std::string reference;
    std::string title;
};

/// Adds the command to the program; `command` outlives it.
void addSensorCommand(CLI::App& program, SensorCommand& command);

/// Reads the two files, cuts the readings around the meals and writes a new study folder. The folder must not
/// be there. Problems go to `messages`, one a line, the summary to `out`. Exit::unreadable where nothing is
/// written, Exit::usage where an option cannot be used, Exit::partly where rows or meals were left out as
/// errors and the rest is written.
Exit runCutSensor(const SensorCommand& command, std::ostream& out, std::ostream& messages, bool terminal);

/// The same where the command was given; nothing where it was not.
std::optional<Exit> runSensorCommand(const SensorCommand& command, std::ostream& out, std::ostream& messages,
                                     bool terminal);

}  // namespace aftercurve
