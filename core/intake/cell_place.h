#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace aftercurve {

/// Largest row and column of a sheet in the format (ECMA-376 part 1, annex on limits of SpreadsheetML).
inline constexpr std::size_t largestSheetRow = 1'048'576;
inline constexpr std::size_t largestSheetColumn = 16'384;

/// Row (from 1) and column (from 0) of a cell of a sheet.
struct CellPlace {
    std::size_t row = 0;
    std::size_t column = 0;

    bool operator==(const CellPlace&) const = default;
};

/// "B3" (also "$B$3") as row 3, column 1; nothing where it is no place in a sheet.
std::optional<CellPlace> cellPlace(std::string_view reference);

/// Column 0 as "A", column 27 as "AB".
std::string columnLetters(std::size_t column);

}  // namespace aftercurve
