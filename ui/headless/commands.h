#pragma once

#include <filesystem>
#include <iosfwd>
#include <string>
#include <vector>

#include "core/publish/write_tables.h"

namespace aftercurve {

/// Exit statuses of the headless program.
enum class Exit { done = 0, usage = 2, unreadable = 3, partly = 4 };

struct AnalyseArguments {
    std::filesystem::path study;
    std::filesystem::path out;
    bool figures = true;
    bool ignoreExclusions = false;  ///< takes the study as if it had none, and says so in the results
    std::vector<std::string> tableFormats = {};  ///< tables/ also holds all tables in these
};

/// Reads the study, analyses it with its own plan, and writes results.json, tables/, figures/, report.html
/// and report.pdf into `out`. Messages go to `messages`, one line a problem. Nothing is written where the
/// study cannot be read or its plan is invalid. Drawing figures needs a QApplication; the offscreen platform
/// will do.
Exit runAnalyse(const AnalyseArguments& arguments, std::ostream& messages, bool terminal);

struct TablesArguments {
    std::filesystem::path study;
    std::filesystem::path out;
    TablesRequest request;
};

/// Reads and analyses the study as runAnalyse does, and writes its tables alone into `out`, in the formats
/// asked for. Prints the names written to `lines`.
Exit runTables(const TablesArguments& arguments, std::ostream& lines, std::ostream& messages, bool terminal);

struct ReportArguments {
    std::filesystem::path study;
    std::filesystem::path out;
    std::string date;   ///< of the report, ISO 8601; empty: none
    bool html = false;  ///< neither of the two: both
    bool pdf = false;
    bool figures = true;
};

/// Reads and analyses the study as runAnalyse does, and writes its report alone into `out`. Prints the names
/// written to `lines`. Needs a QApplication, as runAnalyse does.
Exit runReport(const ReportArguments& arguments, std::ostream& lines, std::ostream& messages, bool terminal);

/// Prints the problems of the study and writes nothing. A broken chain of changes and files changed by other
/// programs are among them, as warnings.
Exit runCheck(const std::filesystem::path& study, std::ostream& messages, bool terminal);

/// Prints every change on record to `lines`, oldest first, as far as the chain of the ledger holds, and
/// checks it. A broken chain, or a ledger that cannot be read, goes to `messages` and gives Exit::unreadable.
/// Reads the ledger alone; writes nothing.
Exit runHistory(const std::filesystem::path& study, std::ostream& lines, std::ostream& messages);

}  // namespace aftercurve
