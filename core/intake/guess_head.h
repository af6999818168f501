#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "core/intake/header_words.h"
#include "core/intake/table_binding.h"

namespace aftercurve {

/// The first rows of a table as text.
struct HeadSample {
    std::vector<std::size_t> rows;  ///< row numbers
    std::vector<std::vector<std::string>> cells;
    bool cut = false;  ///< more rows follow
};

/// Takes the first `rows` rows that are not empty.
Result<HeadSample> sampleHead(const InputTable& table, const TextDialect& dialect, std::size_t rows);

/// Where the header of a table stands and what it says.
struct HeadGuess {
    std::size_t headerRow = 0;  ///< 0: none found
    std::size_t headerRows = 1;
    std::size_t firstRow = 1;
    bool unitsBelow = false;  ///< a row of units stands below the header
    TableHead head;
    std::vector<HeaderReading> columns;  ///< one a column of `head`
    std::vector<std::string> titles;     ///< cells above the header
};

/// The header is that row among the first 30 with at least half as many cells as the fullest row (and two)
/// which scores highest, the first of equals: 3 for each different role it names (an analyte with a time
/// counts as a time), 1 for each different analyte, 2 for three or more times that rise. A row that scores
/// nothing is no header. What stands above it is a title; lines that begin with '#' never are a header. The
/// row above is a second header row where it has one analyte over two or more columns of times, or one time
/// over two or more analytes. A row of units right below is taken as part of the header.
HeadGuess guessHead(const HeadSample& sample);

}  // namespace aftercurve
