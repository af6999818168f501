#include "core/report/study_overview.h"

#include "core/files/plan_json.h"
#include "core/findings/tables/cells.h"

namespace aftercurve {

namespace {

Row rowOf(std::string key, std::vector<Cell> cells) {
    Row row;
    row.key = std::move(key);
    row.cells = std::move(cells);
    return row;
}

std::string textOf(const Json& value) {
    if (value.is_string()) {
        return value.get<std::string>();
    }
    if (value.is_null()) {
        return "none";
    }
    if (value.is_boolean()) {
        return value.get<bool>() ? "yes" : "no";
    }
    return value.dump(-1, ' ', false, Json::error_handler_t::replace);
}

void addChoices(const std::string& prefix, const Json& object, Table& table) {
    for (const auto& [key, value] : object.items()) {
        const std::string name = prefix + key;
        if (value.is_object() && !value.empty()) {
            addChoices(name + ".", value, table);
        } else {
            table.rows.push_back(rowOf(name, {name, textOf(value)}));
        }
    }
}

}  // namespace

Table foodsOverview(const Study& study) {
    Table table;
    table.key = "study_foods";
    table.title = "Foods";
    table.emptyText = "study.json names no food.";
    table.columns = {textColumn("food", "Food"), textColumn("id", "Code"), textColumn("role", "Role"),
                     numberColumn("portion_g", "Portion", "g", 0),
                     numberColumn("available_carbohydrate_g", "Available carbohydrate", "g", 1)};
    for (const CompositionField& field : compositionFields()) {
        table.columns.push_back(numberColumn(std::string{field.key}, std::string{field.label}, "", 1));
    }
    for (const Food& food : study.foods) {
        Row row = rowOf(food.id, {food.label, food.id, std::string{wordFor(food.role)}, cellOf(food.portionG),
                                  cellOf(food.availableCarbohydrateG)});
        for (const CompositionField& field : compositionFields()) {
            row.cells.push_back(cellOf(food.composition.*field.member));
        }
        table.rows.push_back(std::move(row));
    }
    table.notes = {"Composition is that of one portion as eaten. What is absent was not stated."};
    return table;
}

Table analytesOverview(const Study& study) {
    Table table;
    table.key = "study_analytes";
    table.title = "Analytes";
    table.emptyText = "study.json names no analyte.";
    table.columns = {textColumn("analyte", "Analyte"), textColumn("unit", "Unit"),
                     textColumn("specimen", "Specimen")};
    for (const Analyte& analyte : study.analytes) {
        table.rows.push_back(
            rowOf(analyte.id, {analyte.id, analyte.unit,
                               analyte.specimen.empty() ? std::string{"not stated"} : analyte.specimen}));
    }
    return table;
}

Table conductOverview(const Study& study) {
    Table table;
    table.key = "study_conduct";
    table.title = "How the study was run";
    table.columns = {textColumn("what", "Point"), textColumn("stated", "As stated")};
    for (const ConductField& field : conductFields()) {
        std::string text = conductText(study.conduct, field);
        table.rows.push_back(rowOf(std::string{field.key}, {std::string{field.label},
                                                            text.empty() ? "not stated" : std::move(text)}));
    }
    table.notes = {"Stated by the people of the study; no sample can show it."};
    return table;
}

Table planOverview(const Plan& plan) {
    Table table;
    table.key = "study_plan";
    table.title = "Plan as run";
    table.columns = {textColumn("choice", "Choice"), textColumn("value", "Value")};
    Json json = Json::object();
    putPlan(plan, json);
    addChoices("", json, table);
    return table;
}

}  // namespace aftercurve
