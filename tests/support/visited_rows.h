#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/intake/source.h"

namespace aftercurve::test {

/// A cell that outlives its row.
struct KeptCell {
    CellKind kind = CellKind::empty;
    std::string text;
    double number = 0.0;

    bool operator==(const KeptCell&) const = default;
};
struct KeptRow {
    std::size_t row = 0;
    std::vector<KeptCell> cells;

    bool operator==(const KeptRow&) const = default;
};

/// All that a visit gave, trailing empty cells left out.
struct Visited {
    std::vector<KeptRow> rows;
    std::optional<Problem> problem;
};

inline Visited visitAll(const Source& source, std::size_t table = 0, const TextDialect& dialect = {},
                        const IntakeLimits& limits = {}) {
    Visited visited;
    const auto result =
        visitRows(source, table, dialect, limits, [&](std::size_t row, std::span<const RawCell> cells) {
            KeptRow kept{row, {}};
            for (const RawCell& cell : cells) {
                kept.cells.push_back({cell.kind, std::string{cell.text}, cell.number});
            }
            while (!kept.cells.empty() && kept.cells.back().kind == CellKind::empty) {
                kept.cells.pop_back();
            }
            visited.rows.push_back(std::move(kept));
            return Visit::goOn;
        });
    if (!result) {
        visited.problem = result.problem();
    }
    return visited;
}

/// The same from bytes; a source that does not open gives its problem.
inline Visited visitBytes(std::string bytes, const TextDialect& dialect = {}, std::size_t table = 0,
                          const IntakeLimits& limits = {}) {
    const auto source = sourceFromBytes("table", std::move(bytes), limits);
    if (!source) {
        return {{}, source.problem()};
    }
    return visitAll(source.value(), table, dialect, limits);
}

/// Rows as "3: a | b | | c".
inline std::vector<std::string> linesOf(const std::vector<KeptRow>& rows) {
    std::vector<std::string> lines;
    for (const KeptRow& row : rows) {
        std::string line = std::to_string(row.row) + ":";
        for (std::size_t i = 0; i < row.cells.size(); ++i) {
            line += (i == 0 ? " " : " | ") + row.cells[i].text;
        }
        lines.push_back(line);
    }
    return lines;
}

/// Severity, place, words and remedy; empty where there is no problem.
inline std::string lineOf(const std::optional<Problem>& problem) {
    return problem ? lineFor(*problem) : std::string{};
}

}  // namespace aftercurve::test
