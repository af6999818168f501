#include "ui/headless/report_command.h"

#include <CLI/CLI.hpp>

namespace aftercurve {

void addReportCommand(CLI::App& program, ReportCommand& command) {
    CLI::App* app = program.add_subcommand("report", "Write the report of a study alone, as HTML and PDF");
    command.command = app;
    ReportArguments& arguments = command.arguments;
    app->add_option("study", arguments.study, "Study folder (holds study.json)")->required();
    app->add_option("--out", arguments.out, "Folder for the report; made where it is missing")->required();
    app->add_option("--date", arguments.date, "Date that it bears, as 2026-03-02; none where none is given");
    app->add_flag("--html", arguments.html, "Only report.html");
    app->add_flag("--pdf", arguments.pdf, "Only report.pdf; with --html both");
    app->add_flag("--no-figures", command.noFigures, "Leave the figures out");
}

std::optional<Exit> runReportCommand(const ReportCommand& command, std::ostream& lines,
                                     std::ostream& messages, bool terminal) {
    if (command.command == nullptr || !command.command->parsed()) {
        return std::nullopt;
    }
    ReportArguments arguments = command.arguments;
    arguments.figures = !command.noFigures;
    return runReport(arguments, lines, messages, terminal);
}

}  // namespace aftercurve
