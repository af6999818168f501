#pragma once

#include <span>
#include <string>

#include "core/base/result.h"
#include "core/publish/publication.h"

namespace aftercurve {

inline constexpr std::size_t mostSheetRows = 1'048'576;  ///< of the format, header included
inline constexpr std::size_t mostSheetColumns = 16'384;
inline constexpr std::size_t longestSheetText = 32'767;  ///< UTF-16 units in a cell
inline constexpr std::size_t longestSheetName = 31;      ///< bytes that are used of a table's key

/// The tables as a workbook (Office Open XML, ECMA-376 part 1), a sheet each and a last sheet "notes" with
/// title, notes and explanation of every column, the caution, the program and the hash of the plan. Numbers
/// are numbers that read back to the same bit, shown with the decimals of printed_number.h; texts are texts
/// also where they begin like a formula, and stay so when the cell is edited. Absent cells are empty; a
/// number that is not finite is the text "not finite"; a count past 2^53 is a text. A text too long for a
/// cell is shortened, and the notes say how many are. The same arguments give the same bytes. Fails for a
/// table with more rows or columns than a sheet has, and where the temporary folder cannot be written.
Result<std::string> workbookTables(std::span<const Table> tables, const Publication& publication);

}  // namespace aftercurve
