#pragma once

#include <set>
#include <string>
#include <vector>

#include "core/findings/findings.h"

namespace aftercurve {

/// A note naming the foods whose portion does not match the reference's, for tables that show their number
/// as an index; nothing where there is none.
inline void addUnmatchedNote(const Study& study, const Findings& findings, std::vector<std::string>& notes) {
    std::string foods;
    std::set<std::string> told;
    for (const IndexPortion& portion : findings.indexPortions) {
        if (portion.matched == false && told.insert(portion.food).second) {
            foods += (foods.empty() ? "" : ", ") + labelOf(study, portion.food);
        }
    }
    if (!foods.empty()) {
        notes.push_back(
            "No index but a relative response of the portion, as its available carbohydrate does "
            "not match the reference's: " +
            foods + ".");
    }
}

}  // namespace aftercurve
