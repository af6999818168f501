#include "ui/headless/portion_command.h"

#include <CLI/CLI.hpp>
#include <cmath>
#include <ostream>

#include "core/base/number_text.h"
#include "core/files/atomic_write.h"
#include "core/findings/table.h"
#include "core/portion/energy.h"
#include "core/portion/servings.h"

namespace aftercurve {

namespace {

constexpr double largestGiven = 1e6;

/// Refuses a number that no serving can have; false where it did.
bool usable(const std::optional<double>& value, const char* option, bool aboveZero, std::ostream& messages) {
    if (!value ||
        (std::isfinite(*value) && *value <= largestGiven && (aboveZero ? *value > 0.0 : *value >= 0.0))) {
        return true;
    }
    Problem problem;
    problem.what = std::string{option} + " " + plainNumber(*value) + " cannot be used";
    problem.remedy = std::string{"give a number "} + (aboveZero ? "above 0" : "from 0") + ", up to 1000000";
    messages << lineFor(problem) << '\n';
    return false;
}

Column numberOf(const char* key) {
    return {key, key, "", ColumnKind::number, 2, "", {}};
}

Cell cellFor(const std::optional<double>& value) {
    return value ? Cell{*value} : Cell{};
}

/// By the keys of the table `servings`.
Table servingsRow(const ServingsArguments& given, const ServingsForTarget& servings) {
    Table table;
    table.key = "servings";
    for (const char* key : {"fibre_target_g", "serving_g", "serving_fibre_g", "exact", "whole", "grams",
                            "available_carbohydrate_g", "energy_kj"}) {
        table.columns.push_back(numberOf(key));
    }
    Row row;
    row.cells = {given.targetG,
                 cellFor(given.servingG),
                 given.fibrePerServingG,
                 cellFor(servings.exact.value),
                 cellFor(servings.whole),
                 cellFor(servings.grams.value),
                 cellFor(servings.availableCarbohydrateG.value),
                 cellFor(servings.energyKj.value)};
    table.rows.push_back(std::move(row));
    return table;
}

std::string shortNumber(double value) {
    return plainNumber(std::round(value * 1000.0) / 1000.0);
}

void printServings(const ServingsArguments& given, const ServingsForTarget& servings, std::ostream& out) {
    const double whole = servings.whole.value_or(0.0);
    out << plainNumber(given.targetG) << " g of fibre: " << shortNumber(servings.exact.value.value_or(0.0))
        << " servings of " << plainNumber(given.fibrePerServingG) << " g of fibre each, so "
        << plainNumber(whole) << (whole == 1.0 ? " whole serving" : " whole servings") << ".\n";
    const auto line = [&out](const char* what, const PortionValue& value, const char* unit,
                             const char* option) {
        out << what;
        if (value.value) {
            out << shortNumber(*value.value) << ' ' << unit;
        } else {
            out << "not known (" << option << " was not given)";
        }
    };
    line("Food eaten: ", servings.grams, "g", "--serving");
    line("\nAvailable carbohydrate eaten: ", servings.availableCarbohydrateG, "g",
         "--carbohydrate-per-serving");
    line("\nEnergy eaten: ", servings.energyKj, "kJ", "--energy-per-serving");
    if (servings.energyKj.value) {
        out << " (" << fixedNumber(kcalOf(*servings.energyKj.value), 0) << " kcal)";
    }
    out << '\n';
}

}  // namespace

Exit runServings(const ServingsArguments& given, std::ostream& out, std::ostream& messages) {
    const bool usableNumbers =
        usable(given.fibrePerServingG, "--fibre-per-serving", true, messages) &&
        usable(given.targetG, "--target", true, messages) &&
        usable(given.servingG, "--serving", true, messages) &&
        usable(given.carbohydratePerServingG, "--carbohydrate-per-serving", false, messages) &&
        usable(given.energyPerServingKj, "--energy-per-serving", false, messages);
    if (!usableNumbers) {
        return Exit::usage;
    }
    const ServingsForTarget servings = servingsFor(
        given.targetG,
        {given.fibrePerServingG, given.servingG, given.carbohydratePerServingG, given.energyPerServingKj});
    if (!servings.exact.value || !servings.whole) {
        Problem problem;
        problem.what = "no number of servings: " + servings.exact.absentBecause;
        problem.remedy = "check --fibre-per-serving and --target";
        messages << lineFor(problem) << '\n';
        return Exit::usage;
    }
    if (!given.csv.empty()) {
        if (const auto done = writeAtomically(given.csv, asCsv(servingsRow(given, servings))); !done) {
            messages << lineFor(done.problem()) << '\n';
            return Exit::unreadable;
        }
    }
    printServings(given, servings, out);
    return Exit::done;
}

void addPortionCommands(CLI::App& program, PortionCommands& commands) {
    ServingsArguments& servings = commands.servings;
    CLI::App* command = program.add_subcommand("servings", "Servings for an intake of fibre");
    command->add_option("--fibre-per-serving", servings.fibrePerServingG, "Fibre of one serving, g")
        ->required();
    command->add_option("--target", servings.targetG, "Intake of fibre wanted, g")->required();
    command->add_option("--serving", servings.servingG, "Weight of one serving, g");
    command->add_option("--carbohydrate-per-serving", servings.carbohydratePerServingG,
                        "Available carbohydrate of one serving, g");
    command->add_option("--energy-per-serving", servings.energyPerServingKj, "Energy of one serving, kJ");
    command->add_option("--csv", servings.csv, "File for the same numbers (CSV)");
    commands.servingsCommand = command;
}

std::optional<Exit> runPortionCommand(const PortionCommands& commands, std::ostream& out,
                                      std::ostream& messages) {
    if (commands.servingsCommand->parsed()) {
        return runServings(commands.servings, out, messages);
    }
    return std::nullopt;
}

}  // namespace aftercurve
