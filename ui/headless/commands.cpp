#include "ui/headless/commands.h"

#include <ostream>
#include <system_error>

#include "core/files/atomic_write.h"
#include "core/files/ledger.h"
#include "core/findings/report_html.h"
#include "core/findings/write_results.h"
#include "ui/figures/write_figures.h"
#include "ui/headless/analysed_study.h"
#include "ui/headless/progress_line.h"

namespace aftercurve {

Exit runAnalyse(const AnalyseArguments& arguments, std::ostream& messages, bool terminal) {
    const Analysed result = analysed(arguments.study, arguments.ignoreExclusions, messages, terminal);
    if (!result.ok) {
        return result.exit;
    }
    print(result.findings.problems, messages);
    const auto failed = [&messages](const Problem& problem) {
        messages << lineFor(problem) << '\n';
        return Exit::unreadable;
    };
    if (const auto written = writeResults(result.study, result.findings, arguments.out); !written.ok()) {
        return failed(written.problem());
    }
    if (!arguments.tableFormats.empty()) {
        const auto tables = writeTables(result.study, result.findings, {arguments.tableFormats, {}},
                                        arguments.out / "tables");
        if (!tables.ok()) {
            return failed(tables.problem());
        }
    }
    std::vector<ReportFigure> reportFigures;
    if (arguments.figures) {
        ProgressLine line(messages, terminal);
        auto figures = writeFigures(result.study, result.findings, arguments.out / "figures",
                                    [&line](double fraction) { line.report(fraction, "figures"); });
        if (!figures.ok()) {
            return failed(figures.problem());
        }
        for (const WrittenFigure& figure : figures.value()) {
            reportFigures.push_back({figure.title, figure.svg});
        }
    }
    const std::string report = reportHtml(result.study, result.findings, reportFigures);
    if (const auto done = writeAtomically(arguments.out / "report.html", report); !done.ok()) {
        return failed(done.problem());
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
