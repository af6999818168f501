// The headless program. It needs no display: figures are drawn on Qt's offscreen platform.
#include <unistd.h>

#include <CLI/CLI.hpp>
#include <QApplication>
#include <iostream>
#include <string>

#include "core/base/caution.h"
#include "core/base/version.h"
#include "ui/headless/commands.h"

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
        "estimated (the rest is written).");

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
    CLI::App* check = program.add_subcommand("check", "Print the study's problems; write nothing");
    check->add_option("study", study, "Study folder (holds study.json)")->required();
    CLI::App* history =
        program.add_subcommand("history", "Print what was changed, by whom and why; check that it is whole");
    history->add_option("study", study, "Study folder (holds study.json)")->required();

    try {
        program.parse(argc, argv);
    } catch (const CLI::ParseError& e) {
        return program.exit(e) == 0 ? static_cast<int>(Exit::done) : static_cast<int>(Exit::usage);
    }
    const bool terminal = isatty(STDERR_FILENO) == 1;
    if (check->parsed()) {
        return static_cast<int>(runCheck(study, std::cerr, terminal));
    }
    if (history->parsed()) {
        return static_cast<int>(runHistory(study, std::cout, std::cerr));
    }
    qputenv("QT_QPA_PLATFORM", "offscreen");
    qInstallMessageHandler(dropRemarks);
    const QApplication application(argc, argv);
    arguments.study = study;
    arguments.out = out;
    arguments.figures = !noFigures;
    return static_cast<int>(runAnalyse(arguments, std::cerr, terminal));
}
