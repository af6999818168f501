#pragma once

#include <cstddef>
#include <string>
#include <string_view>

#include "core/edit/edit.h"

namespace aftercurve {

/// The text that a reader multiplies by `factor` to get `value`: the shortest that gives exactly this value,
/// else the one that comes nearest. For a factor of 1 the shortest that reads back equal.
std::string numberFor(double value, double factor);

/// A cell of a CSV file of the study as it stands there: quoted and protected where it is text. A
/// concentration is written in the column's unit: value / factor. Missing is an empty cell.
std::string fileCell(const Study& study, StudyTable table, std::size_t row, std::size_t column,
                     double factor = 1.0);

/// True where a table's cell says what a file without that column says: nothing, 1 for a visit, a run or a
/// determination, "no" for a blank, "as-is" for a basis.
bool isDefaultCell(const Study& study, StudyTable table, std::size_t row, std::size_t column);

/// True for the columns that a file of samples, visits or subjects must have.
bool isNeededColumn(StudyTable table, std::size_t column);

}  // namespace aftercurve
