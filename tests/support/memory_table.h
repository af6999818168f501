#pragma once

#include <cstddef>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "core/intake/input_table.h"

namespace aftercurve::test {

struct MemoryCell {
    CellKind kind = CellKind::empty;
    std::string text;
    double number = 0.0;
};

inline MemoryCell textCell(std::string text) {
    return {text.empty() ? CellKind::empty : CellKind::text, std::move(text), 0.0};
}

using MemoryRows = std::vector<std::vector<MemoryCell>>;

/// A table of cells in memory; row numbers from 1, rows without any text are not visited.
inline InputTable memoryTable(std::string file, MemoryRows rows, std::string sheet = {},
                              std::size_t source = 1) {
    InputTable table;
    table.source = source;
    table.file = std::move(file);
    table.workbook = !sheet.empty();
    table.sheet = std::move(sheet);
    table.visit = [held = std::make_shared<const MemoryRows>(std::move(rows))](
                      const TextDialect&, const RowVisitor& visitor,
                      const ShareDone& progress) -> Result<Done> {
        std::vector<RawCell> cells;
        for (std::size_t r = 0; r < held->size(); ++r) {
            cells.clear();
            bool any = false;
            for (const MemoryCell& cell : (*held)[r]) {
                cells.push_back({cell.kind, cell.text, cell.number});
                any = any || cell.kind != CellKind::empty;
            }
            if (progress && !progress(static_cast<double>(r) / static_cast<double>(held->size()))) {
                return Problem{};
            }
            if (any && visitor(r + 1, cells) == Visit::stop) {
                break;
            }
        }
        return Done{};
    };
    return table;
}

/// The same from text: a line a row, `delimiter` between cells, no quotes.
inline InputTable tableOf(std::string file, std::string_view text, char delimiter = ',',
                          std::size_t source = 1, std::string sheet = {}) {
    MemoryRows rows;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find('\n'), text.size());
        std::string_view line = text.substr(0, end);
        auto& row = rows.emplace_back();
        for (;;) {
            const std::size_t cut = std::min(line.find(delimiter), line.size());
            row.push_back(textCell(std::string{line.substr(0, cut)}));
            if (cut == line.size()) {
                break;
            }
            line.remove_prefix(cut + 1);
        }
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    InputTable table = memoryTable(std::move(file), std::move(rows), std::move(sheet), source);
    table.dialect.delimiter = delimiter;
    return table;
}

}  // namespace aftercurve::test
