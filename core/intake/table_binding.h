#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/intake/input_table.h"
#include "core/intake/mapping.h"

namespace aftercurve {

/// What stands above the columns of a table, cleaned; of two header rows "upper / lower". An upper heading
/// goes on to the right, over empty cells, as far as times stand below it.
struct TableHead {
    std::vector<std::string> headers;
    std::vector<std::string> upper;  ///< empty where there is one header row
    std::vector<std::string> lower;
};

/// A header cell on one line, without control characters and without blanks at its ends.
std::string cleanHeader(std::string_view text);

/// Joins the cells of one or two header rows.
TableHead headOf(const std::vector<std::string>& upper, const std::vector<std::string>& lower, bool twoRows);

/// True where a row is the header again, as on each page of a printout: every cell that has a header has its
/// text, there are at least two, and there is nothing else in the row. `lower`: TableHead::lower.
bool repeatsHeader(const std::vector<std::string>& lower, std::span<const RawCell> cells);

/// Reads the header rows that a mapping names; empty where headerRow is 0. Fails where they are not there or
/// the table cannot be read.
Result<TableHead> readHead(const InputTable& table, const TableMapping& how);

struct BoundColumn {
    std::size_t index = 0;  ///< position from 0
    ColumnMapping how;
};

/// The columns of a mapping found in a table.
struct Binding {
    std::vector<BoundColumn> columns;    ///< in the order of the table; roles other than ignore
    std::vector<ColumnMapping> missing;  ///< mapped, but not in the table
    std::vector<std::size_t> unlisted;   ///< with a header, but not mapped; from 0
    std::vector<std::string> header;     ///< TableHead::lower
};

/// `head` of the table, found columns by the rule of ColumnMapping. Where othersAreSubjects holds, columns
/// that are not listed and have a header come back as analyte columns of that subject.
Binding bind(const TableHead& head, const TableMapping& how);

/// For each table the position of the entry of `mapping.tables` that holds for it.
std::vector<std::optional<std::size_t>> entriesFor(const Mapping& mapping,
                                                   std::span<const InputTable> tables);

/// The column as messages name it: "column 3 'Glc mmol/l'".
std::string nameOf(const ColumnMapping& column);

/// The text that an origin gives for the whole table: sheet name or file name without its ending.
std::string originText(const InputTable& table, Origin origin);

}  // namespace aftercurve
