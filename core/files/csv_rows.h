#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "core/files/csv_header.h"
#include "core/files/delimited.h"
#include "core/files/problem_list.h"
#include "core/files/study_folder.h"

namespace aftercurve {

/// A column that a small CSV file (subjects, visits) may have.
struct NamedColumn {
    const char* name;
    std::optional<std::size_t>* position;  ///< filled where the header has it
    bool needed = false;
};

/// Finds the columns by name. Reports, as fatal: one that is there twice, one that is needed and missing; and
/// the columns that are not read. False where something fatal was found.
bool findNamedColumns(const CsvHeader& header, std::span<const NamedColumn> columns, std::string_view file,
                      ProblemList& problems);

/// The cell of that column of the row, without the spaces around it; empty where the file has no such column.
inline std::string_view cellIn(const DelimitedScanner& row, std::optional<std::size_t> column) {
    return column ? trimmed(row.cells()[*column]) : std::string_view{};
}

/// Reads header and rows of such a file: `findColumns(header)` first, false ends the reading; then
/// `readRow(scanner)` for each row with as many cells as the header. Fatal: more rows than the limit, given
/// what `rows()` has so far.
template <class FindColumns, class Rows, class ReadRow>
void readCsvRows(std::string_view text, std::string_view file, const ReadLimits& limits,
                 ProblemList& problems, FindColumns findColumns, Rows rows, ReadRow readRow) {
    DelimitedScanner scanner{text, limits.lineBytes, limits.columns};
    const auto header = readCsvHeader(scanner, file, limits.columns, problems);
    if (!header || !findColumns(*header)) {
        return;
    }
    DelimitedScanner::Step step = scanner.next();
    for (; step == DelimitedScanner::Step::row; step = scanner.next()) {
        if (rows() >= limits.rows) {
            problems.add(Weight::fatal, problemAt(file, scanner.row(), {},
                                                  "the file has more than the " +
                                                      std::to_string(limits.rows) + " rows that are read",
                                                  "check that it is the right file"));
            return;
        }
        if (scanner.cellCount() != header->names.size()) {
            reportCellCount(scanner, *header, file, problems);
            continue;
        }
        readRow(scanner);
    }
    reportScan(step, scanner, file, problems);
}

}  // namespace aftercurve
