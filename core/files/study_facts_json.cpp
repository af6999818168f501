#include "core/files/study_facts_json.h"

#include "core/files/read_rule.h"

namespace aftercurve {

namespace {

constexpr const char* partsKey = "parts";
constexpr const char* conductKey = "conduct";

void put(Json& object, const std::string& key, const std::string& text) {
    if (text.empty()) {
        object.erase(key);
    } else {
        object[key] = text;
    }
}

void put(Json& object, const std::string& key, const std::optional<double>& number) {
    if (number) {
        object[key] = numberJson(*number);
    } else {
        object.erase(key);
    }
}

MealPart partFrom(const JsonObject& entry) {
    MealPart part;
    part.label = entry.text("label", Need::required).value_or("");
    for (const auto& [key, member] :
         {std::pair{"carbohydrate_g", &MealPart::carbohydrateG}, std::pair{"index", &MealPart::index}}) {
        const auto number = entry.notNegative(key);
        if (!number && (!entry.value().contains(key) || entry.value().at(key).is_null())) {
            entry.report(Weight::fatal, key, "is missing", "give a number from 0");
        }
        part.*member = number.value_or(0.0);
    }
    readRule(entry, "scale", part.scale, indexScaleFrom, {IndexScale::glucose, IndexScale::whiteBread});
    part.source = entry.text("source").value_or("");
    entry.noteUnknownKeys({"label", "carbohydrate_g", "index", "scale", "source"});
    return part;
}

}  // namespace

FoodComposition compositionFrom(const JsonObject& food) {
    FoodComposition composition;
    for (const CompositionField& field : compositionFields()) {
        composition.*field.member = food.notNegative(std::string{field.key}.c_str());
    }
    return composition;
}

std::vector<MealPart> partsFrom(const JsonObject& food) {
    std::vector<MealPart> parts;
    const std::vector<JsonObject> entries = food.objects(partsKey, Need::optional);
    if (entries.size() > mostMealParts) {
        food.report(Weight::fatal, partsKey, "has more than 100 entries", "name the parts of one meal");
        return parts;
    }
    for (const JsonObject& entry : entries) {
        parts.push_back(partFrom(entry));
    }
    return parts;
}

Conduct conductFrom(const JsonObject& object) {
    Conduct conduct;
    for (const ConductField& field : conductFields()) {
        const std::string key{field.key};
        if (field.text != nullptr) {
            conduct.*field.text = object.text(key.c_str()).value_or("");
        } else if (field.number != nullptr) {
            conduct.*field.number = object.notNegative(key.c_str());
        } else {
            conduct.*field.yesNo = object.boolean(key.c_str());
        }
    }
    return conduct;
}

void putComposition(const FoodComposition& was, const FoodComposition& now, Json& food) {
    for (const CompositionField& field : compositionFields()) {
        if (was.*field.member != now.*field.member) {
            put(food, std::string{field.key}, now.*field.member);
        }
    }
}

void putParts(std::span<const MealPart> parts, Json& food) {
    if (parts.empty()) {
        food.erase(partsKey);
        return;
    }
    Json entries = Json::array();
    for (const MealPart& part : parts) {
        Json entry = Json::object();
        entry["label"] = part.label;
        entry["carbohydrate_g"] = numberJson(part.carbohydrateG);
        entry["index"] = numberJson(part.index);
        entry["scale"] = std::string{wordFor(part.scale)};
        put(entry, "source", part.source);
        entries.push_back(std::move(entry));
    }
    food[partsKey] = std::move(entries);
}

void putConduct(const Conduct& conduct, Json& root) {
    Json object =
        root.contains(conductKey) && root[conductKey].is_object() ? root[conductKey] : Json::object();
    for (const ConductField& field : conductFields()) {
        const std::string key{field.key};
        if (field.text != nullptr) {
            put(object, key, conduct.*field.text);
        } else if (field.number != nullptr) {
            put(object, key, conduct.*field.number);
        } else if (const auto& fact = conduct.*field.yesNo; fact) {
            object[key] = *fact;
        } else {
            object.erase(key);
        }
    }
    if (object.empty()) {
        root.erase(conductKey);
    } else {
        root[conductKey] = std::move(object);
    }
}

}  // namespace aftercurve
