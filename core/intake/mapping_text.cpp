#include <cmath>
#include <cstdint>

#include "core/files/json_text.h"
#include "core/intake/mapping_json.h"

namespace aftercurve {

namespace {

Json numberFor(double value) {
    const bool whole = std::abs(value) < 1e15 && value == std::trunc(value);
    return whole ? Json(static_cast<std::int64_t>(value)) : Json(value);
}

Json numberFor(const std::optional<double>& value) {
    return value ? numberFor(*value) : Json(nullptr);
}

template <class Value>
Json wordOrNull(const std::optional<Value>& value) {
    return value ? Json(std::string{wordFor(*value)}) : Json(nullptr);
}

void putText(Json& object, const char* key, const std::string& text) {
    if (!text.empty()) {
        object[key] = text;
    }
}

std::string delimiterWord(char delimiter) {
    return delimiter == '\t' ? "tab" : std::string(1, delimiter);
}

Json jsonOf(const ColumnMapping& column) {
    Json object = Json::object();
    object["column"] = column.column;
    putText(object, "header", column.header);
    object["role"] = std::string{wordFor(column.role)};
    putText(object, "analyte", column.analyte);
    if (!column.unit.empty()) {
        object["unit"] = column.unit;
    }
    if (column.timeMin) {
        object["time_min"] = numberFor(*column.timeMin);
    }
    putText(object, "subject", column.subject);
    putText(object, "food", column.food);
    if (column.replicate != 0) {
        object["replicate"] = column.replicate;
    }
    return object;
}

Json jsonOf(const TableMapping& table) {
    Json object = Json::object();
    object["source"] = table.source;
    putText(object, "file", table.file);
    putText(object, "sheet", table.sheet);
    object["use"] = table.use;
    object["encoding"] = table.dialect.encoding;
    object["delimiter"] = delimiterWord(table.dialect.delimiter);
    object["decimal_mark"] = std::string(1, table.dialect.decimalMark);
    object["header_row"] = table.headerRow;
    object["header_rows"] = table.headerRows;
    object["first_row"] = table.firstRow;
    object["last_row"] = table.lastRow;
    object["layout"] = std::string{wordFor(table.layout)};
    object["subject_from"] = std::string{wordFor(table.subjectFrom)};
    if (table.subjectFrom == Origin::fixed || !table.subject.empty()) {
        object["subject"] = table.subject.empty() ? Json(nullptr) : Json(table.subject);
    }
    object["food_from"] = std::string{wordFor(table.foodFrom)};
    if (table.foodFrom == Origin::fixed || !table.food.empty()) {
        object["food"] = table.food.empty() ? Json(nullptr) : Json(table.food);
    }
    object["visit_from"] = std::string{wordFor(table.visitFrom)};
    object["visit"] = table.visit;
    putText(object, "analyte", table.analyte);
    putText(object, "unit", table.unit);
    object["fill_down"] = table.fillDown;
    object["other_columns"] = table.othersAreSubjects ? "subjects" : "ignore";
    object["columns"] = Json::array();
    for (const ColumnMapping& column : table.columns) {
        object["columns"].push_back(jsonOf(column));
    }
    return object;
}

Json jsonOf(const FoodMapping& food) {
    Json object = Json::object();
    object["id"] = food.id;
    object["label"] = food.label;
    object["role"] = wordOrNull(food.role);
    object["texts"] = food.texts;
    object["available_carbohydrate_g"] = numberFor(food.availableCarbohydrateG);
    object["portion_g"] = numberFor(food.portionG);
    return object;
}

}  // namespace

std::string mappingText(const Mapping& mapping) {
    Json root = Json::object();
    root["format"] = "aftercurve-mapping";
    root["version"] = 1;
    root["title"] = mapping.title;
    root["foods"] = Json::array();
    for (const FoodMapping& food : mapping.foods) {
        root["foods"].push_back(jsonOf(food));
    }
    root["analytes"] = Json::array();
    for (const AnalyteMapping& analyte : mapping.analytes) {
        Json object = Json::object();
        object["id"] = analyte.id;
        object["unit"] = analyte.unit.empty() ? Json(nullptr) : Json(analyte.unit);
        if (!analyte.fileUnit.empty() || needsFileUnit(mapping, analyte.id)) {
            object["file_unit"] = analyte.fileUnit.empty() ? Json(nullptr) : Json(analyte.fileUnit);
        }
        object["specimen"] = analyte.specimen;
        if (analyte.id == "insulin") {
            object["pmol_per_uiu"] = numberFor(analyte.pmolPerUiu);
        }
        root["analytes"].push_back(std::move(object));
    }
    root["missing_words"] = mapping.missingWords;
    root["limit_texts"] = Json::array();
    for (const LimitText& text : mapping.limitTexts) {
        Json object = Json::object();
        object["text"] = text.text;
        putText(object, "analyte", text.analyte);
        object["limit"] = numberFor(text.limit);
        root["limit_texts"].push_back(std::move(object));
    }
    root["time_texts"] = Json::array();
    for (const TimeText& text : mapping.timeTexts) {
        root["time_texts"].push_back(Json{{"text", text.text}, {"minutes", numberFor(text.minutes)}});
    }
    root["skip_rows_named"] = mapping.skipRowsNamed;
    if (mapping.dateOrder || hasColumn(mapping, ColumnRole::date)) {
        root["date_order"] = wordOrNull(mapping.dateOrder);
    }
    if (mapping.dilution || hasColumn(mapping, ColumnRole::dilution)) {
        root["dilution"] = wordOrNull(mapping.dilution);
    }
    root["subject_digits"] = mapping.subjectDigits ? Json(*mapping.subjectDigits) : Json(nullptr);
    root["time_basis"] = mapping.nominalBasis ? "nominal" : "actual";
    root["tables"] = Json::array();
    for (const TableMapping& table : mapping.tables) {
        root["tables"].push_back(jsonOf(table));
    }
    return root.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace aftercurve
