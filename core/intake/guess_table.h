#pragma once

#include <string>
#include <vector>

#include "core/intake/column_facts.h"
#include "core/intake/guess.h"

namespace aftercurve {

/// What can be told of one table by itself.
struct TableGuess {
    TableMapping how;
    HeadGuess head;
    TableFacts facts;
    std::vector<GuessedItem> items;
    bool hasValues = false;  ///< it has concentrations
    bool foodOpen = false;   ///< no column tells the food
    bool subjectOpen = false;
    bool analyteOpen = false;  ///< values without a name
    std::string titleUnit;     ///< unit in the sheet's or file's name or in the titles
};

/// Guesses the layout and the columns of one table; `key` is its place in the mapping, "tables[0]".
Result<TableGuess> guessTable(const InputTable& table, const std::string& key,
                              const std::vector<std::string>& missingWords);

}  // namespace aftercurve
