#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace aftercurve {

/// What one column of a table asks for, in any unit of length.
struct ColumnNeed {
    double least = 0.0;   ///< below it words or numbers would be broken
    double wanted = 0.0;  ///< at it nothing needs a second line; not below `least`
};

/// Columns of a table that stand side by side, and how wide.
struct TablePart {
    std::vector<std::size_t> columns;
    std::vector<double> widths;
};

/// Widths that fill at most `width`: what is wanted where it fits, else what is least and a share of the rest
/// by how much more is wanted. Empty where not even the least fits.
std::vector<double> columnWidths(std::span<const ColumnNeed> needs, double width);

/// A table cut into parts that each fit `width`; every column stands in one part, in order, and the first
/// `lead` columns, which name the row, in each (as many of them as leave room for the others). One part where
/// all fits. A column that asks for more than there is gets what there is.
std::vector<TablePart> tableParts(std::span<const ColumnNeed> needs, std::size_t lead, double width);

}  // namespace aftercurve
