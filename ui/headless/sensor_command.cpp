#include "ui/headless/sensor_command.h"

#include <CLI/CLI.hpp>
#include <ostream>
#include <system_error>

#include "core/base/progress_part.h"
#include "core/edit/save_study.h"
#include "core/files/excerpt.h"
#include "core/files/problem_list.h"
#include "core/findings/rounded_words.h"
#include "core/sensor/sensor_study.h"
#include "ui/headless/progress_line.h"

namespace aftercurve {

namespace {

void print(const std::vector<Problem>& problems, std::ostream& messages) {
    for (const Problem& problem : problems) {
        messages << lineFor(problem) << '\n';
    }
}

SensorCutOptions cutOptionsOf(const SensorCommand& command) {
    SensorCutOptions options;
    options.smoothing.kind = sensorSmoothingFrom(command.smooth).value_or(SensorSmoothing::none);
    options.smoothing.readings = command.windowReadings;
    options.smoothing.bandwidthMin = command.bandwidthMin;
    options.smoothing.maxGapMin = command.maxGapMin;
    options.beforeMin = command.beforeMin;
    options.afterMin = command.afterMin;
    options.leaveOutGaps = command.leaveOutGaps;
    options.leaveOutShortened = command.leaveOutShortened;
    return options;
}

std::optional<DateOrder> dateOrderOf(const SensorCommand& command) {
    if (command.dateOrder.empty()) {
        return std::nullopt;
    }
    return command.dateOrder == "day-month" ? DateOrder::dayMonth : DateOrder::monthDay;
}

/// The two files, as far as they can be read.
struct SensorFiles {
    SensorReadingsRead readings;
    MealMarksRead meals;
};

std::optional<SensorFiles> readFiles(const SensorCommand& command, const Progress& progress,
                                     std::vector<Problem>& problems) {
    SensorFiles files;
    const Result<Source> meals = openSource(command.meals);
    if (!meals) {
        problems.push_back(meals.problem());
    } else {
        MealMarkOptions options;
        options.dateOrder = dateOrderOf(command);
        files.meals = readMealMarks(meals.value(), options);
        problems.insert(problems.end(), files.meals.problems.begin(), files.meals.problems.end());
    }
    const Result<Source> readings = openSource(command.readings);
    if (!readings) {
        problems.push_back(readings.problem());
    } else {
        SensorReadOptions options;
        options.unit = command.unit;
        options.dateOrder = dateOrderOf(command);
        files.readings = readSensorReadings(readings.value(), options, progress);
        problems.insert(problems.end(), files.readings.problems.begin(), files.readings.problems.end());
    }
    return files.meals.marks && files.readings.readings ? std::optional{std::move(files)} : std::nullopt;
}

}  // namespace

void addSensorCommand(CLI::App& program, SensorCommand& command) {
    CLI::App* cut = program.add_subcommand(
        "cut-sensor", "Cut the readings of a glucose sensor into curves of a new study, around marked meals");
    command.command = cut;
    cut->add_option("readings", command.readings, "Readings: subject, timestamp, glucose")->required();
    cut->add_option("--meals", command.meals, "Meals: subject, timestamp, food, perhaps visit")->required();
    cut->add_option("--out", command.out, "Folder of the new study; must not be there")->required();
    cut->add_option("--smooth", command.smooth, "Smoothing: none, median or line")
        ->check(CLI::IsMember({"none", "median", "line"}))
        ->capture_default_str();
    cut->add_option("--readings", command.windowReadings, "Readings of the running median, odd")
        ->capture_default_str();
    cut->add_option("--bandwidth", command.bandwidthMin, "Half width of the local line, min")
        ->capture_default_str();
    cut->add_option("--before", command.beforeMin, "Minutes before the meal")->capture_default_str();
    cut->add_option("--after", command.afterMin, "Minutes after the meal")->capture_default_str();
    cut->add_option("--max-gap", command.maxGapMin, "Longest time between readings that is no gap, min")
        ->capture_default_str();
    cut->add_flag("--leave-out-gaps", command.leaveOutGaps, "Leave curves with a gap out");
    cut->add_flag("--leave-out-shortened", command.leaveOutShortened,
                  "Leave meals out that are followed by another before the end");
    cut->add_option("--unit", command.unit,
                    "Unit of the study, and of the readings where their file does not say: mmol/L, mg/dL");
    cut->add_option("--date-order", command.dateOrder,
                    "Order of dates that do not begin with the year: day-month or month-day")
        ->check(CLI::IsMember({"day-month", "month-day"}));
    cut->add_option("--reference", command.reference, "Food that is the reference of the study");
    cut->add_option("--title", command.title, "Title of the study");
}

Exit runCutSensor(const SensorCommand& command, std::ostream& out, std::ostream& messages, bool terminal) {
    const SensorCutOptions options = cutOptionsOf(command);
    if (const auto fault = validate(options)) {
        messages << lineFor(*fault) << '\n';
        return Exit::usage;
    }
    std::error_code error;
    if (std::filesystem::symlink_status(command.out, error).type() != std::filesystem::file_type::not_found) {
        messages << lineFor(problemAt(
                        {}, 0, {}, printable(command.out.string()) + " is there already; nothing is written",
                        "choose a folder that is not there"))
                 << '\n';
        return Exit::unreadable;
    }
    std::vector<Problem> problems;
    std::optional<SensorFiles> files;
    std::optional<Result<SensorCurves>> curves;
    {
        ProgressLine line(messages, terminal);
        const Progress progress = [&line](double share, std::string_view stage) {
            line.report(share, stage);
            return true;
        };
        files = readFiles(command, partOf(progress, 0.0, 0.7), problems);
        if (files) {
            curves = sensorCurves(*files->readings.readings, *files->meals.marks, options,
                                  partOf(progress, 0.7, 1.0));
        }
    }
    print(problems, messages);
    if (!curves) {
        return Exit::unreadable;
    }
    if (!curves->ok()) {
        messages << lineFor(curves->problem()) << '\n';
        return Exit::unreadable;
    }
    const SensorCurves& cut = curves->value();
    print(cut.problems, messages);
    SensorStudyOptions how;
    how.title = command.title;
    how.reference = command.reference;
    const Result<Study> study = studyOfSensorCurves(cut, options, how);
    if (!study) {
        messages << lineFor(study.problem()) << '\n';
        return Exit::unreadable;
    }
    if (const Result<Done> done = writeNewStudy(command.out, study.value()); !done) {
        messages << lineFor(done.problem()) << '\n';
        return Exit::unreadable;
    }
    out << "study written: " << printable(command.out.string()) << '\n'
        << countedWords(readingCount(*files->readings.readings), "reading") << " of "
        << countedWords(files->readings.readings->traces.size(), "subject") << ", "
        << countedWords(cut.curves.size(), "meal") << ", " << countedWords(cut.used, "curve") << " with "
        << countedWords(study.value().draws.size(), "reading") << '\n';
    const bool partly = errorCount(problems) + errorCount(cut.problems) > 0;
    return partly ? Exit::partly : Exit::done;
}

std::optional<Exit> runSensorCommand(const SensorCommand& command, std::ostream& out, std::ostream& messages,
                                     bool terminal) {
    if (command.command == nullptr || !command.command->parsed()) {
        return std::nullopt;
    }
    return runCutSensor(command, out, messages, terminal);
}

}  // namespace aftercurve
