#pragma once

#include <cstddef>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/files/problem_list.h"
#include "core/intake/source.h"

namespace aftercurve {

/// What a column of a file of readings or of meals holds.
enum class SensorColumn { subject, time, value, unit, food, visit };

/// One column that is looked for.
struct SensorColumnWish {
    SensorColumn role = SensorColumn::subject;
    std::string name;  ///< of the header, as stated; empty: guessed by its words
    bool needed = true;
    std::optional<std::size_t> found = std::nullopt;  ///< position, from 0
};

/// The header row of such a file.
struct SensorHeader {
    std::size_t row = 0;
    std::vector<std::string> names;
};

/// The rows of a header are looked for among the first rows that are not empty.
inline constexpr std::size_t sensorHeaderRows = 20;

/// Finds the columns in `names`; true where every needed one is there. A stated name must be equal but for
/// case and accents. Guessed: the first column whose header says subject, food or visit
/// (core/intake/header_words.h), day and time, glucose (before a bare "value"), unit.
bool findSensorColumns(std::span<const std::string> names, std::span<SensorColumnWish> wishes);

/// Walks the rows of a delimited text: finds the header, then calls `row` for each data row. Reports, as
/// fatal: a workbook, no header with the needed columns, what visitRows fails for, more rows than `mostRows`.
/// Reports rows above the header, columns not read and columns that look as if they identified people.
/// False where `goOn` (may be empty) stopped it.
bool visitSensorRows(const Source& source, std::size_t mostRows, std::optional<char> decimalMark,
                     std::span<SensorColumnWish> wishes, ProblemList& problems,
                     const std::function<void(const SensorHeader&, char decimalMark)>& begin,
                     const std::function<void(std::size_t row, std::span<const RawCell>)>& row,
                     const std::function<bool(double)>& goOn);

/// The text of a cell without blanks and a protecting apostrophe; empty where the row is shorter.
std::string_view sensorCellText(std::span<const RawCell> cells, std::optional<std::size_t> column);

/// Why a text cannot be a code of a subject or a food; empty where it can.
std::string faultOfSensorCode(std::string_view text);

}  // namespace aftercurve
