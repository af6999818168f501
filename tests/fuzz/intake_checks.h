#pragma once

#include <cmath>
#include <string>
#include <string_view>

#include "core/files/excerpt.h"
#include "core/files/utf8.h"
#include "core/intake/source.h"
#include "tests/support/workbook_builder.h"

namespace aftercurve::test {

/// Small bounds, so that a fuzzer reaches them.
inline IntakeLimits smallLimits() {
    IntakeLimits limits;
    limits.expandedBytes = 1u << 20;
    limits.columns = 64;
    limits.rows = 20'000;
    limits.lineBytes = 4096;
    limits.sheets = 4;
    limits.xmlDepth = 16;
    return limits;
}

inline bool isFit(const Problem& problem) {
    return !problem.what.empty() && !problem.remedy.empty() && !hasControlCharacters(problem.what) &&
           !hasControlCharacters(problem.remedy);
}

/// Rows ascend; texts are UTF-8 without NUL; numbers are finite; an empty cell has no text.
inline bool visitsWell(const Source& source, std::size_t table, const TextDialect& dialect,
                       const IntakeLimits& limits) {
    std::size_t last = 0;
    std::size_t rows = 0;
    bool well = true;
    const auto result =
        visitRows(source, table, dialect, limits, [&](std::size_t row, std::span<const RawCell> cells) {
            well = well && row > last && cells.size() <= limits.columns && !cells.empty();
            last = row;
            ++rows;
            for (const RawCell& cell : cells) {
                well = well && firstNotUtf8(cell.text) == cell.text.size() &&
                       cell.text.find('\0') == std::string_view::npos && std::isfinite(cell.number) &&
                       (cell.kind == CellKind::empty) == cell.text.empty();
            }
            return Visit::goOn;
        });
    return well && rows <= limits.rows && (result.ok() || isFit(result.problem()));
}

/// Bytes as a file, visited with the dialect that is guessed and with others. False where a promise is
/// broken.
inline bool visitsAsText(std::string_view bytes) {
    const IntakeLimits limits = smallLimits();
    const auto source = sourceFromBytes("table.csv", std::string{bytes}, limits);
    if (!source) {
        return isFit(source.problem());
    }
    const TextDialect guess = guessDialect(source.value(), limits);
    bool well = guess == guessDialect(source.value(), limits);
    for (std::size_t table = 0; table < source.value().tables.size(); ++table) {
        well = well && visitsWell(source.value(), table, guess, limits);
    }
    for (const char* encoding : {"utf-8", "utf-16le", "utf-16be", "latin-1"}) {
        well = well && visitsWell(source.value(), 0, {encoding, ';', ','}, limits);
    }
    return well;
}

/// Bytes as a file; where they are no archive, also as the inside of the sheet, of the shared texts and of
/// the styles of a workbook, parted by the first two lines that are "----". False where a promise is broken.
inline bool visitsAsWorkbook(std::string_view bytes) {
    const auto visited = [](std::string file) {
        const IntakeLimits limits = smallLimits();
        const auto source = sourceFromBytes("table.xlsx", std::move(file), limits);
        if (!source) {
            return isFit(source.problem());
        }
        bool well = !source.value().tables.empty();
        for (std::size_t table = 0; table < source.value().tables.size(); ++table) {
            well = well && visitsWell(source.value(), table, {}, limits);
        }
        return well;
    };
    if (bytes.starts_with("PK")) {
        return visited(std::string{bytes});
    }
    constexpr std::string_view border = "\n----\n";
    std::string parts[3];
    for (std::string& part : parts) {
        const std::size_t end =
            &part == &parts[2] ? bytes.size() : std::min(bytes.find(border), bytes.size());
        part = bytes.substr(0, end);
        bytes.remove_prefix(std::min(end + border.size(), bytes.size()));
    }
    MadeWorkbook made;
    made.sheets = {{"Sheet", "", "", ""}};
    made.sharedStrings = parts[1];
    made.styles = parts[2];
    made.more = {{"xl/worksheets/sheet1.xml", parts[0]}};
    return visited(made.bytes(false));
}

}  // namespace aftercurve::test
