#include <string>

#include "core/findings/recompute/parts.h"
#include "core/findings/tables/builders.h"

namespace aftercurve {

namespace {

bool isWordColumn(const std::string& key) {
    return key == "comparator_match" || key == "reference_match" || key == "energy_from";
}

std::string textOf(const Cell& cell) {
    const auto* text = std::get_if<std::string>(&cell);
    return text == nullptr ? std::string{} : *text;
}

std::string reasonIn(const Table& table, const Row& row) {
    const std::string remark = textOf(row.cells.back());
    return table.columns.back().key == "remark" && !remark.empty() ? remark : "not given, or the food itself";
}

/// Every number and word of one row; its own item, where the key has one after the food.
void addRow(ReportedRows& rows, const StudyNumbers& numbers, const Table& table, const Row& row) {
    ReportedPlace place;
    place.table = table.key;
    place.row = row.key;
    place.food = numbers.food.at(row.about.food);
    if (row.key.size() > row.about.food.size()) {
        place.item = row.key.substr(row.about.food.size() + 1);
    }
    const std::string reason = reasonIn(table, row);
    for (std::size_t c = 0; c < table.columns.size(); ++c) {
        const Column& column = table.columns[c];
        if (column.kind == ColumnKind::number) {
            const auto* number = std::get_if<double>(&row.cells[c]);
            addNumber(rows, place, column.key, number == nullptr ? std::nullopt : std::optional{*number},
                      reason);
        } else if (isWordColumn(column.key)) {
            addWord(rows, place, column.key, textOf(row.cells[c]), reason);
        }
    }
}

}  // namespace

void addPortions(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings) {
    const Study nameless;
    for (const auto build : {portionsTable, servingsTable, compositionTable}) {
        const Table table = build(nameless, findings);
        for (const Row& row : table.rows) {
            addRow(rows, numbers, table, row);
        }
    }
}

}  // namespace aftercurve
