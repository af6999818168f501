#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/files/delimited.h"
#include "core/files/problem_list.h"

namespace aftercurve {

/// The names of the columns of a CSV file, blanks around them taken off.
struct CsvHeader {
    std::size_t row = 0;
    std::vector<std::string> names;

    /// Position of a column; nothing where there is none.
    std::optional<std::size_t> find(std::string_view name) const;
};

/// Reads the first row as header. Reports, as fatal: no row at all, more than `columns` names, semicolons or
/// tabs where commas belong. Nothing comes back then.
std::optional<CsvHeader> readCsvHeader(DelimitedScanner& scanner, std::string_view file, std::size_t columns,
                                       ProblemList& problems);

/// Why a scanner stopped, with the row; nothing for Step::row, Step::end and Step::more.
std::optional<Problem> scanProblem(DelimitedScanner::Step step, const DelimitedScanner& scanner,
                                   std::string_view file);

/// Reports scanProblem, if any, as fatal.
void reportScan(DelimitedScanner::Step step, const DelimitedScanner& scanner, std::string_view file,
                ProblemList& problems);

/// Reports the columns that are not read: a privacy warning where the name looks personal, else a note.
void reportUnusedColumns(const CsvHeader& header, std::span<const bool> used, std::string_view file,
                         ProblemList& problems);

/// Reports a row whose number of cells differs from the header's, as fatal.
void reportCellCount(const DelimitedScanner& scanner, const CsvHeader& header, std::string_view file,
                     ProblemList& problems);

}  // namespace aftercurve
