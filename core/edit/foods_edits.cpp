// The foods table, which stands in study.json.
#include <charconv>
#include <cmath>

#include "core/edit/table_edits.h"
#include "core/files/cell_rules.h"
#include "core/files/delimited.h"
#include "core/files/excerpt.h"

namespace aftercurve {

namespace {

constexpr std::size_t longestId = 100;
constexpr std::size_t mostFoods = 1000;

enum FoodsColumn : std::size_t { id, label, role, availableCarbohydrateG, portionG, firstOfComposition };

std::size_t foodsColumnCount() {
    return firstOfComposition + compositionFields().size();
}

/// The grams or kilojoules of a column past the role.
std::optional<double>& numberAt(Food& food, std::size_t column) {
    if (column >= firstOfComposition) {
        return food.composition.*compositionFields()[column - firstOfComposition].member;
    }
    return column == availableCarbohydrateG ? food.availableCarbohydrateG : food.portionG;
}

std::vector<TableColumn> columns(const Study& /*study*/) {
    std::vector<TableColumn> list{{"id", "Id", false, true},
                                  {"label", "Label", false, false},
                                  {"role", "Role", false, true},
                                  {"available_carbohydrate_g", "Available carbohydrate (g)", true, false},
                                  {"portion_g", "Portion (g)", true, false}};
    for (const CompositionField& field : compositionFields()) {
        list.push_back({std::string{field.key}, std::string{field.label}, true, false});
    }
    return list;
}

std::size_t rows(const Study& study) {
    return study.foods.size();
}

std::string text(const Study& study, std::size_t row, std::size_t column) {
    const Food& food = study.foods[row];
    switch (column) {
        case id:
            return food.id;
        case label:
            return food.label;
        case role:
            return std::string{wordFor(food.role)};
        case availableCarbohydrateG:
            return numberText(food.availableCarbohydrateG);
        case portionG:
            return numberText(food.portionG);
        default:
            return numberText(food.composition.*compositionFields()[column - firstOfComposition].member);
    }
}

Result<std::string> idFrom(const Study& study, std::string_view text, const std::string& present) {
    if (text == present && !present.empty()) {
        return present;
    }
    std::string fault = faultOfText(text, longestId);
    if (text.empty()) {
        fault = "it is empty";
    } else if (fault.empty() && trimmed(text) != text) {
        fault = quote(text) + " has blanks at its ends";
    }
    if (!fault.empty()) {
        return cellProblem("id", "the id of the food: " + fault, "give it a short id in one line");
    }
    if (findFood(study, text)) {
        return cellProblem("id", "the food " + quote(text) + " is there already", "give each its own id");
    }
    return std::string{text};
}

/// A number from 0 as study.json may hold it; it knows no largest one.
Result<std::optional<double>> gramsFrom(std::string_view text, const std::string& column) {
    NumberCell number = readNumber(text);
    if (number.kind == NumberKind::missing) {
        return std::optional<double>{};
    }
    if (number.kind == NumberKind::tooLarge) {
        const std::string_view digits = trimmed(text);
        const auto parsed = std::from_chars(digits.data(), digits.data() + digits.size(), number.value);
        if (parsed.ec == std::errc{} && parsed.ptr == digits.data() + digits.size()) {
            number.kind = NumberKind::value;
        }
    }
    if (number.kind == NumberKind::value && std::isfinite(number.value) && number.value >= 0.0) {
        return std::optional{number.value};
    }
    const std::string fault =
        number.kind == NumberKind::value ? quote(text) + " is negative" : faultOf(number.kind, text);
    return cellProblem(column, column + ": " + fault, "enter a number from 0, or leave it empty");
}

/// Writes one cell but the id into a food, whose id is set.
Result<Done> put(Food& food, std::size_t column, std::string_view text) {
    if (column == label) {
        if (std::string fault = faultOfText(text, longestJsonText); !fault.empty()) {
            return cellProblem("label", "label: " + fault, "write it in one line");
        }
        food.label = text.empty() ? food.id : std::string{text};
        return Done{};
    }
    if (column == role) {
        const auto found = foodRoleFrom(trimmed(text));
        if (!found) {
            return cellProblem("role", "the role " + quote(text) + " is not known",
                               "use one of reference, control, test");
        }
        food.role = *found;
        return Done{};
    }
    const auto number = gramsFrom(text, columns({})[column].name);
    if (!number) {
        return number.problem();
    }
    numberAt(food, column) = number.value();
    return Done{};
}

Result<Done> set(Study& study, const SetCell& cell) {
    const std::size_t row = cell.row;
    const std::size_t column = cell.column;
    const std::string& newText = cell.text;
    Food& food = study.foods[row];
    if (column != id) {
        return put(food, column, newText);
    }
    Result<std::string> newId = idFrom(study, newText, food.id);
    if (!newId) {
        return newId.problem();
    }
    if (newId.value() == food.id) {
        return Done{};
    }
    if (auto problem = nameInUse(study, NamedThing::food, newId.value())) {
        return *problem;
    }
    renameEverywhere(study, NamedThing::food, food.id, newId.value());
    food.id = std::move(newId).value();
    return Done{};
}

/// Moves the indices of the foods from `row` on by `step`.
void moveFoods(Study& study, std::size_t row, int step) {
    const auto move = [&](std::uint32_t& index) {
        if (index >= row) {
            index = static_cast<std::uint32_t>(static_cast<std::int64_t>(index) + step);
        }
    };
    for (Draw& draw : study.draws) {
        move(draw.food);
    }
    for (VisitRecord& visit : study.visits) {
        move(visit.food);
    }
}

Result<std::size_t> insert(Study& study, const InsertRow& change) {
    if (study.foods.size() >= mostFoods) {
        return cellProblem({}, "the study has 1000 foods, the most that are read", "remove one first");
    }
    Food food;
    Result<std::string> newId = idFrom(study, change.cells[id], {});
    if (!newId) {
        return newId.problem();
    }
    food.id = std::move(newId).value();
    for (std::size_t column = label; column < foodsColumnCount(); ++column) {
        if (Result<Done> done = put(food, column, change.cells[column]); !done) {
            return done.problem();
        }
    }
    if (change.row < study.foods.size()) {
        moveFoods(study, change.row, 1);
    }
    study.foods.insert(study.foods.begin() + static_cast<std::ptrdiff_t>(change.row), std::move(food));
    return change.row;
}

Result<Done> remove(Study& study, const RemoveRow& change) {
    const std::size_t row = change.row;
    if (const auto table = foodUsedIn(study, row)) {
        return cellProblem("id",
                           "the food " + quote(study.foods[row].id) + " has rows in the " + *table +
                               ", and cannot be removed",
                           "exclude it instead, or remove those rows first");
    }
    if (!study.foods[row].parts.empty()) {
        return cellProblem("parts", "the food " + quote(study.foods[row].id) + " has parts of a meal",
                           "remove its parts first");
    }
    study.foods.erase(study.foods.begin() + static_cast<std::ptrdiff_t>(row));
    if (row < study.foods.size()) {
        moveFoods(study, row, -1);
    }
    return Done{};
}

std::string nameOfRow(const Study& study, std::size_t row) {
    return "food " + shortened(study.foods[row].id);
}

}  // namespace

const TableEdits foodsEdits{columns, rows, text, set, insert, remove, nameOfRow};

}  // namespace aftercurve
