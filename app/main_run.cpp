// The headless program. It needs no display: figures are drawn on Qt's offscreen platform.
#include <unistd.h>

#include <CLI/CLI.hpp>
#include <QApplication>
#include <QDate>
#include <iostream>
#include <string>

#include "core/base/caution.h"
#include "core/base/version.h"
#include "core/publish/table_formats.h"
#include "ui/headless/bundle_command.h"
#include "ui/headless/commands.h"
#include "ui/headless/figures_command.h"
#include "ui/headless/import_command.h"
#include "ui/headless/planning_options.h"
#include "ui/headless/portion_command.h"
#include "ui/headless/recipe_command.h"
#include "ui/headless/register_command.h"
#include "ui/headless/report_command.h"
#include "ui/headless/sensor_command.h"

namespace {

/// stderr belongs to the problems; Qt's remarks on the machine's set-up would only hide them.
void dropRemarks(QtMsgType type, const QMessageLogContext& /*context*/, const QString& text) {
    if (type == QtCriticalMsg || type == QtFatalMsg) {
        std::cerr << "error: " << text.toStdString() << '\n';
    }
}

}  // namespace

int main(int argc, char** argv) {
    using namespace aftercurve;
    CLI::App program{"Aftercurve without a window: areas, comparisons and index of a feeding study.\n" +
                     std::string{cautionText()}};
    program.name("aftercurve-run");
    program.set_version_flag("--version",
                             std::string{versionText()} + " (" + std::string{revisionText()} + ")");
    program.require_subcommand(1);
    program.footer(
        "Exit status: 0 done, 2 wrong usage, 3 the study cannot be read or is invalid, 4 some part could not "
        "be "
        "estimated (the rest is written), or a bundle's findings differ.");

    AnalyseArguments arguments;
    std::string study;
    std::string out;
    bool noFigures = false;
    CLI::App* analyse = program.add_subcommand("analyse", "Write results.json, tables, figures and a report");
    analyse->add_option("study", study, "Study folder (holds study.json)")->required();
    analyse->add_option("--out", out, "Folder for the results; made where it is missing")->required();
    analyse->add_flag("--no-figures", noFigures, "Leave the figures out");
    analyse->add_flag("--ignore-exclusions", arguments.ignoreExclusions,
                      "Run as if the study had no exclusions; the results say so");
    const CLI::Validator knownFormat(
        [](const std::string& key) {
            return findTableFormat(key) == nullptr ? "choose of " + tableFormatKeys() : std::string{};
        },
        tableFormatKeys(), "format of tables");
    analyse
        ->add_option("--table-formats", arguments.tableFormats,
                     "Write the tables in these formats too, as xlsx,tex")
        ->delimiter(',')
        ->allow_extra_args(false)
        ->check(knownFormat);
    TablesArguments tables;
    CLI::App* writeTablesOf = program.add_subcommand("tables", "Write tables for a manuscript");
    writeTablesOf->add_option("study", tables.study, "Study folder (holds study.json)")->required();
    writeTablesOf->add_option("--out", tables.out, "Folder for the tables; made where it is missing")
        ->required();
    writeTablesOf
        ->add_option("--format", tables.request.formats, "Formats, as xlsx,tex; xlsx where none is given")
        ->delimiter(',')
        ->allow_extra_args(false)
        ->check(knownFormat);
    writeTablesOf
        ->add_option("--table", tables.request.tables,
                     "Key of a table; repeatable; all that have rows where none is given")
        ->delimiter(',')
        ->allow_extra_args(false);
    CLI::App* check = program.add_subcommand("check", "Print the study's problems; write nothing");
    check->add_option("study", study, "Study folder (holds study.json)")->required();
    ImportArguments import;
    CLI::App* takeIn =
        program.add_subcommand("import", "Turn files of a laboratory into a study folder, by a mapping");
    takeIn->add_option("files", import.files, "Delimited texts and workbooks, in the order of the mapping")
        ->required();
    CLI::Option* importOut = takeIn->add_option("--out", import.out, "Folder of the new study");
    takeIn->add_option("--mapping", import.mapping,
                       "Mapping to use; guessed and printed where none is given");
    takeIn->add_option("--save-mapping", import.saveMapping,
                       "Write the mapping here, also where questions are open, to be filled in");
    takeIn
        ->add_option("--sheet", import.sheets, "Read only sheets of this name ('*' for any text); repeatable")
        ->allow_extra_args(false);
    takeIn->add_option("--title", import.title, "Title of the study");
    takeIn->add_flag("--dry-run", import.dryRun, "Write no study")->excludes(importOut);
    takeIn->callback([&import, importOut] {
        if (!import.dryRun && importOut->count() == 0) {
            throw CLI::RequiredError("--out (or --dry-run)");
        }
    });
    CLI::App* history =
        program.add_subcommand("history", "Print what was changed, by whom and why; check that it is whole");
    history->add_option("study", study, "Study folder (holds study.json)")->required();
    RegisterArguments registration;
    registration.on = QDate::currentDate().toString(Qt::ISODate).toStdString();
    CLI::App* registerPlan = program.add_subcommand(
        "register", "Register the study's plan as it stands: date, hash and ledger entry");
    registerPlan->add_option("study", registration.study, "Study folder (holds study.json)")->required();
    registerPlan->add_option("--by", registration.by, "Code of the person who registers it")->required();
    registerPlan->add_option("--on", registration.on, "Date, as 2026-03-02; today where none is given");
    registerPlan->add_option("--note", registration.note, "Where it is deposited, or why it is amended");
    BundleArguments bundleArguments;
    bundleArguments.date = registration.on;
    CLI::App* bundle = program.add_subcommand(
        "bundle", "Write study, results, figures, licence and hashes as one folder or zip file");
    bundle->add_option("study", bundleArguments.study, "Study folder (holds study.json)")->required();
    bundle->add_option("--out", bundleArguments.out, "New folder, or a file that ends with .zip")->required();
    bundle->add_option("--licence", bundleArguments.licence, "Text of the licence, or a file with it");
    bundle->add_option("--date", bundleArguments.date, "Date, as 2026-03-02; today where none is given");
    bundle->add_option("--creator", bundleArguments.creator, "Code of the person who makes it");
    bundle->add_flag("--anyway", bundleArguments.anyway,
                     "Although columns look as if they identified people");
    std::string verified;
    std::string verifyJson;
    CLI::App* verify = program.add_subcommand(
        "verify", "Check a bundle: hashes, and whether the same findings come of its study");
    verify->add_option("bundle", verified, "Folder or zip file")->required();
    verify->add_option("--json", verifyJson, "Write the report here too");
    PlanningCommands planning;
    addPlanningCommands(program, planning);
    PortionCommands portions;
    addPortionCommands(program, portions);
    RecipeCommand recipe;
    addRecipeCommand(program, recipe);
    SensorCommand sensor;
    addSensorCommand(program, sensor);
    ReportCommand report;
    addReportCommand(program, report);
    FiguresCommand figures;
    addFiguresCommand(program, figures);

    try {
        program.parse(argc, argv);
    } catch (const CLI::ParseError& e) {
        return program.exit(e) == 0 ? static_cast<int>(Exit::done) : static_cast<int>(Exit::usage);
    }
    const bool terminal = isatty(STDERR_FILENO) == 1;
    if (check->parsed()) {
        return static_cast<int>(runCheck(study, std::cerr, terminal));
    }
    if (verify->parsed()) {
        return static_cast<int>(runVerify(verified, verifyJson, std::cout, std::cerr, terminal));
    }
    if (writeTablesOf->parsed()) {
        return static_cast<int>(runTables(tables, std::cout, std::cerr, terminal));
    }
    if (takeIn->parsed()) {
        return static_cast<int>(runImport(import, std::cout, std::cerr, terminal));
    }
    if (registerPlan->parsed()) {
        return static_cast<int>(runRegister(registration, std::cout, std::cerr));
    }
    if (const auto planned = runPlanningCommand(planning, std::cout, std::cerr)) {
        return static_cast<int>(*planned);
    }
    if (const auto counted = runPortionCommand(portions, std::cout, std::cerr)) {
        return static_cast<int>(*counted);
    }
    if (const auto held = runRecipeCommand(recipe, std::cout, std::cerr)) {
        return static_cast<int>(*held);
    }
    if (const auto cut = runSensorCommand(sensor, std::cout, std::cerr, terminal)) {
        return static_cast<int>(*cut);
    }
    if (history->parsed()) {
        return static_cast<int>(runHistory(study, std::cout, std::cerr));
    }
    qputenv("QT_QPA_PLATFORM", "offscreen");
    qInstallMessageHandler(dropRemarks);
    const QApplication application(argc, argv);
    if (bundle->parsed()) {
        return static_cast<int>(runBundle(bundleArguments, std::cout, std::cerr, terminal));
    }
    if (const auto reported = runReportCommand(report, std::cout, std::cerr, terminal)) {
        return static_cast<int>(*reported);
    }
    if (const auto drawn = runFiguresCommand(figures, std::cout, std::cerr, terminal)) {
        return static_cast<int>(*drawn);
    }
    arguments.study = study;
    arguments.out = out;
    arguments.figures = !noFigures;
    return static_cast<int>(runAnalyse(arguments, std::cerr, terminal));
}
