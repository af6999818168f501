#include "core/findings/table.h"

#include <unordered_map>

#include "core/base/number_text.h"
#include "core/files/csv_cell.h"

namespace aftercurve {

namespace {

template <class... Visitors>
struct Overloaded : Visitors... {
    using Visitors::operator()...;
};
// clang 14 does not deduce it by itself yet.
template <class... Visitors>
Overloaded(Visitors...) -> Overloaded<Visitors...>;

constexpr double smallestShownP = 0.001;

std::string shownNumber(double value, const Column& column) {
    if (column.kind == ColumnKind::pValue) {
        return value < smallestShownP ? "<0.001" : fixedNumber(value, column.decimals);
    }
    // Very large and very small values would fill the screen or vanish in fixed decimals.
    const double size = value < 0.0 ? -value : value;
    if (size >= 1e9 || (size > 0.0 && size < 1e-4)) {
        return plainNumber(value);
    }
    return fixedNumber(value, column.decimals);
}

std::string csvText(std::string text) {
    if (spreadsheetWouldRun(text)) {
        text.insert(text.begin(), '\'');
    }
    return quotedCell(text);
}

}  // namespace

std::string shownText(const Cell& cell, const Column& column) {
    return std::visit(Overloaded{[](std::monostate) { return std::string{"–"}; },
                                 [](const std::string& text) { return text; },
                                 [](std::int64_t count) { return std::to_string(count); },
                                 [&column](double value) { return shownNumber(value, column); }},
                      cell);
}

std::string asCsv(const Table& table) {
    std::string csv;
    for (std::size_t c = 0; c < table.columns.size(); ++c) {
        const Column& column = table.columns[c];
        csv += c == 0 ? "" : ",";
        csv += csvText(column.unit.empty() ? column.key : column.key + " [" + column.unit + "]");
    }
    csv += '\n';
    for (const Row& row : table.rows) {
        for (std::size_t c = 0; c < row.cells.size(); ++c) {
            csv += c == 0 ? "" : ",";
            csv += std::visit(Overloaded{[](std::monostate) { return std::string{}; },
                                         [](const std::string& text) { return csvText(text); },
                                         [](std::int64_t count) { return std::to_string(count); },
                                         [](double value) { return plainNumber(value); }},
                              row.cells[c]);
        }
        csv += '\n';
    }
    return csv;
}

std::vector<CellChange> changesBetween(const Table& before, const Table& after) {
    std::unordered_map<std::string_view, const Row*> earlier;
    for (const Row& row : before.rows) {
        earlier.emplace(row.key, &row);
    }
    std::vector<CellChange> changes;
    for (const Row& row : after.rows) {
        const auto found = earlier.find(row.key);
        for (std::size_t c = 0; c < row.cells.size() && c < after.columns.size(); ++c) {
            if (found == earlier.end()) {
                changes.push_back({row.key, c, ""});
                continue;
            }
            const Row& old = *found->second;
            const std::string was = c < old.cells.size() && c < before.columns.size()
                                        ? shownText(old.cells[c], before.columns[c])
                                        : "";
            if (was != shownText(row.cells[c], after.columns[c])) {
                changes.push_back({row.key, c, was});
            }
        }
    }
    return changes;
}

}  // namespace aftercurve
