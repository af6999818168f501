#include "core/files/fibre_json.h"

#include <algorithm>
#include <set>
#include <utility>

#include "core/files/excerpt.h"
#include "core/files/json_put.h"

namespace aftercurve {

namespace {

constexpr const char* fibreKey = "fibre";
constexpr const char* rulesKey = "fibre_rules";
constexpr const char* recipesKey = "recipes";
constexpr const char* repeatabilityKey = "repeatability_sd";
constexpr std::size_t mostMethods = 100;
constexpr std::size_t mostStatements = 50;
constexpr std::size_t mostSteps = 20;

using Amount = std::pair<const char*, std::optional<double> RecipePart::*>;
constexpr Amount amounts[] = {{"fibre_g", &RecipePart::fibrePer100g},
                              {"available_carbohydrate_g", &RecipePart::availableCarbohydratePer100g},
                              {"protein_g", &RecipePart::proteinPer100g},
                              {"fat_g", &RecipePart::fatPer100g},
                              {"water_g", &RecipePart::waterPer100g}};

void refuse(const JsonObject& object, const char* key, const std::string& what, const char* remedy) {
    object.report(Weight::fatal, key, what, remedy);
}

std::optional<double> upTo(const JsonObject& object, const char* key, double most) {
    const auto number = object.notNegative(key);
    if (number && *number > most) {
        refuse(object, key, "is " + shown(object.value().at(key)) + ", which is too large",
               "check the number and its unit");
        return std::nullopt;
    }
    return number;
}

std::vector<JsonObject> entriesOf(const JsonObject& object, const char* key, std::size_t most, Need need) {
    std::vector<JsonObject> entries = object.objects(key, need);
    if (entries.size() > most) {
        refuse(object, key, "has more than " + std::to_string(most) + " entries",
               "check that it is a study file");
        return {};
    }
    return entries;
}

RecipePart partFrom(const JsonObject& entry) {
    RecipePart part;
    part.material = entry.id("material", Need::required).value_or("");
    part.massG = upTo(entry, "mass_g", largestMassG).value_or(0.0);
    for (const auto& [key, member] : amounts) {
        part.*member = upTo(entry, key, 100.0);
    }
    entry.noteUnknownKeys(
        {"material", "mass_g", "fibre_g", "available_carbohydrate_g", "protein_g", "fat_g", "water_g"});
    return part;
}

Recipe recipeFrom(const JsonObject& entry) {
    Recipe recipe;
    recipe.id = entry.id("id", Need::required).value_or("");
    recipe.label = entry.text("label").value_or("");
    if (recipe.label.empty()) {
        recipe.label = recipe.id;
    }
    recipe.food = entry.text("food").value_or("");
    std::set<std::string> materials;
    for (const JsonObject& part : entriesOf(entry, "parts", mostRecipeParts, Need::optional)) {
        recipe.parts.push_back(partFrom(part));
        if (!materials.insert(recipe.parts.back().material).second) {
            refuse(part, "material", quote(recipe.parts.back().material) + " appears twice",
                   "add the masses");
        }
    }
    recipe.bakedMassG = upTo(entry, "baked_mass_g", largestMassG);
    recipe.servingG = upTo(entry, "serving_g", largestMassG).value_or(0.0);
    recipe.replaced = entry.text("replace").value_or("");
    recipe.by = entry.text("by").value_or("");
    recipe.replacedShare = upTo(entry, "share", 1.0).value_or(0.0);
    entry.noteUnknownKeys(
        {"id", "label", "food", "parts", "baked_mass_g", "serving_g", "replace", "by", "share"});
    return recipe;
}

std::vector<FibrePart> partsOf(const JsonObject& entry, const char* key, Need need) {
    std::vector<FibrePart> parts;
    for (const std::string& word : entry.texts(key, need).value_or(std::vector<std::string>{})) {
        const auto part = fibrePartFrom(word);
        if (!part) {
            refuse(entry, key, "names " + quote(word) + ", which is no part of fibre",
                   "use insoluble, soluble-high, soluble-low, rs1, rs2, rs3, rs4, fructans");
        } else if (std::find(parts.begin(), parts.end(), *part) == parts.end()) {
            parts.push_back(*part);
        }
    }
    return parts;
}

FibreBasis basisOf(const JsonObject& entry, const char* key, FibreBasis otherwise) {
    const auto word = entry.text(key);
    if (!word) {
        return otherwise;
    }
    const auto basis = fibreBasisFrom(*word);
    if (!basis) {
        refuse(entry, key, "is " + quote(*word), "use one of 100 g, 100 kcal, serving");
    }
    return basis.value_or(otherwise);
}

FibreStatementRule statementFrom(const JsonObject& entry) {
    FibreStatementRule statement;
    statement.words = entry.text("words", Need::required).value_or("");
    for (const JsonObject& one : entriesOf(entry, "any_of", mostStatements, Need::required)) {
        statement.anyOf.push_back(
            {basisOf(one, "per", FibreBasis::hundredG), one.notNegative("at_least_g").value_or(0.0)});
    }
    return statement;
}

FibreRoundingStep stepFrom(const JsonObject& entry) {
    FibreRoundingStep step;
    step.fromG = entry.notNegative("from_g").value_or(0.0);
    step.above = entry.boolean("above").value_or(false);
    step.nearestG = entry.notNegative("nearest_g").value_or(0.0);
    // Out of the range of an int it is out of any range; faultOf names those allowed.
    step.figures =
        static_cast<int>(std::clamp<std::int64_t>(entry.wholeNumber("figures").value_or(0), -1, 1000));
    step.words = entry.text("words").value_or("");
    return step;
}

FibreRule ruleFrom(const JsonObject& entry) {
    FibreRule rule;
    rule.key = entry.id("key", Need::required).value_or("");
    rule.title = entry.text("title", Need::required).value_or("");
    rule.definition = entry.text("definition").value_or("");
    rule.includes = partsOf(entry, "includes", Need::required);
    rule.leftToAuthority = partsOf(entry, "left_to_authority", Need::optional);
    rule.methods = entry.texts("methods", Need::optional).value_or(std::vector<std::string>{});
    for (const JsonObject& one : entriesOf(entry, "statements", mostStatements, Need::optional)) {
        rule.statements.push_back(statementFrom(one));
    }
    rule.labelPer = basisOf(entry, "label_per", FibreBasis::hundredG);
    for (const JsonObject& one : entriesOf(entry, "rounding", mostSteps, Need::optional)) {
        rule.rounding.push_back(stepFrom(one));
    }
    rule.source = entry.text("source", Need::required).value_or("");
    rule.on = entry.text("on").value_or("");
    entry.noteUnknownKeys({"key", "title", "definition", "includes", "left_to_authority", "methods",
                           "statements", "label_per", "rounding", "source", "on"});
    if (const std::string fault = faultOf(rule); !fault.empty()) {
        refuse(entry, "key", "is the key of a rule that cannot be used: " + fault, "mend the rule");
    }
    return rule;
}

void readFibre(const JsonObject& object, FibreData& fibre) {
    fibre.file = object.text("file").value_or("");
    fibre.region = object.text("region").value_or("");
    fibre.targetG = upTo(object, "target_g", largestMassG);
    if (const auto own = object.object(repeatabilityKey)) {
        if (own->value().size() > mostMethods) {
            refuse(object, repeatabilityKey, "has more than 100 entries", "name one number a method");
            return;
        }
        for (const auto& [method, value] : own->value().items()) {
            const auto sd = upTo(*own, method.c_str(), 100.0);
            if (sd && !(*sd > 0.0)) {
                refuse(*own, method.c_str(), "is 0; a standard deviation above 0 is expected", "mend it");
            } else if (sd) {
                fibre.repeatability.push_back({method, *sd});
            }
        }
        std::sort(fibre.repeatability.begin(), fibre.repeatability.end(),
                  [](const OwnRepeatability& a, const OwnRepeatability& b) { return a.method < b.method; });
    }
    object.noteUnknownKeys({"file", "region", "target_g", repeatabilityKey});
}

Json listIn(const Json& object, const char* key) {
    return object.contains(key) ? object[key] : Json::array();
}

Json recipeJson(const Recipe& recipe, Json entry) {
    entry["id"] = recipe.id;
    putLabel(entry, recipe.id, recipe.label);
    putText(entry, "food", recipe.food);
    const Json old = listIn(entry, "parts");
    Json parts = Json::array();
    for (const RecipePart& part : recipe.parts) {
        Json one = entryNamed(old, "material", part.material);
        one["material"] = part.material;
        putNumberUnless(one, "mass_g", part.massG, 0.0);
        for (const auto& [key, member] : amounts) {
            putNumber(one, key, part.*member);
        }
        parts.push_back(std::move(one));
    }
    entry["parts"] = std::move(parts);
    putNumber(entry, "baked_mass_g", recipe.bakedMassG);
    putNumberUnless(entry, "serving_g", recipe.servingG, 0.0);
    putText(entry, "replace", recipe.replaced);
    putText(entry, "by", recipe.by);
    putNumberUnless(entry, "share", recipe.replacedShare, 0.0);
    return entry;
}

Json wordsJson(const std::vector<FibrePart>& parts) {
    Json words = Json::array();
    for (const FibrePart part : parts) {
        words.push_back(std::string{wordFor(part)});
    }
    return words;
}

/// One that says the rule already stays as it is.
Json ruleJson(const FibreRule& rule, Json entry) {
    ProblemList unheard{0};
    if (ruleFrom(JsonObject{entry, "", {}, unheard}) == rule) {
        return entry;
    }
    entry["key"] = rule.key;
    entry["title"] = rule.title;
    putText(entry, "definition", rule.definition);
    entry["includes"] = wordsJson(rule.includes);
    entry["left_to_authority"] = wordsJson(rule.leftToAuthority);
    entry["methods"] = rule.methods;
    entry["statements"] = Json::array();
    for (const FibreStatementRule& statement : rule.statements) {
        Json anyOf = Json::array();
        for (const FibreThreshold& one : statement.anyOf) {
            anyOf.push_back(
                {{"per", std::string{wordFor(one.per)}}, {"at_least_g", numberJson(one.atLeastG)}});
        }
        entry["statements"].push_back({{"words", statement.words}, {"any_of", std::move(anyOf)}});
    }
    entry["label_per"] = std::string{wordFor(rule.labelPer)};
    entry["rounding"] = Json::array();
    for (const FibreRoundingStep& step : rule.rounding) {
        Json one = {{"from_g", numberJson(step.fromG)}};
        if (step.above) {
            one["above"] = true;
        }
        if (step.nearestG > 0.0) {
            one["nearest_g"] = numberJson(step.nearestG);
        }
        if (step.figures > 0) {
            one["figures"] = step.figures;
        }
        putText(one, "words", step.words);
        entry["rounding"].push_back(std::move(one));
    }
    entry["source"] = rule.source;
    putText(entry, "on", rule.on);
    return entry;
}

template <class Things, class Write>
void putThings(const Things& things, const char* listKey, const char* idKey, Json& root, Write write) {
    if (things.empty()) {
        root.erase(listKey);
        return;
    }
    const Json old = listIn(root, listKey);
    Json entries = Json::array();
    for (const auto& thing : things) {
        entries.push_back(write(thing, [&](const std::string& id) { return entryNamed(old, idKey, id); }));
    }
    root[listKey] = std::move(entries);
}

}  // namespace

FibreData fibreFrom(const JsonObject& root) {
    FibreData fibre;
    if (const auto object = root.object(fibreKey)) {
        readFibre(*object, fibre);
    }
    std::set<std::string> ids;
    for (const JsonObject& entry : entriesOf(root, recipesKey, mostRecipes, Need::optional)) {
        fibre.recipes.push_back(recipeFrom(entry));
        if (!ids.insert(fibre.recipes.back().id).second) {
            refuse(entry, "id", quote(fibre.recipes.back().id) + " appears twice", "give each its own id");
        }
    }
    ids.clear();
    for (const JsonObject& entry : entriesOf(root, rulesKey, mostFibreRules, Need::optional)) {
        fibre.rules.push_back(ruleFrom(entry));
        if (!ids.insert(fibre.rules.back().key).second) {
            refuse(entry, "key", quote(fibre.rules.back().key) + " appears twice", "give each its own key");
        }
    }
    return fibre;
}

void putFibre(const FibreData& fibre, Json& root) {
    Json object = root.contains(fibreKey) && root[fibreKey].is_object() ? root[fibreKey] : Json::object();
    putText(object, "file", fibre.file);
    putText(object, "region", fibre.region);
    putNumber(object, "target_g", fibre.targetG);
    if (fibre.repeatability.empty()) {
        object.erase(repeatabilityKey);
    } else {
        const Json old = object.value(repeatabilityKey, Json::object());
        Json own = Json::object();
        const auto put = [&own](const OwnRepeatability& one) { putNumber(own, one.method.c_str(), one.sdG); };
        // In the order in which they stood.
        for (const auto& [method, value] : old.items()) {
            for (const OwnRepeatability& one : fibre.repeatability) {
                if (one.method == method) {
                    own[method] = value;
                    put(one);
                }
            }
        }
        std::for_each(fibre.repeatability.begin(), fibre.repeatability.end(), put);
        object[repeatabilityKey] = std::move(own);
    }
    if (object.empty()) {
        root.erase(fibreKey);
    } else {
        root[fibreKey] = std::move(object);
    }
    putThings(fibre.recipes, recipesKey, "id", root,
              [](const Recipe& recipe, const auto& old) { return recipeJson(recipe, old(recipe.id)); });
    putThings(fibre.rules, rulesKey, "key", root,
              [](const FibreRule& rule, const auto& old) { return ruleJson(rule, old(rule.key)); });
}

}  // namespace aftercurve
