#include "core/files/study_json.h"

#include <unordered_set>
#include <utility>

#include "core/files/assays_json.h"
#include "core/files/diary_json.h"
#include "core/files/excerpt.h"
#include "core/files/exclusion_json.h"
#include "core/files/json_object.h"
#include "core/files/migration.h"
#include "core/files/plan_json.h"
#include "core/files/registered_plan_json.h"
#include "core/files/study_facts_json.h"
#include "core/files/text_check.h"

namespace aftercurve {

namespace {

constexpr const char* studyJsonName = "study.json";
constexpr const char* formatName = "aftercurve-study";
constexpr std::size_t mostFoods = 1000;

using Ids = std::unordered_set<std::string>;

bool isStudy(const JsonObject& root) {
    const auto format = root.text("format", Need::required);
    if (!format) {
        return false;
    }
    if (*format != formatName) {
        root.report(Weight::fatal, "format",
                    "is " + quote(*format) + "; " + quote(formatName) + " is expected",
                    "name the folder of a study");
        return false;
    }
    return true;
}

/// The id of a food or analyte, reported where it was there before.
std::string uniqueId(const JsonObject& object, Ids& ids) {
    const auto id = object.id("id", Need::required);
    if (id && !ids.insert(*id).second) {
        object.report(Weight::fatal, "id", quote(*id) + " appears twice", "give each its own id");
    }
    return id.value_or("");
}

FoodRole roleOf(const JsonObject& object) {
    const auto word = object.text("role", Need::required);
    const auto role = word ? foodRoleFrom(*word) : std::nullopt;
    if (word && !role) {
        object.report(Weight::fatal, "role", "is " + quote(*word) + ", which is not a role",
                      "use one of reference, control, test");
    }
    return role.value_or(FoodRole::test);
}

void readFoods(const JsonObject& root, Study& study) {
    const std::vector<JsonObject> entries = root.objects("foods", Need::required);
    if (entries.size() > mostFoods) {
        root.report(Weight::fatal, "foods", "has more than 1000 entries", "check that it is a study file");
        return;
    }
    Ids ids;
    for (const JsonObject& entry : entries) {
        Food food;
        food.id = uniqueId(entry, ids);
        food.label = entry.text("label").value_or("");
        if (food.label.empty()) {
            food.label = food.id;
        }
        food.role = roleOf(entry);
        food.availableCarbohydrateG = entry.notNegative("available_carbohydrate_g");
        food.portionG = entry.notNegative("portion_g");
        food.composition = compositionFrom(entry);
        food.parts = partsFrom(entry);
        study.foods.push_back(std::move(food));
    }
}

std::string unitFrom(const JsonObject& entry, const std::string& analyte) {
    const auto unit = entry.text("unit");
    if (!unit || unit->empty()) {
        return {};
    }
    const auto known = conversionFactor(analyte, *unit, *unit);
    if (!known) {
        entry.report(Weight::fatal, "unit",
                     "is " + quote(*unit) + ", which is not a known unit of " + shortened(analyte),
                     known.problem().remedy);
    }
    return canonicalUnit(*unit);
}

ConversionOptions conversionFrom(const JsonObject& entry, const std::string& analyte) {
    ConversionOptions options;
    const auto factor = analyte == "insulin" ? entry.number("pmol_per_uiu") : std::nullopt;
    if (!factor) {
        return options;
    }
    if (*factor != 6.0 && *factor != 6.945) {
        entry.report(
            Weight::fatal, "pmol_per_uiu",
            "is " + shown(entry.value().at("pmol_per_uiu")) + "; the factors in use are 6.00 and 6.945",
            "use 6.00, or 6.945 to follow older work");
        return options;
    }
    options.insulinPmolPerUiu = *factor;
    return options;
}

void readAnalytes(const JsonObject& root, const ReadLimits& limits, StudyDeclaration& declared) {
    const std::vector<JsonObject> entries = root.objects("analytes", Need::required);
    if (entries.size() > limits.columns) {
        root.report(Weight::fatal, "analytes", "has more than " + std::to_string(limits.columns) + " entries",
                    "check that it is a study file");
        return;
    }
    Ids ids;
    for (const JsonObject& entry : entries) {
        Analyte analyte;
        analyte.id = uniqueId(entry, ids);
        analyte.unit = unitFrom(entry, analyte.id);
        analyte.specimen = entry.text("specimen").value_or("");
        declared.conversions.push_back(conversionFrom(entry, analyte.id));
        if (analyte.id == "insulin") {
            declared.study.insulinPmolPerUiu = declared.conversions.back().insulinPmolPerUiu;
        }
        declared.study.analytes.push_back(std::move(analyte));
    }
}

void readFileNames(const JsonObject& root, Study& study) {
    study.sampleFiles = root.texts("samples", Need::required).value_or(std::vector<std::string>{});
    Ids names;
    for (std::size_t i = 0; i < study.sampleFiles.size(); ++i) {
        if (!names.insert(study.sampleFiles[i]).second) {
            root.report(Weight::fatal, "samples[" + std::to_string(i) + "]",
                        quote(study.sampleFiles[i]) + " appears twice", "name each file once");
        }
    }
    study.subjectsFile = root.text("subjects").value_or("");
    study.visitsFile = root.text("visits").value_or("");
}

void warnUnknown(const JsonObject& entry, const char* key, const std::string& id) {
    entry.report(Weight::warning, key,
                 "is " + quote(id) + ", which is not in the study; the entry matches nothing",
                 "check the spelling");
}

void readExclusions(const JsonObject& root, Study& study) {
    for (const JsonObject& entry : root.objects("exclusions", Need::optional)) {
        const Exclusion exclusion = exclusionFrom(entry);
        if (!exclusion.food.empty() && !findFood(study, exclusion.food)) {
            warnUnknown(entry, "food", exclusion.food);
        }
        if (!exclusion.analyte.empty() && !findAnalyte(study, exclusion.analyte)) {
            warnUnknown(entry, "analyte", exclusion.analyte);
        }
        study.exclusions.push_back(exclusion);
    }
}

}  // namespace

std::optional<StudyDeclaration> readStudyJson(std::string_view bytes, const ReadLimits& limits,
                                              ProblemList& problems) {
    const Result<std::string_view> text = checkedText(bytes, studyJsonName);
    if (!text) {
        problems.add(Weight::fatal, text.problem());
        return std::nullopt;
    }
    Result<Json> json = parseJson(text.value(), studyJsonName, limits.studyJsonDepth);
    if (!json) {
        problems.add(Weight::fatal, json.problem());
        return std::nullopt;
    }
    if (!json.value().is_object()) {
        problems.add(Weight::fatal, problemAt(studyJsonName, 1, {}, "the file does not hold a JSON object",
                                              "name the folder of a study"));
        return std::nullopt;
    }
    if (!isStudy(JsonObject{json.value(), "", studyJsonName, problems})) {
        return std::nullopt;
    }
    const Result<Json> current = migratedStudy(std::move(json).value());
    if (!current) {
        problems.add(Weight::fatal, current.problem());
        return std::nullopt;
    }
    const JsonObject root{current.value(), "", studyJsonName, problems};
    StudyDeclaration declared;
    Study& study = declared.study;
    study.studyJson = std::string{bytes};
    study.title = root.text("title").value_or("");
    readFoods(root, study);
    readAnalytes(root, limits, declared);
    readFileNames(root, study);
    readExclusions(root, study);
    for (const JsonObject& entry : root.objects("accepted", Need::optional)) {
        study.accepted.push_back(acceptanceFrom(entry));
    }
    for (const JsonObject& entry : root.objects("registered_plans", Need::optional)) {
        study.registered.push_back(registeredPlanFrom(entry));
    }
    if (const auto conduct = root.object("conduct")) {
        study.conduct = conductFrom(*conduct);
    }
    if (const auto diary = root.object("diary")) {
        study.diary = diaryFrom(*diary);
    }
    if (const auto assays = root.object("assays")) {
        study.assays = assaysFrom(*assays, study);
    }
    if (const auto plan = root.object("plan")) {
        study.plan = planFrom(*plan);
    }
    if (problems.failed()) {
        return std::nullopt;
    }
    return declared;
}

}  // namespace aftercurve
