#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "core/intake/guess_head.h"

namespace aftercurve {

/// A text that stands in a column, and where it was first seen.
struct SeenText {
    std::string text;
    std::size_t count = 0;
    std::size_t row = 0;
};

/// What the values of a column look like.
struct ColumnFacts {
    std::size_t filled = 0;  ///< cells that are not empty
    std::size_t numbers = 0;
    std::size_t times = 0;  ///< read as a number of minutes
    std::size_t clocks = 0;
    std::size_t dates = 0;
    std::size_t dayFirst = 0;    ///< dates that can only be day, month, year
    std::size_t monthFirst = 0;  ///< dates that can only be month, day, year
    std::size_t eitherOrder = 0;
    bool dotted = false;          ///< dates are written with points
    std::vector<double> values;   ///< numbers, the first 20 000
    std::vector<SeenText> texts;  ///< different texts in order, 1000 at most
    bool manyTexts = false;       ///< there are more
    std::vector<SeenText> odd;    ///< different cells that are no number, 50 at most

    /// Half the values lie below it; absent where there are none.
    std::optional<double> median() const;
};

struct TableFacts {
    std::size_t rows = 0;  ///< of data
    std::vector<ColumnFacts> columns;
};

/// One pass over the data rows of a table; rows that repeat the header do not count. Kinds of cells are
/// counted in the first 20 000 rows; texts and cells that are no number are gathered over all.
Result<TableFacts> gatherFacts(const InputTable& table, const TextDialect& dialect, std::size_t firstRow,
                               const TableHead& head, const std::vector<std::string>& missingWords);

}  // namespace aftercurve
