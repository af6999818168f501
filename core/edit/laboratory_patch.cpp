#include "core/edit/laboratory_patch.h"

#include <algorithm>

#include "core/edit/table_edits.h"
#include "core/edit/table_patch.h"
#include "core/files/csv_cell.h"
#include "core/files/excerpt.h"
#include "core/files/problem_list.h"

namespace aftercurve {

namespace {

/// The rows of a table with the rows of the file that they stand on.
std::vector<PatchRow> rowsByLine(const CsvRows& file, const Study& was, const Study& now, StudyTable table) {
    const TableEdits& edits = editsOf(table);
    const auto rowOn = [&](const Study& study, std::size_t i) {
        const std::size_t line = edits.lineOf(study, i);
        return line != 0 ? file.rowOn(static_cast<std::uint32_t>(line)) : std::nullopt;
    };
    std::vector<std::optional<std::size_t>> wasOn(file.rows.size());
    for (std::size_t i = 0; i < edits.rows(was); ++i) {
        if (const auto row = rowOn(was, i)) {
            wasOn[*row] = i;
        }
    }
    std::vector<PatchRow> rows;
    for (std::size_t i = 0; i < edits.rows(now); ++i) {
        PatchRow row{i, 0, std::nullopt};
        const auto fileRow = rowOn(now, i);
        if (fileRow && wasOn[*fileRow]) {
            row.fileRow = fileRow;
            row.was = *wasOn[*fileRow];
            wasOn[*fileRow] = std::nullopt;
        }
        rows.push_back(row);
    }
    return rows;
}

/// Columns of the diary's items, and the header cells of those that are renamed.
class ItemColumns {
  public:
    ItemColumns(const CsvRows& file, const Study& was, const Study& now, const Origins& origins)
        : file_(file), was_(was), now_(now), origins_(origins) {}

    Result<Done> find() {
        for (std::size_t i = 0; i < now_.diary.items.size(); ++i) {
            const std::string& id = now_.diary.items[i].id;
            const auto origin = origins_.diaryItems[i];
            const bool renamed = origin && was_.diary.items[*origin].id != id;
            if ((!origin || renamed) && isUnread(id)) {
                return clash(id);
            }
            PatchColumn column;
            column.column = columnsBeforeItems + i;
            column.was = columnsBeforeItems + origin.value_or(0);
            if (origin) {
                column.position = file_.column(was_.diary.items[*origin].id);
            } else if (const auto free = file_.column(id); free && !isOfKeptItem(id)) {
                column.position = free;
                column.unread = true;
                column.rewrite = true;
            }
            if (renamed && column.position) {
                header.push_back({*column.position, textCell(id)});
            }
            columns.push_back(std::move(column));
        }
        Result<Done> checked = checkNames();
        clearOfRemoved();
        return checked;
    }

    std::vector<PatchColumn> columns;
    std::vector<NewCell> header;

  private:
    /// The scores of an item that is removed were cleared one by one; the file must not keep them.
    void clearOfRemoved() {
        for (const DiaryItem& item : was_.diary.items) {
            const auto position = file_.column(item.id);
            const bool taken = std::any_of(columns.begin(), columns.end(), [&](const PatchColumn& column) {
                return column.position == position;
            });
            if (position && !taken && !isOfKeptItem(item.id)) {
                PatchColumn column;
                column.position = position;
                column.cleared = true;
                columns.push_back(std::move(column));
            }
        }
    }

    /// Fails where the column of an item that was removed has the name of another item now.
    Result<Done> checkNames() const {
        std::vector<std::string> names = file_.names;
        for (std::size_t i = 0; i < columns.size(); ++i) {
            if (columns[i].position) {
                names[*columns[i].position] = now_.diary.items[i].id;
            }
        }
        for (std::size_t i = 0; i < columns.size(); ++i) {
            const std::string& id = now_.diary.items[i].id;
            const auto times = std::count(names.begin(), names.end(), id);
            if (times > (columns[i].position ? 1 : 0)) {
                return clash(id);
            }
        }
        return Done{};
    }

    Problem clash(const std::string& id) const {
        return problemAt(
            now_.diary.file, file_.header.line, id,
            "the column " + quote(id) + " is not read so far, and would be taken for the item of that name",
            "give the item another id, or rename the column in the file");
    }

    /// An item of the study as it was read, which is still there by whatever name.
    bool isOfKeptItem(const std::string& id) const {
        return std::any_of(origins_.diaryItems.begin(), origins_.diaryItems.end(),
                           [&](const auto& origin) { return origin && was_.diary.items[*origin].id == id; });
    }

    bool isOfOldItem(const std::string& id) const {
        return std::any_of(was_.diary.items.begin(), was_.diary.items.end(),
                           [&](const DiaryItem& item) { return item.id == id; });
    }

    /// A column that no item was read from, with something in it.
    bool isUnread(const std::string& id) const {
        const auto column = file_.column(id);
        if (!column || isOfOldItem(id)) {
            return false;
        }
        for (std::size_t row = 0; row < file_.rows.size(); ++row) {
            if (!file_.isMissing(row, *column)) {
                return true;
            }
        }
        return false;
    }

    const CsvRows& file_;
    const Study& was_;
    const Study& now_;
    const Origins& origins_;
};

}  // namespace

std::string patchedByLine(std::string_view bytes, const Study& was, const Study& now, StudyTable table) {
    const CsvRows file = csvRows(bytes);
    const std::vector<PatchRow> rows = rowsByLine(file, was, now, table);
    return patchedTable(file, was, now, table, plainColumns(file, now, table, rows), {}, rows);
}

Result<std::string> patchedDiary(std::string_view bytes, const Study& was, const Study& now,
                                 const Origins& origins) {
    const CsvRows file = csvRows(bytes);
    ItemColumns items{file, was, now, origins};
    if (const Result<Done> found = items.find(); !found) {
        return found.problem();
    }
    const std::vector<PatchRow> rows = rowsByLine(file, was, now, StudyTable::diary);
    std::vector<PatchColumn> columns = plainColumns(file, now, StudyTable::diary, rows);
    for (PatchColumn& column : columns) {
        if (column.column >= columnsBeforeItems) {
            column.was = column.column - now.diary.items.size() + was.diary.items.size();
        }
    }
    columns.insert(columns.end(), items.columns.begin(), items.columns.end());
    return patchedTable(file, was, now, StudyTable::diary, columns, items.header, rows);
}

}  // namespace aftercurve
