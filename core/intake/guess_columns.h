#pragma once

#include <cstddef>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "core/intake/guess_table.h"

namespace aftercurve {

/// What each column of a table was settled to be.
struct SettledColumns {
    const std::vector<HeaderReading>& readings;
    const std::vector<std::pair<std::size_t, int>>&
        replicates;  ///< columns of assay duplicates, with the number
    const std::set<std::size_t>& unsure;
};

/// Writes the columns into the mapping of the table, an item each with its reason.
void listColumns(const InputTable& table, const std::string& key, const SettledColumns& settled,
                 TableGuess& guess);

}  // namespace aftercurve
