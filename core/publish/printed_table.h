#pragma once

#include <string>
#include <vector>

#include "core/findings/table.h"

namespace aftercurve {

struct PrintedColumn {
    std::string header;  ///< title, with the unit in parentheses
    std::string explanation;
    bool numeric = false;     ///< set flush right
    std::size_t letters = 0;  ///< of the longest text below the header

    bool operator==(const PrintedColumn&) const = default;
};

struct PrintedCell {
    std::string text;
    std::string mark;  ///< of a note, to be raised: "a"; empty: none

    bool operator==(const PrintedCell&) const = default;
};

struct PrintedRow {
    std::vector<PrintedCell> cells;  ///< as many as columns
    bool muted = false;

    bool operator==(const PrintedRow&) const = default;
};

struct PrintedNote {
    std::string mark;  ///< empty: about the whole table
    std::string text;

    bool operator==(const PrintedNote&) const = default;
};

/// A table with every text as it will stand in print, before any format escapes it (texts are clean, see
/// clean_text.h; numbers follow printed_number.h).
struct PrintedTable {
    std::string key;
    std::string title;
    std::vector<PrintedColumn> columns;
    std::vector<PrintedRow> rows;
    std::string emptyText;
    std::vector<PrintedNote> notes;  ///< marked ones first
};

/// Most different remarks that get a mark each.
inline constexpr std::size_t mostMarkedRemarks = 26;

/// The table as printed. Absent numbers are "–", absent texts empty. Columns without a value in any row are
/// left out, and a note names them. Columns side by side print as one: mean and sd ("5.3 ± 0.4"), median and
/// both quartiles ("5.2 [5.0 to 5.6]"), minimum and maximum ("4.9 to 6.0"). Notes: a dagger at rows that are
/// excluded or not estimable; a letter at absent numbers whose row has a remark (a text column "remark" or
/// "..._because"), with that remark, up to `mostMarkedRemarks` different ones, else one note that the column
/// says it; then the table's own notes.
PrintedTable printedTable(const Table& table);

}  // namespace aftercurve
