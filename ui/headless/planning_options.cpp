#include "ui/headless/planning_options.h"

#include <CLI/CLI.hpp>

namespace aftercurve {

namespace {

CLI::App* addPower(CLI::App& program, PowerArguments& power) {
    CLI::App* command = program.add_subcommand("power", "Number of subjects, power, or what can be found");
    command->add_option("question", power.question, "What the study is to answer")
        ->required()
        ->check(
            CLI::IsMember({"difference", "foods", "equivalence", "non-inferiority", "interval", "index"}));
    command->add_option("--difference", power.difference, "True difference of two foods");
    command->add_option("--means", power.means, "True means of the foods, comma between")->delimiter(',');
    command->add_option("--foods", power.foods, "Number of foods, with --range");
    command->add_option("--range", power.range, "Largest - smallest true mean, the others halfway between");
    command->add_option("--sd", power.sd, "SD of differences of two foods (index: SD between subjects)");
    command->add_option("--sd-within", power.sdWithin, "SD of repeated visits of one subject");
    command->add_option("--cv", power.cv, "CV within a subject, % (index: between subjects, with --mean)");
    command->add_option("--low", power.low, "Lower limit of equivalence");
    command->add_option("--high", power.high, "Upper limit of equivalence");
    command->add_option("--true", power.expected, "True difference (0) or ratio (1)");
    command->add_option("--limit", power.limit, "Difference or ratio that is just too bad");
    command->add_flag("--ratio", power.ratio, "Compare by ratios, on logarithms");
    command->add_flag("--higher-is-better", power.higherIsBetter, "Higher values are better");
    command->add_flag("--periods", power.periods, "Periods are taken out (crossover, squares)");
    command->add_option("--half-width", power.halfWidth, "Half-width of the interval");
    command->add_option("--mean", power.mean, "Expected mean index, with --cv");
    command->add_option("--assurance", power.assurance, "Probability that the interval is as narrow");
    command->add_option("--alpha", power.alpha,
                        "Level: 0.05 (two-sided; equivalence one-sided), non-inferiority 0.025");
    command->add_option("--comparisons", power.comparisons,
                        "Pairs of foods that share the level (Bonferroni)");
    command->add_option("--power", power.power, "Power to reach (0.8)");
    command->add_option("--n", power.n, "Subjects: gives the power, or what can be found");
    command->add_option("--dropout", power.dropout, "Share that does not complete: 0.1");
    command->add_option("--multiple", power.multipleOf, "Enrol a whole number of these");
    command->add_option("--unit", power.unit, "Unit of the measure, for the sentence");
    command->add_option("--study", power.study, "Earlier study to take the scatter from");
    command->add_option("--spread-from", power.source, "What of it")
        ->check(CLI::IsMember({"model", "repeats", "differences", "log-ratios", "index"}));
    command->add_option("--food", power.food, "Food of the earlier study");
    command->add_option("--analyte", power.analyte, "Analyte of the earlier study");
    command->add_option("--measure", power.measure, "Measure of the earlier study");
    command->add_option("--out", power.out, "Folder for the curve of n against power (CSV)");
    return command;
}

CLI::App* addRandomise(CLI::App& program, RandomiseArguments& randomise) {
    CLI::App* command = program.add_subcommand("randomise", "Draw a schedule: who eats what in which period");
    command->add_option("--foods", randomise.foods, "Foods, comma between")->required()->delimiter(',');
    command->add_option("--subjects", randomise.subjects, "Number of subjects");
    command->add_option("--strata", randomise.strata, "Strata as name:subjects, comma between")
        ->delimiter(',');
    command->add_option("--design", randomise.design, "cyclic, williams (default) or permutations")
        ->check(CLI::IsMember({"cyclic", "williams", "permutations"}));
    command->add_option("--block", randomise.block, "Subjects of a block; default: each sequence once");
    command->add_option("--seed", randomise.seed, "Seed")->required();
    command->add_option("--prefix", randomise.prefix, "Before the subjects' numbers");
    command->add_flag("--sealed", randomise.sealed, "Foods by code, the key in a folder of its own");
    command->add_option("--out", randomise.out, "Folder for the schedule; made where it is missing")
        ->required();
    return command;
}

}  // namespace

void addPlanningCommands(CLI::App& program, PlanningCommands& commands) {
    commands.powerCommand = addPower(program, commands.power);
    commands.randomiseCommand = addRandomise(program, commands.randomise);
    commands.checkCommand = program.add_subcommand("check-schedule", "Count a schedule out; write nothing");
    commands.checkCommand
        ->add_option("file", commands.schedule, "CSV file: a row a subject, or a row a visit")
        ->required();
}

std::optional<Exit> runPlanningCommand(const PlanningCommands& commands, std::ostream& out,
                                       std::ostream& messages) {
    if (commands.powerCommand->parsed()) {
        return runPower(commands.power, out, messages);
    }
    if (commands.randomiseCommand->parsed()) {
        return runRandomise(commands.randomise, out, messages);
    }
    if (commands.checkCommand->parsed()) {
        return runCheckSchedule(commands.schedule, out, messages);
    }
    return std::nullopt;
}

}  // namespace aftercurve
