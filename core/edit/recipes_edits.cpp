// The recipes, which stand in study.json, and the parts of all of them as one table.
#include <algorithm>
#include <array>

#include "core/base/number_text.h"
#include "core/edit/cell_reading.h"
#include "core/files/excerpt.h"
#include "core/files/fibre_json.h"

namespace aftercurve {

namespace {

bool hasPart(const Recipe& recipe, std::string_view material) {
    return std::any_of(recipe.parts.begin(), recipe.parts.end(),
                       [material](const RecipePart& part) { return part.material == material; });
}

/// A number from 0 to `most`, 0 where the text is empty.
Result<double> amountOrZero(std::string_view text, std::string_view column, double most) {
    const Result<std::optional<double>> read = amountFrom(text, column, 0.0, most);
    return read ? Result<double>{read.value().value_or(0.0)} : read.problem();
}

namespace recipe_table {

enum RecipesColumn : std::size_t { id, label, food, bakedMassG, servingG, replaced, by, share, columnCount };

std::vector<TableColumn> columns(const Study& /*study*/) {
    return {{"id", "Id", false, true},
            {"label", "Label", false, false},
            {"food", "Food", false, false},
            {"baked_mass_g", "Mass after baking (g)", true, false},
            {"serving_g", "Serving (g)", true, false},
            {"replaced", "Replaced material", false, false},
            {"by", "Replaced by", false, false},
            {"replaced_share", "Replaced share (0 to 1)", true, false}};
}

std::size_t rows(const Study& study) {
    return study.fibre.recipes.size();
}

std::string text(const Study& study, std::size_t row, std::size_t column) {
    const Recipe& recipe = study.fibre.recipes[row];
    switch (column) {
        case id:
            return recipe.id;
        case label:
            return recipe.label;
        case food:
            return recipe.food;
        case bakedMassG:
            return numberText(recipe.bakedMassG);
        case servingG:
            return plainNumber(recipe.servingG);
        case replaced:
            return recipe.replaced;
        case by:
            return recipe.by;
        default:
            return plainNumber(recipe.replacedShare);
    }
}

/// A material of one of the recipe's parts, or none; any that stood there where a change is taken back.
Result<std::string> materialFrom(const Recipe& recipe, std::string_view text, std::string_view column,
                                 bool takesBack) {
    Result<std::string> read = jsonTextFrom(text, column);
    if (read && !takesBack && !text.empty() && !hasPart(recipe, text)) {
        return cellProblem(column, "the recipe has no part " + quote(text),
                           "add it to its parts first (with a mass of 0 where it only takes a place)");
    }
    return read;
}

/// Writes one cell but the id into a recipe, whose id is set.
Result<Done> put(const Study& study, Recipe& recipe, std::size_t column, std::string_view words,
                 bool takesBack) {
    switch (column) {
        case label: {
            Result<std::string> read = jsonTextFrom(words, "label");
            return read && read.value().empty() ? keep(Result<std::string>{recipe.id}, recipe.label)
                                                : keep(std::move(read), recipe.label);
        }
        case food:
            return keep(foodIdFrom(study, words, takesBack), recipe.food);
        case bakedMassG:
            return keep(amountFrom(words, "baked_mass_g", 0.0, largestMassG), recipe.bakedMassG);
        case servingG:
            return keep(amountOrZero(words, "serving_g", largestMassG), recipe.servingG);
        case replaced:
            return keep(materialFrom(recipe, words, "replaced", takesBack), recipe.replaced);
        case by:
            return keep(materialFrom(recipe, words, "by", takesBack), recipe.by);
        default:
            return keep(amountOrZero(words, "replaced_share", 1.0), recipe.replacedShare);
    }
}

Result<std::string> newIdFrom(const Study& study, const std::string& text, bool takesBack) {
    Result<std::string> read = entryIdFrom(text, "the recipe", takesBack);
    const auto& all = study.fibre.recipes;
    if (read && std::any_of(all.begin(), all.end(), [&](const Recipe& one) { return one.id == text; })) {
        return cellProblem("id", "the recipe " + quote(text) + " is there already", "give each its own id");
    }
    return read;
}

Result<Done> set(Study& study, const SetCell& cell) {
    Recipe& recipe = study.fibre.recipes[cell.row];
    if (cell.column == id) {
        return cell.text == recipe.id ? Result<Done>{Done{}}
                                      : keep(newIdFrom(study, cell.text, cell.takesBack), recipe.id);
    }
    return put(study, recipe, cell.column, cell.text, cell.takesBack);
}

Result<std::size_t> insert(Study& study, const InsertRow& change) {
    if (study.fibre.recipes.size() >= mostRecipes) {
        return cellProblem({}, "the study has 100 recipes, the most that are read", "remove one first");
    }
    Result<std::string> newId = newIdFrom(study, change.cells[id], change.takesBack);
    if (!newId) {
        return newId.problem();
    }
    Recipe recipe;
    recipe.id = std::move(newId).value();
    for (std::size_t column = label; column < columnCount; ++column) {
        const Result<Done> done = put(study, recipe, column, change.cells[column], change.takesBack);
        if (!done) {
            return done.problem();
        }
    }
    putInto(study.fibre.recipes, change.row, std::move(recipe));
    return change.row;
}

Result<Done> remove(Study& study, const RemoveRow& change) {
    const Recipe& recipe = study.fibre.recipes[change.row];
    if (!recipe.parts.empty()) {
        return cellProblem("id", "the recipe " + quote(recipe.id) + " has parts", "remove its parts first");
    }
    takeOut(study.fibre.recipes, change.row);
    return Done{};
}

std::string nameOfRow(const Study& study, std::size_t row) {
    return "recipe " + shortened(study.fibre.recipes[row].id);
}

}  // namespace recipe_table

namespace part_table {

enum PartsColumn : std::size_t { recipe, material, massG, firstAmount };

struct AmountColumn {
    const char* name;
    const char* label;
    std::optional<double> RecipePart::*member;
};

constexpr std::array amountColumns{
    AmountColumn{"fibre_per_100g", "Fibre (g/100 g)", &RecipePart::fibrePer100g},
    AmountColumn{"available_carbohydrate_per_100g", "Available carbohydrate (g/100 g)",
                 &RecipePart::availableCarbohydratePer100g},
    AmountColumn{"protein_per_100g", "Protein (g/100 g)", &RecipePart::proteinPer100g},
    AmountColumn{"fat_per_100g", "Fat (g/100 g)", &RecipePart::fatPer100g},
    AmountColumn{"water_per_100g", "Water (g/100 g)", &RecipePart::waterPer100g}};

constexpr std::size_t columnCount = firstAmount + amountColumns.size();

/// A part: its recipe, and its place among the parts of that.
struct PartPlace {
    std::size_t recipe = 0;
    std::size_t part = 0;
};

PartPlace placeOf(const Study& study, std::size_t row) {
    PartPlace place{0, row};
    while (place.part >= study.fibre.recipes[place.recipe].parts.size()) {
        place.part -= study.fibre.recipes[place.recipe++].parts.size();
    }
    return place;
}

std::vector<TableColumn> columns(const Study& /*study*/) {
    std::vector<TableColumn> list{{"recipe", "Recipe", false, true},
                                  {"material", "Material", false, true},
                                  {"mass_g", "Mass (g)", true, false}};
    for (const AmountColumn& amount : amountColumns) {
        list.push_back({amount.name, amount.label, true, false});
    }
    return list;
}

std::size_t rows(const Study& study) {
    std::size_t count = 0;
    for (const Recipe& one : study.fibre.recipes) {
        count += one.parts.size();
    }
    return count;
}

std::string text(const Study& study, std::size_t row, std::size_t column) {
    const PartPlace place = placeOf(study, row);
    const Recipe& of = study.fibre.recipes[place.recipe];
    const RecipePart& part = of.parts[place.part];
    switch (column) {
        case recipe:
            return of.id;
        case material:
            return part.material;
        case massG:
            return plainNumber(part.massG);
        default:
            return numberText(part.*amountColumns[column - firstAmount].member);
    }
}

Result<std::size_t> recipeFrom(const Study& study, const std::string& text) {
    const auto& all = study.fibre.recipes;
    const auto found =
        std::find_if(all.begin(), all.end(), [&](const Recipe& one) { return one.id == text; });
    if (found != all.end()) {
        return static_cast<std::size_t>(found - all.begin());
    }
    return cellProblem("recipe", text.empty() ? "the recipe is empty" : "there is no recipe " + quote(text),
                       "add it to the recipes first, or mend its spelling");
}

Result<std::string> materialFrom(const Recipe& of, const std::string& text, bool takesBack) {
    Result<std::string> read = entryIdFrom(text, "the material", takesBack);
    if (!read) {
        Problem problem = read.problem();
        problem.column = "material";
        return problem;
    }
    if (hasPart(of, text)) {
        return cellProblem("material", "the recipe has " + quote(text) + " already", "add the masses");
    }
    return read;
}

/// Writes one cell past the material.
Result<Done> put(RecipePart& part, std::size_t column, std::string_view words) {
    if (column == massG) {
        return keep(amountOrZero(words, "mass_g", largestMassG), part.massG);
    }
    const AmountColumn& amount = amountColumns[column - firstAmount];
    return keep(amountFrom(words, amount.name, 0.0, 100.0), part.*amount.member);
}

/// What the recipe replaces follows the name of its part.
Result<Done> rename(Recipe& of, RecipePart& part, const SetCell& cell) {
    if (cell.text == part.material) {
        return Done{};
    }
    Result<std::string> read = materialFrom(of, cell.text, cell.takesBack);
    if (!read) {
        return read.problem();
    }
    if (of.replaced == read.value() || of.by == read.value()) {
        return cellProblem("material",
                           "the recipe replaces " + quote(read.value()) + " already, which is no part of it",
                           "change what the recipe replaces first");
    }
    for (std::string* name : {&of.replaced, &of.by}) {
        if (*name == part.material) {
            *name = read.value();
        }
    }
    part.material = std::move(read).value();
    return Done{};
}

Result<Done> set(Study& study, const SetCell& cell) {
    const PartPlace place = placeOf(study, cell.row);
    Recipe& of = study.fibre.recipes[place.recipe];
    if (cell.column == recipe) {
        return cell.text == of.id ? Result<Done>{Done{}}
                                  : cellProblem("recipe", "a part stays in its recipe",
                                                "remove the part, and add a row with the other recipe");
    }
    RecipePart& part = of.parts[place.part];
    return cell.column == material ? rename(of, part, cell) : put(part, cell.column, cell.text);
}

Result<std::size_t> insert(Study& study, const InsertRow& change) {
    const Result<std::size_t> found = recipeFrom(study, change.cells[recipe]);
    if (!found) {
        return found.problem();
    }
    Recipe& of = study.fibre.recipes[found.value()];
    if (of.parts.size() >= mostRecipeParts) {
        return cellProblem({}, "the recipe has 100 parts, the most that are read", "remove one first");
    }
    Result<std::string> read = materialFrom(of, change.cells[material], change.takesBack);
    if (!read) {
        return read.problem();
    }
    RecipePart part;
    part.material = std::move(read).value();
    for (std::size_t column = massG; column < columnCount; ++column) {
        if (const Result<Done> done = put(part, column, change.cells[column]); !done) {
            return done.problem();
        }
    }
    std::size_t first = 0;
    for (std::size_t i = 0; i < found.value(); ++i) {
        first += study.fibre.recipes[i].parts.size();
    }
    const std::size_t row = std::clamp(change.row, first, first + of.parts.size());
    putInto(of.parts, row - first, std::move(part));
    return row;
}

Result<Done> remove(Study& study, const RemoveRow& change) {
    const PartPlace place = placeOf(study, change.row);
    Recipe& of = study.fibre.recipes[place.recipe];
    const std::string& name = of.parts[place.part].material;
    if (!change.takesBack && (of.replaced == name || of.by == name)) {
        return cellProblem("material",
                           "the recipe " + quote(of.id) + " replaces " + quote(of.replaced) + " by " +
                               quote(of.by) + ", and needs this part",
                           "change what the recipe replaces first");
    }
    takeOut(of.parts, place.part);
    return Done{};
}

std::string nameOfRow(const Study& study, std::size_t row) {
    const PartPlace place = placeOf(study, row);
    const Recipe& of = study.fibre.recipes[place.recipe];
    return "recipe " + shortened(of.id) + ", " + shortened(of.parts[place.part].material);
}

}  // namespace part_table

}  // namespace

const TableEdits recipesEdits{recipe_table::columns,  recipe_table::rows,   recipe_table::text,
                              recipe_table::set,      recipe_table::insert, recipe_table::remove,
                              recipe_table::nameOfRow};

const TableEdits recipePartsEdits{part_table::columns,  part_table::rows,   part_table::text,
                                  part_table::set,      part_table::insert, part_table::remove,
                                  part_table::nameOfRow};

}  // namespace aftercurve
