#include "core/edit/facts_edits.h"

#include <cmath>
#include <vector>

#include "core/edit/table_edits.h"
#include "core/figure/figure_check.h"
#include "core/files/excerpt.h"

namespace aftercurve {

namespace {

std::vector<const std::string*> textsOf(const FigureSpec& figure) {
    std::vector<const std::string*> texts{&figure.id, &figure.title, &figure.caption,
                                          &figure.style.fontFamily};
    for (const PanelSpec& panel : figure.panels) {
        for (const std::string* text :
             {&panel.kind, &panel.analyte, &panel.measure, &panel.food, &panel.subject, &panel.frame.title,
              &panel.frame.unit, &panel.frame.x.title, &panel.frame.y.title}) {
            texts.push_back(text);
        }
    }
    for (const FoodAppearance& food : figure.style.foods) {
        for (const std::string* text : {&food.food, &food.label, &food.colour, &food.mark, &food.dash}) {
            texts.push_back(text);
        }
    }
    return texts;
}

}  // namespace

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

std::string faultOf(std::span<const FigureSpec> figures) {
    for (const FigureSpec& figure : figures) {
        for (const std::string* text : textsOf(figure)) {
            if (std::string fault = faultOfText(*text, longestJsonText); !fault.empty()) {
                return "figure " + shortened(figure.id) + ": " + fault;
            }
        }
    }
    const std::vector<Problem> problems = validate(figures);
    return problems.empty() ? std::string{} : problems.front().column + ": " + problems.front().what;
}

}  // namespace aftercurve
