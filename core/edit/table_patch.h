#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/edit/csv_rewriter.h"
#include "core/edit/edit.h"

namespace aftercurve {

/// A column of a study's table and where it stands in the file.
struct PatchColumn {
    std::size_t column = 0;               ///< as columnsOf(now)
    std::size_t was = 0;                  ///< as columnsOf(was)
    std::optional<std::size_t> position;  ///< in the file; nothing where it is to be added at the end
    double factor = 1.0;                  ///< from the file's unit to the study's, as it is to be
    bool rewrite = false;                 ///< the factor changed: every cell that is not empty is written
    bool unread = false;     ///< `was` does not know it: what stands in the file counts as missing
    std::string added = {};  ///< name of a column that is to be added, where it is another
    bool cleared = false;    ///< the study has it no more: what stands in the file goes
};

/// A row of a study's table and the row of the file that it stands on, if any.
struct PatchRow {
    std::size_t now = 0;
    std::size_t was = 0;                 ///< in the study as it was read; not used without a row of the file
    std::optional<std::size_t> fileRow;  ///< index into CsvRows::rows
};

/// The file with the cells that differ between two states of a study written anew, in the order of `rows`.
std::string patchedTable(const CsvRows& file, const Study& was, const Study& now, StudyTable table,
                         std::span<const PatchColumn> columns, std::span<const NewCell> header,
                         std::span<const PatchRow> rows);

/// Columns of a table (of the samples without the analytes, of the diary without the items): those that the
/// file has, and those that it lacks and some row of `rows` needs.
std::vector<PatchColumn> plainColumns(const CsvRows& file, const Study& now, StudyTable table,
                                      std::span<const PatchRow> rows);

}  // namespace aftercurve
