#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "core/publish/workbook_file.h"

namespace aftercurve {

/// The XML of a sheet with the shortest text that reads back to the same bit in place of what stands in the
/// cells of `numbers`, which come in the order of the cells. Nothing where one of them has no cell with a
/// value.
std::optional<std::string> withLongNumbers(std::string_view xml, std::span<const LongNumber> numbers);

}  // namespace aftercurve
