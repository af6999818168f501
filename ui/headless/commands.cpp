#include "ui/headless/commands.h"

#include <ostream>
#include <system_error>

#include "core/files/atomic_write.h"
#include "core/files/ledger.h"
#include "core/findings/write_results.h"
#include "ui/figures/write_figures.h"
#include "ui/headless/analysed_study.h"
#include "ui/headless/progress_line.h"
#include "ui/report/report_draft.h"

namespace aftercurve {

namespace {

/// What was not written, and the status that says so.
Exit failed(const Problem& problem, std::ostream& messages) {
    messages << lineFor(problem) << '\n';
    return Exit::unreadable;
}

/// Writes the report of an analysed study. `pictures`: of its figures where they are drawn already.
Result<std::vector<ReportFile>> writeReport(const Analysed& source, const ReportRequest& request,
                                            std::vector<ReportPicture> pictures,
                                            const std::filesystem::path& out, std::ostream& messages,
                                            bool terminal) {
    auto drafted = draftReport(source.study, source.findings, request);
    if (!drafted) {
        return drafted.problem();
    }
    ReportDraft draft = std::move(drafted).value();
    draft.pictures = std::move(pictures);
    {
        ProgressLine line(messages, terminal);
        const auto drawn =
            drawReport(draft, source.study, source.findings, [&line](double share, std::string_view) {
                line.report(share, "report");
                return true;
            });
        if (!drawn) {
            return drawn.problem();
        }
    }
    std::vector<ReportFile> files = reportFiles(draft);
    for (const ReportFile& file : files) {
        if (const auto done = writeAtomically(out / file.name, file.bytes); !done) {
            return done.problem();
        }
    }
    return files;
}

}  // namespace

Exit runAnalyse(const AnalyseArguments& arguments, std::ostream& messages, bool terminal) {
    const Analysed result = analysed(arguments.study, arguments.ignoreExclusions, messages, terminal);
    if (!result.ok) {
        return result.exit;
    }
    print(result.findings.problems, messages);
    if (const auto written = writeResults(result.study, result.findings, arguments.out); !written.ok()) {
        return failed(written.problem(), messages);
    }
    if (!arguments.tableFormats.empty()) {
        const auto tables = writeTables(result.study, result.findings, {arguments.tableFormats, {}},
                                        arguments.out / "tables");
        if (!tables.ok()) {
            return failed(tables.problem(), messages);
        }
    }
    std::vector<ReportPicture> pictures;
    if (arguments.figures) {
        ProgressLine line(messages, terminal);
        auto figures = writeFigures(result.study, result.findings, arguments.out / "figures",
                                    [&line](double fraction) { line.report(fraction, "figures"); });
        if (!figures.ok()) {
            return failed(figures.problem(), messages);
        }
        for (WrittenFigure& figure : std::move(figures).value()) {
            pictures.push_back({std::move(figure.svg), {}});
        }
    }
    ReportRequest request;
    request.figures = arguments.figures;
    if (const auto report =
            writeReport(result, request, std::move(pictures), arguments.out, messages, terminal);
        !report) {
        return failed(report.problem(), messages);
    }
    return result.exit;
}

Exit runTables(const TablesArguments& arguments, std::ostream& lines, std::ostream& messages, bool terminal) {
    if (const auto fault = checkedRequest(arguments.request); !fault.ok()) {
        messages << lineFor(fault.problem()) << '\n';
        return Exit::usage;
    }
    const Analysed result = analysed(arguments.study, false, messages, terminal);
    if (!result.ok) {
        return result.exit;
    }
    print(result.findings.problems, messages);
    const auto written = writeTables(result.study, result.findings, arguments.request, arguments.out);
    if (!written.ok()) {
        messages << lineFor(written.problem()) << '\n';
        return Exit::unreadable;
    }
    for (const std::string& name : written.value()) {
        lines << name << '\n';
    }
    return result.exit;
}

Exit runReport(const ReportArguments& arguments, std::ostream& lines, std::ostream& messages, bool terminal) {
    ReportRequest request;
    request.html = arguments.html || !arguments.pdf;
    request.pdf = arguments.pdf || !arguments.html;
    request.figures = arguments.figures;
    request.options.date = arguments.date;
    if (const auto wrong = validate(request.options); !wrong.empty()) {
        print(wrong, messages);
        return Exit::usage;
    }
    const Analysed result = analysed(arguments.study, false, messages, terminal);
    if (!result.ok) {
        return result.exit;
    }
    print(result.findings.problems, messages);
    std::error_code error;
    std::filesystem::create_directories(arguments.out, error);
    if (error) {
        Problem problem;
        problem.file = arguments.out.string();
        problem.what = "the folder for the report cannot be made: " + error.message();
        problem.remedy = "choose a folder that can be written to";
        return failed(problem, messages);
    }
    const auto files = writeReport(result, request, {}, arguments.out, messages, terminal);
    if (!files) {
        return failed(files.problem(), messages);
    }
    for (const ReportFile& file : files.value()) {
        lines << file.name << '\n';
    }
    return result.exit;
}

Exit runCheck(const std::filesystem::path& study, std::ostream& messages, bool terminal) {
    const Analysed result = analysed(study, false, messages, terminal);
    if (result.ok) {
        print(result.findings.problems, messages);
    }
    return result.exit;
}

Exit runHistory(const std::filesystem::path& study, std::ostream& lines, std::ostream& messages) {
    std::error_code error;
    if (!std::filesystem::is_directory(study, error)) {
        Problem problem;
        problem.what = study.string() + " is not a folder";
        problem.remedy = "name the folder that holds study.json";
        messages << lineFor(problem) << '\n';
        return Exit::unreadable;
    }
    const auto ledger = readLedger(study);
    if (!ledger.ok()) {
        messages << lineFor(ledger.problem()) << '\n';
        return Exit::unreadable;
    }
    const LedgerCheck& check = ledger.value().check;
    for (const LedgerEntry& entry : check.entries) {
        lines << lineFor(entry) << '\n';
    }
    if (check.broken) {
        messages << lineFor(*check.broken) << '\n';
        return Exit::unreadable;
    }
    if (check.entries.empty()) {
        messages << "note: no change is on record\n";
    }
    return Exit::done;
}

}  // namespace aftercurve
