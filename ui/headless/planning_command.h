#pragma once

#include <cstdint>
#include <filesystem>
#include <iosfwd>
#include <optional>
#include <string>
#include <vector>

#include "ui/headless/commands.h"

namespace aftercurve {

/// What `power` was asked; absent numbers were not given.
struct PowerArguments {
    std::string question;  ///< difference, foods, equivalence, non-inferiority, interval, index
    std::optional<double> difference;
    std::vector<double> means;
    std::optional<double> range;
    std::size_t foods = 0;
    std::optional<double> sd;
    std::optional<double> sdWithin;
    std::optional<double> cv;
    std::optional<double> low;
    std::optional<double> high;
    std::optional<double> expected;
    std::optional<double> limit;
    bool ratio = false;
    bool higherIsBetter = false;
    bool periods = false;
    std::optional<double> halfWidth;
    std::optional<double> mean;
    std::optional<double> assurance;
    std::optional<double> alpha;
    std::size_t comparisons = 1;
    std::optional<double> power;
    std::optional<std::size_t> n;
    double dropout = 0.0;
    std::size_t multipleOf = 1;
    std::string unit;
    std::filesystem::path study;  ///< earlier study; empty: none
    std::string analyte;
    std::string measure;
    std::string source;  ///< word of a SpreadSource; empty: the first that fits the question
    std::string food;
    std::filesystem::path out;  ///< folder for power_curve.csv; empty: none
};

/// Prints the answer as a sentence to `out`: without n the number of subjects; with n the power, or, where
/// the effect was not given, the effect that can be found. With a folder the curve is written as CSV. Wrong
/// or missing numbers go to `messages` and give Exit::usage; a number of subjects that cannot be found gives
/// Exit::partly; an earlier study that cannot be read Exit::unreadable.
Exit runPower(const PowerArguments& arguments, std::ostream& out, std::ostream& messages);

struct RandomiseArguments {
    std::vector<std::string> foods;
    std::size_t subjects = 0;         ///< without strata
    std::vector<std::string> strata;  ///< "name:subjects"
    std::string design = "williams";
    std::size_t block = 0;
    std::uint64_t seed = 1;
    std::string prefix;
    bool sealed = false;
    std::filesystem::path out;
};

/// Draws a schedule and writes its files (core/planning/schedule_files.h); prints what was written and the
/// check of its balance to `out`. Faulty options give Exit::usage, a folder that cannot be written to
/// Exit::unreadable; nothing else is written then.
Exit runRandomise(const RandomiseArguments& arguments, std::ostream& out, std::ostream& messages);

/// Prints the counts of a given schedule to `out` and what is unbalanced to `messages`. Writes nothing.
Exit runCheckSchedule(const std::filesystem::path& file, std::ostream& out, std::ostream& messages);

}  // namespace aftercurve
