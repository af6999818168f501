#include "ui/headless/figures_command.h"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <iterator>
#include <ostream>
#include <system_error>

#include "core/base/words.h"
#include "core/figure/figure_check.h"
#include "core/files/atomic_write.h"
#include "core/files/excerpt.h"
#include "core/files/figure_spec_json.h"
#include "ui/figures/write_figures.h"
#include "ui/headless/analysed_study.h"
#include "ui/headless/progress_line.h"

namespace aftercurve {

namespace {

constexpr Words<FigureFormat, 4> formatWords{{{FigureFormat::svg, "svg"},
                                              {FigureFormat::pdf, "pdf"},
                                              {FigureFormat::png, "png"},
                                              {FigureFormat::tiff, "tiff"}}};

Problem problemWith(std::string what, std::string remedy) {
    Problem problem;
    problem.what = std::move(what);
    problem.remedy = std::move(remedy);
    return problem;
}

/// The formats asked for, each once.
Result<std::vector<FigureFormat>> formatsOf(const FiguresArguments& arguments) {
    std::vector<FigureFormat> formats;
    for (const std::string& word : arguments.formats) {
        const auto format = valueIn(formatWords, word);
        if (!format) {
            return problemWith("the format " + quote(word) + " is not known",
                               "use one of " + listOf(formatWords));
        }
        if (std::find(formats.begin(), formats.end(), *format) == formats.end()) {
            formats.push_back(*format);
        }
    }
    if (formats.empty()) {
        formats = {FigureFormat::svg, FigureFormat::pdf, FigureFormat::png};
    }
    for (const FigureFormat format : formats) {
        const std::vector<Problem> wrong =
            validate(FigureStyle{}, FigureExportOptions{format, arguments.dpi});
        if (!wrong.empty()) {
            return wrong.front();
        }
    }
    return formats;
}

/// Those of the ids asked for, in the order of the list.
Result<std::vector<FigureSpec>> chosen(const std::vector<FigureSpec>& all,
                                       const std::vector<std::string>& only) {
    if (only.empty()) {
        return all;
    }
    std::string ids;
    for (const FigureSpec& spec : all) {
        ids += (ids.empty() ? "" : ", ") + spec.id;
    }
    for (const std::string& id : only) {
        if (std::none_of(all.begin(), all.end(), [&](const FigureSpec& spec) { return spec.id == id; })) {
            return problemWith("there is no figure " + quote(id),
                               ids.empty() ? "there are no figures" : "use one of " + ids);
        }
    }
    std::vector<FigureSpec> list;
    std::copy_if(all.begin(), all.end(), std::back_inserter(list), [&](const FigureSpec& spec) {
        return std::find(only.begin(), only.end(), spec.id) != only.end();
    });
    return list;
}

Exit fail(const Problem& problem, Exit exit, std::ostream& messages) {
    messages << lineFor(problem) << '\n';
    return exit;
}

}  // namespace

Exit runFigures(const FiguresArguments& arguments, std::ostream& lines, std::ostream& messages,
                bool terminal) {
    const auto formats = formatsOf(arguments);
    if (!formats) {
        return fail(formats.problem(), Exit::usage, messages);
    }
    std::vector<FigureSpec> given;
    if (!arguments.spec.empty()) {
        auto file = readFigureFile(arguments.spec);
        if (!file) {
            return fail(file.problem(), Exit::unreadable, messages);
        }
        print(file.value().problems, messages);
        given = std::move(file).value().figures;
    }
    const Analysed result = analysed(arguments.study, false, messages, terminal);
    if (!result.ok) {
        return result.exit;
    }
    print(result.findings.problems, messages);
    if (!arguments.spec.empty()) {
        print(figureRemarks(result.study, given), messages);
    }
    const auto figures =
        chosen(arguments.spec.empty() ? figuresOf(result.study, result.findings) : given, arguments.only);
    if (!figures) {
        return fail(figures.problem(), Exit::usage, messages);
    }
    std::error_code failure;
    std::filesystem::create_directories(arguments.out, failure);
    if (failure) {
        return fail(problemWith("the folder " + quote(arguments.out.string()) +
                                    " cannot be made: " + failure.message(),
                                "choose a folder that can be written to"),
                    Exit::unreadable, messages);
    }
    if (!arguments.saveSpec.empty()) {
        if (const auto done = writeFigureFile(arguments.saveSpec, figures.value()); !done) {
            return fail(done.problem(), Exit::unreadable, messages);
        }
    }
    ProgressLine line(messages, terminal);
    const auto written = drawFigures(
        FigureRun{figures.value(), formats.value(), arguments.dpi}, result.study, result.findings,
        [&](const std::string& name, const std::string& bytes) {
            return writeAtomically(arguments.out / name, bytes);
        },
        [&line](double fraction) {
            line.report(fraction, "figures");
            return true;
        });
    if (!written) {
        return fail(written.problem(), Exit::unreadable, messages);
    }
    for (const WrittenFigure& figure : written.value()) {
        for (const std::string& name : figure.files) {
            lines << name << '\n';
        }
    }
    return result.exit;
}

void addFiguresCommand(CLI::App& program, FiguresCommand& command) {
    FiguresArguments& arguments = command.arguments;
    command.command = program.add_subcommand("figures", "Draw the figures of a manuscript");
    command.command->add_option("study", arguments.study, "Study folder (holds study.json)")->required();
    command.command->add_option("--out", arguments.out, "Folder for the figures; made where it is missing")
        ->required();
    command.command->add_option("--spec", arguments.spec,
                                "File of figures to draw in place of the study's own");
    command.command->add_option("--save-spec", arguments.saveSpec,
                                "Write the figures that are drawn here, as a file to alter");
    command.command->add_option("--only", arguments.only, "Id of a figure; repeatable")
        ->delimiter(',')
        ->allow_extra_args(false);
    command.command
        ->add_option("--format", arguments.formats, "Formats, as svg,pdf,png,tiff; the first three else")
        ->delimiter(',')
        ->allow_extra_args(false);
    command.command->add_option("--dpi", arguments.dpi, "Resolution of PNG and TIFF, 72 to 1200; 300 else");
}

std::optional<Exit> runFiguresCommand(const FiguresCommand& command, std::ostream& lines,
                                      std::ostream& messages, bool terminal) {
    if (command.command->parsed()) {
        return runFigures(command.arguments, lines, messages, terminal);
    }
    return std::nullopt;
}

}  // namespace aftercurve
