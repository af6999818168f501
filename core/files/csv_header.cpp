#include "core/files/csv_header.h"

#include <algorithm>

#include "core/files/csv_cell.h"
#include "core/files/excerpt.h"
#include "core/files/privacy_columns.h"

namespace aftercurve {

namespace {

bool reportWrongDelimiter(const DelimitedScanner& scanner, std::string_view file, ProblemList& problems) {
    if (scanner.cellCount() != 1) {
        return false;
    }
    const std::string_view only = scanner.cells()[0];
    const bool semicolons = only.find(';') != std::string_view::npos;
    const bool tabs = only.find('\t') != std::string_view::npos;
    if (!semicolons && !tabs) {
        return false;
    }
    problems.add(Weight::fatal,
                 problemAt(file, scanner.row(), {},
                           std::string{"the columns are separated by "} +
                               (semicolons ? "semicolons" : "tabs") + ", not by commas",
                           "save the file with commas between the cells and decimal points in the numbers"));
    return true;
}

}  // namespace

std::optional<std::size_t> CsvHeader::find(std::string_view name) const {
    const auto found = std::find(names.begin(), names.end(), name);
    return found == names.end() ? std::nullopt
                                : std::optional<std::size_t>{static_cast<std::size_t>(found - names.begin())};
}

std::optional<CsvHeader> readCsvHeader(DelimitedScanner& scanner, std::string_view file, std::size_t columns,
                                       ProblemList& problems) {
    const DelimitedScanner::Step step = scanner.next();
    if (step == DelimitedScanner::Step::end) {
        problems.add(Weight::fatal, problemAt(file, 0, {}, "the file is empty: it has no header row",
                                              "put the names of the columns in its first row"));
        return std::nullopt;
    }
    if (step != DelimitedScanner::Step::row) {
        reportScan(step, scanner, file, problems);
        return std::nullopt;
    }
    if (scanner.cellCount() > columns) {
        problems.add(Weight::fatal,
                     problemAt(file, scanner.row(), {},
                               "the header has " + std::to_string(scanner.cellCount()) +
                                   " columns, more than the " + std::to_string(columns) + " that are read",
                               "keep the columns that the study needs; samples stand in rows"));
        return std::nullopt;
    }
    if (reportWrongDelimiter(scanner, file, problems)) {
        return std::nullopt;
    }
    CsvHeader header;
    header.row = scanner.row();
    for (const std::string_view cell : scanner.cells()) {
        header.names.emplace_back(textIn(trimmed(cell)));
    }
    return header;
}

std::optional<Problem> scanProblem(DelimitedScanner::Step step, const DelimitedScanner& scanner,
                                   std::string_view file) {
    using Step = DelimitedScanner::Step;
    std::string what;
    std::string remedy;
    switch (step) {
        case Step::row:
        case Step::end:
        case Step::more:
            return std::nullopt;
        case Step::lineTooLong:
            what =
                "the row is longer than the " + std::to_string(scanner.lineBytes()) + " bytes that are read";
            remedy = "check that it is the right file and that every quote is closed";
            break;
        case Step::quoteNotClosed:
            what = "a quote that is opened in this row is never closed";
            remedy = "close it, or write a quote inside a cell twice";
            break;
        case Step::textAfterQuote:
            what = "text follows a closing quote in cell " + std::to_string(scanner.cellCount());
            remedy = "put the whole cell in quotes and write a quote inside it twice";
            break;
    }
    return problemAt(file, scanner.row(), {}, std::move(what), std::move(remedy));
}

void reportScan(DelimitedScanner::Step step, const DelimitedScanner& scanner, std::string_view file,
                ProblemList& problems) {
    if (auto problem = scanProblem(step, scanner, file)) {
        problems.add(Weight::fatal, std::move(*problem));
    }
}

void reportUnusedColumns(const CsvHeader& header, std::span<const bool> used, std::string_view file,
                         ProblemList& problems) {
    for (std::size_t i = 0; i < header.names.size(); ++i) {
        const std::string& name = header.names[i];
        if (used[i]) {
            continue;
        }
        if (looksPersonal(name)) {
            problems.add(
                Weight::warning,
                problemAt(file, header.row, name,
                          "the column " + quote(name) + " looks as if it identified people; it is not read",
                          "remove it from the file: a study holds subject codes only"));
        } else {
            const std::string what = name.empty() ? "column " + std::to_string(i + 1) + " has no name"
                                                  : "the column " + quote(name) + " is not known";
            problems.add(Weight::note, problemAt(file, header.row, name, what + " and is not read"));
        }
    }
}

void reportCellCount(const DelimitedScanner& scanner, const CsvHeader& header, std::string_view file,
                     ProblemList& problems) {
    problems.add(Weight::fatal, [&] {
        return problemAt(file, scanner.row(), {},
                         "the row has " + std::to_string(scanner.cellCount()) +
                             (scanner.cellCount() == 1 ? " cell" : " cells") + ", the header has " +
                             std::to_string(header.names.size()),
                         "check for a missing cell, a comma inside a cell or decimal commas");
    });
}

}  // namespace aftercurve
