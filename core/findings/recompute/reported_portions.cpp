#include <array>
#include <string_view>

#include "core/findings/recompute/parts.h"
#include "core/findings/tables/builders.h"

namespace aftercurve {

namespace {

constexpr std::array<std::string_view, 3> words{"comparator_match", "reference_match", "energy_from"};

}  // namespace

void addPortions(ReportedRows& rows, const StudyNumbers& numbers, const Findings& findings) {
    const Study nameless;
    for (const auto build : {portionsTable, servingsTable, compositionTable}) {
        const Table table = build(nameless, findings);
        for (const Row& row : table.rows) {
            ReportedPlace place;
            place.food = numbers.food.at(row.about.food);
            // Its own item, where the key has one after the food.
            if (row.key.size() > row.about.food.size()) {
                place.item = row.key.substr(row.about.food.size() + 1);
            }
            addTableRow(rows, place, table, row, words);
        }
    }
}

}  // namespace aftercurve
