#include "core/edit/facts_edits.h"

#include <cmath>

#include "core/edit/table_edits.h"

namespace aftercurve {

std::string faultOf(const MealPart& part) {
    if (part.label.empty()) {
        return "a part of a meal has no name";
    }
    for (const std::string* text : {&part.label, &part.source}) {
        if (std::string fault = faultOfText(*text, longestJsonText); !fault.empty()) {
            return fault;
        }
    }
    for (const double number : {part.carbohydrateG, part.index}) {
        if (!std::isfinite(number) || number < 0.0) {
            return "carbohydrate and index are numbers from 0";
        }
    }
    return {};
}

std::string faultOf(const Conduct& conduct) {
    for (const ConductField& field : conductFields()) {
        if (field.text != nullptr) {
            if (std::string fault = faultOfText(conduct.*field.text, longestJsonText); !fault.empty()) {
                return std::string{field.label} + ": " + fault;
            }
        } else if (field.number != nullptr) {
            const auto& number = conduct.*field.number;
            if (number && !(std::isfinite(*number) && *number >= 0.0)) {
                return std::string{field.label} + ": it is not a number from 0";
            }
        }
    }
    return {};
}

}  // namespace aftercurve
