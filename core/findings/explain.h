#pragma once

#include <cstddef>
#include <functional>
#include <string>

#include "core/findings/table.h"

namespace aftercurve {

/// How a number of a table came about, as text to read and to copy: what it is and of what, its value at full
/// precision with its unit, the formula, each input of the formula at full precision (values of every subject
/// where the formula reads them), the degrees of freedom where the row has some, and why it is absent where
/// it is. `otherTable` gives a table by key, null where there is none.
std::string workingOf(const Table& table, std::size_t row, std::size_t column,
                      const std::function<const Table*(std::string_view key)>& otherTable);

/// The cells of a row, a line each with the title of its column; absent ones are left out. For tables of
/// words, whose rows are longer than a line of a window.
std::string rowInFull(const Table& table, std::size_t row);

}  // namespace aftercurve
