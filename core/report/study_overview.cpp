#include "core/report/study_overview.h"

#include <algorithm>
#include <map>

#include "core/compare/descriptive.h"
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

/// How often each text stands, in the order of the texts; the empty text is left out.
std::map<std::string, std::size_t> countsOf(const Study& study, std::string Subject::*member) {
    std::map<std::string, std::size_t> counts;
    for (const Subject& subject : study.subjects) {
        if (!(subject.*member).empty()) {
            ++counts[subject.*member];
        }
    }
    return counts;
}

Row spreadRow(const Study& study, std::string label, std::optional<double> Subject::*member) {
    std::vector<double> values;
    for (const Subject& subject : study.subjects) {
        if (subject.*member) {
            values.push_back(*(subject.*member));
        }
    }
    std::sort(values.begin(), values.end());
    Row row = rowOf(label, {label, cellOf(values.size()), cellOf(mean(values)), cellOf(sampleSd(values)),
                            Cell{}, Cell{}});
    if (!values.empty()) {
        row.cells[4] = values.front();
        row.cells[5] = values.back();
    }
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

Table subjectsOverview(const Study& study) {
    Table table;
    table.key = "study_subjects";
    table.title = "Subjects";
    table.emptyText = "The study has no subject.";
    table.columns = {textColumn("what", "Characteristic"),    countColumn("n", "n"),
                     numberColumn("mean", "Mean", "", 1),     numberColumn("sd", "SD", "", 1),
                     numberColumn("lowest", "Lowest", "", 1), numberColumn("highest", "Highest", "", 1)};
    if (study.subjects.empty()) {
        return table;
    }
    table.rows.push_back(
        rowOf("all", {std::string{"Subjects on record"}, cellOf(study.subjects.size()), {}, {}, {}, {}}));
    for (const auto& [sex, count] : countsOf(study, &Subject::sex)) {
        table.rows.push_back(rowOf("sex/" + sex, {"Sex: " + sex, cellOf(count), {}, {}, {}, {}}));
    }
    for (const auto& [sequence, count] : countsOf(study, &Subject::sequence)) {
        table.rows.push_back(
            rowOf("sequence/" + sequence, {"Sequence: " + sequence, cellOf(count), {}, {}, {}, {}}));
    }
    table.rows.push_back(spreadRow(study, "Age (y)", &Subject::ageY));
    table.rows.push_back(spreadRow(study, "Body mass index (kg/m²)", &Subject::bmiKgM2));
    table.notes = {"n: subjects for whom it is stated."};
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
