#include "core/edit/table_patch.h"

#include <algorithm>

#include "core/edit/draw_facts.h"
#include "core/edit/study_cells.h"
#include "core/edit/table_edits.h"
#include "core/files/csv_cell.h"

namespace aftercurve {

namespace {

constexpr std::size_t timeColumn = 4;
constexpr std::size_t nominalColumn = 5;

bool sameConcentration(const Study& was, std::size_t wasRow, std::size_t wasAnalyte, const Study& now,
                       std::size_t row, std::size_t analyte) {
    const auto& before = was.concentrations[wasAnalyte][wasRow];
    const auto& after = now.concentrations[analyte][row];
    if (before || after) {
        return before == after;
    }
    const auto index = [](std::size_t value) { return static_cast<std::uint32_t>(value); };
    if (belowLimitAt(was, index(wasRow), index(wasAnalyte)) !=
        belowLimitAt(now, index(row), index(analyte))) {
        return false;
    }
    const CellFlaw* old = flawAt(was, wasRow, wasAnalyte);
    const CellFlaw* present = flawAt(now, row, analyte);
    return old == nullptr || present == nullptr
               ? old == present
               : old->reason == present->reason && old->text == present->text;
}

bool sameSample(const Study& was, std::size_t wasRow, const Study& now, std::size_t row,
                const PatchColumn& column) {
    const Draw& before = was.draws[wasRow];
    const Draw& after = now.draws[row];
    switch (column.column) {
        case 0:
            return was.subjects[before.subject].id == now.subjects[after.subject].id;
        case 1:
            return was.foods[before.food].id == now.foods[after.food].id;
        case 2:
            return before.visit == after.visit;
        case 3:
            return before.period == after.period;
        case timeColumn:
            return before.timeMin == after.timeMin;
        case nominalColumn:
            return nominalMinOf(was, wasRow) == nominalMinOf(now, row);
        case 6:
            return replicateOf(was, wasRow) == replicateOf(now, row);
        default:
            break;
    }
    const std::size_t analyte = column.column - columnsBeforeAnalytes;
    if (analyte == now.analytes.size()) {
        return remarkOn(was, static_cast<std::uint32_t>(wasRow)) ==
               remarkOn(now, static_cast<std::uint32_t>(row));
    }
    return sameConcentration(was, wasRow, column.was - columnsBeforeAnalytes, now, row, analyte);
}

bool sameCell(const Study& was, const Study& now, StudyTable table, const PatchRow& row,
              const PatchColumn& column) {
    if (table == StudyTable::samples) {
        return sameSample(was, row.was, now, row.now, column);
    }
    return cellText(was, table, row.was, column.was) == cellText(now, table, row.now, column.column);
}

class Patching {
  public:
    Patching(const CsvRows& file, const Study& was, const Study& now, StudyTable table,
             std::span<const PatchColumn> columns)
        : file_(file), was_(was), now_(now), table_(table), columns_(columns) {
        for (const PatchColumn& column : columns) {
            if (table == StudyTable::samples && column.column == timeColumn) {
                time_ = &column;
            }
        }
    }

    /// Cells of a row that are to be written anew.
    std::vector<NewCell> changed(const PatchRow& row) const {
        std::vector<NewCell> cells;
        bool nominalChanged = false;
        bool timeChanged = false;
        for (const PatchColumn& column : columns_) {
            if (!column.position) {
                continue;
            }
            if (column.cleared) {
                if (!file_.isMissing(*row.fileRow, *column.position)) {
                    cells.push_back({*column.position, {}});
                }
                continue;
            }
            const bool same = column.unread || sameCell(was_, now_, table_, row, column);
            const bool rewritten = column.rewrite && !isDefaultCell(now_, table_, row.now, column.column);
            if (same && !rewritten) {
                continue;
            }
            cells.push_back(cell(row, column));
            nominalChanged = nominalChanged || column.column == nominalColumn;
            timeChanged = timeChanged || column.column == timeColumn;
        }
        // A row without a time stood at its nominal one, which is another now.
        const bool samples = table_ == StudyTable::samples && time_ != nullptr && time_->position;
        if (samples && nominalChanged && !timeChanged && file_.isMissing(*row.fileRow, *time_->position)) {
            cells.push_back(cell(row, *time_));
        }
        return cells;
    }

    std::vector<std::string> added(const PatchRow& row) const {
        std::vector<std::string> cells;
        for (const PatchColumn& column : columns_) {
            if (!column.position) {
                cells.push_back(fileCell(now_, table_, row.now, column.column, column.factor));
            }
        }
        return cells;
    }

    std::vector<std::string> whole(const PatchRow& row) const {
        std::vector<std::string> cells(file_.names.size());
        for (const PatchColumn& column : columns_) {
            if (column.position && !column.cleared) {
                cells[*column.position] = cell(row, column).cell;
            }
        }
        for (std::string& one : added(row)) {
            cells.push_back(std::move(one));
        }
        return cells;
    }

  private:
    NewCell cell(const PatchRow& row, const PatchColumn& column) const {
        return {*column.position, fileCell(now_, table_, row.now, column.column, column.factor)};
    }

    const CsvRows& file_;
    const Study& was_;
    const Study& now_;
    StudyTable table_;
    std::span<const PatchColumn> columns_;
    const PatchColumn* time_ = nullptr;
};

}  // namespace

std::string patchedTable(const CsvRows& file, const Study& was, const Study& now, StudyTable table,
                         std::span<const PatchColumn> columns, std::span<const NewCell> header,
                         std::span<const PatchRow> rows) {
    const std::vector<TableColumn> names = columnsOf(now, table);
    std::vector<std::string> addedNames;
    for (const PatchColumn& column : columns) {
        if (!column.position) {
            addedNames.push_back(textCell(column.added.empty() ? names[column.column].name : column.added));
        }
    }
    CsvRewriter out{file};
    out.header(header, addedNames);
    const Patching patching{file, was, now, table, columns};
    for (const PatchRow& row : rows) {
        if (row.fileRow) {
            out.oldRow(*row.fileRow, patching.changed(row), patching.added(row));
        } else {
            out.newRow(patching.whole(row));
        }
    }
    return out.finish();
}

std::vector<PatchColumn> plainColumns(const CsvRows& file, const Study& now, StudyTable table,
                                      std::span<const PatchRow> rows) {
    const std::vector<TableColumn> names = columnsOf(now, table);
    std::vector<PatchColumn> columns;
    for (std::size_t i = 0; i < names.size(); ++i) {
        const bool analyte =
            table == StudyTable::samples && i >= columnsBeforeAnalytes && i + 1 < names.size();
        const bool item =
            table == StudyTable::diary && i >= columnsBeforeItems && i + columnsAfterItems < names.size();
        if (analyte || item) {
            continue;
        }
        const auto position = file.column(names[i].name);
        const bool needed = position || std::any_of(rows.begin(), rows.end(), [&](const PatchRow& row) {
                                return !isDefaultCell(now, table, row.now, i);
                            });
        if (needed) {
            columns.push_back({i, i, position, 1.0, false, false, {}});
        }
    }
    return columns;
}

}  // namespace aftercurve
