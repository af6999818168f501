#include "core/edit/study_json_patch.h"

#include <algorithm>

#include "core/edit/read_back.h"
#include "core/edit/settings_edits.h"
#include "core/files/assays_json.h"
#include "core/files/diary_json.h"
#include "core/files/exclusion_json.h"
#include "core/files/fibre_json.h"
#include "core/files/figure_spec_json.h"
#include "core/files/json_text.h"
#include "core/files/migration.h"
#include "core/files/plan_json.h"
#include "core/files/problem_list.h"
#include "core/files/registered_plan_json.h"
#include "core/files/study_facts_json.h"
#include "core/files/study_folder.h"
#include "core/files/study_json.h"
#include "core/files/text_check.h"

namespace aftercurve {

namespace {

void putText(Json& entry, const char* key, const std::string& before, const std::string& after) {
    if (before == after) {
        return;
    }
    if (after.empty()) {
        entry.erase(key);
    } else {
        entry[key] = after;
    }
}

void putNumber(Json& entry, const char* key, const std::optional<double>& before,
               const std::optional<double>& after) {
    if (before == after) {
        return;
    }
    if (after) {
        entry[key] = numberJson(*after);
    } else {
        entry.erase(key);
    }
}

void putFood(Json& entry, const Food& before, const Food& after) {
    putText(entry, "id", before.id, after.id);
    const auto label = entry.find("label");
    const bool labelled = label != entry.end() && label->is_string() && *label != "";
    const std::string present = labelled ? label->get<std::string>() : after.id;
    putText(entry, "label", present, after.label);
    if (before.role != after.role || !entry.contains("role")) {
        entry["role"] = std::string{wordFor(after.role)};
    }
    putNumber(entry, "available_carbohydrate_g", before.availableCarbohydrateG, after.availableCarbohydrateG);
    putNumber(entry, "portion_g", before.portionG, after.portionG);
    putComposition(before.composition, after.composition, entry);
    if (before.parts != after.parts) {
        putParts(after.parts, entry);
    }
}

void putAnalyte(Json& entry, const Analyte& before, const Analyte& after) {
    putText(entry, "id", before.id, after.id);
    putText(entry, "unit", before.unit, after.unit);
    putText(entry, "specimen", before.specimen, after.specimen);
}

template <class Thing, class Put>
void putList(Json& root, const char* key, const std::vector<Thing>& was, const std::vector<Thing>& now,
             const Origins::List& origins, Put put) {
    if (was == now) {
        return;
    }
    const Json old = root.contains(key) ? root[key] : Json::array();
    Json entries = Json::array();
    for (std::size_t i = 0; i < now.size(); ++i) {
        const auto origin = origins[i];
        const bool known = origin && old.is_array() && *origin < old.size() && old[*origin].is_object();
        Json entry = known ? old[*origin] : Json::object();
        put(entry, known ? was[*origin] : Thing{}, now[i]);
        entries.push_back(std::move(entry));
    }
    root[key] = std::move(entries);
}

/// Puts the entries of a list where their things stand now, under their ids of now, so that a writer that
/// looks entries up by id, or by place, finds what is theirs; a new one is empty.
template <class Thing, class Rename>
void arrange(Json& object, const char* key, const std::vector<Thing>& now, const Origins::List& origins,
             Rename rename) {
    const auto list = object.find(key);
    if (list == object.end() || !list->is_array()) {
        return;
    }
    Json entries = Json::array();
    for (std::size_t i = 0; i < now.size(); ++i) {
        const auto origin = origins[i];
        const bool known = origin && *origin < list->size() && (*list)[*origin].is_object();
        entries.push_back(known ? (*list)[*origin] : Json::object());
        if (known) {
            rename(entries.back(), i, *origin);
        }
    }
    *list = std::move(entries);
}

/// The parts of a recipe that has as many as before: one whose material has another name keeps its entry.
void renameParts(Json& entry, const Recipe& was, const Recipe& now) {
    const auto parts = entry.find("parts");
    if (parts == entry.end() || !parts->is_array() || parts->size() != now.parts.size() ||
        was.parts.size() != now.parts.size()) {
        return;
    }
    const auto hasPart = [](const Recipe& recipe, const std::string& material) {
        return std::any_of(recipe.parts.begin(), recipe.parts.end(),
                           [&](const RecipePart& part) { return part.material == material; });
    };
    for (std::size_t i = 0; i < now.parts.size(); ++i) {
        const std::string& name = now.parts[i].material;
        if (!hasPart(was, name) && !hasPart(now, was.parts[i].material) && (*parts)[i].is_object()) {
            (*parts)[i]["material"] = name;
        }
    }
}

void putLaboratory(Json& root, const Study& was, const Study& now, const Origins& origins) {
    const auto withId = [](const auto& things) {
        return [&things](Json& entry, std::size_t i, std::size_t /*origin*/) { entry["id"] = things[i].id; };
    };
    const auto inside = [&root](const char* key) -> Json* {
        const auto found = root.find(key);
        return found != root.end() && found->is_object() ? &*found : nullptr;
    };
    // The readings stand in their file.
    if (settingsOf(was.assays) != settingsOf(now.assays) || was.assays.file != now.assays.file ||
        was.assays.samples != now.assays.samples) {
        if (Json* assays = inside("assays")) {
            arrange(*assays, "samples", now.assays.samples, origins.assaySamples, withId(now.assays.samples));
        }
        putAssays(now.assays, root);
    }
    if (settingsOf(was.fibre) != settingsOf(now.fibre) || was.fibre.file != now.fibre.file ||
        was.fibre.recipes != now.fibre.recipes) {
        arrange(root, "recipes", now.fibre.recipes, origins.recipes,
                [&](Json& entry, std::size_t i, std::size_t origin) {
                    entry["id"] = now.fibre.recipes[i].id;
                    renameParts(entry, was.fibre.recipes[origin], now.fibre.recipes[i]);
                });
        putFibre(now.fibre, root);
    }
    if (!sameBesideDays(was.diary, now.diary)) {
        if (Json* diary = inside("diary")) {
            arrange(*diary, "items", now.diary.items, origins.diaryItems, withId(now.diary.items));
            arrange(*diary, "events", now.diary.events, origins.events,
                    [](Json& /*entry*/, std::size_t /*i*/, std::size_t /*origin*/) {});
        }
        putDiary(now.diary, root);
    }
}

/// The factor stands with the analyte insulin.
void putInsulinFactor(Json& root, const Study& now) {
    const auto insulin = findAnalyte(now, "insulin");
    if (insulin && root.contains("analytes") && *insulin < root["analytes"].size()) {
        root["analytes"][*insulin]["pmol_per_uiu"] = numberJson(now.insulinPmolPerUiu);
    }
}

void putStudy(Json& root, const Study& was, const Study& now, const Origins& origins) {
    putText(root, "title", was.title, now.title);
    putList(root, "foods", was.foods, now.foods, origins.foods, putFood);
    putList(root, "analytes", was.analytes, now.analytes, origins.analytes, putAnalyte);
    if (was.insulinPmolPerUiu != now.insulinPmolPerUiu) {
        putInsulinFactor(root, now);
    }
    if (was.sampleFiles != now.sampleFiles) {
        root["samples"] = now.sampleFiles;
    }
    putText(root, "subjects", was.subjectsFile, now.subjectsFile);
    putText(root, "visits", was.visitsFile, now.visitsFile);
    putLaboratory(root, was, now, origins);
    if (was.exclusions != now.exclusions) {
        putExclusions(now.exclusions, root);
    }
    if (was.accepted != now.accepted) {
        putAcceptances(now.accepted, root);
    }
    if (was.registered != now.registered) {
        putRegisteredPlans(now.registered, root);
    }
    if (was.conduct != now.conduct) {
        putConduct(now.conduct, root);
    }
    if (was.figures != now.figures) {
        putFigures(now.figures, root);
    }
    if (was.plan != now.plan) {
        if (!root.contains("plan") || !root["plan"].is_object()) {
            root["plan"] = Json::object();
        }
        putPlan(now.plan, root["plan"]);
    }
}

Problem notUtf8() {
    return problemAt(studyFileName, 0, {}, "a text of the study is not UTF-8", "mend the text");
}

Result<Json> parsed(std::string_view bytes) {
    const Result<std::string_view> text = checkedText(bytes, studyFileName);
    if (!text) {
        return text.problem();
    }
    return parseJson(text.value(), studyFileName, ReadLimits{}.studyJsonDepth);
}

}  // namespace

Result<PatchedStudyJson> patchedStudyJson(std::string_view bytes, const Study& was, const Study& now,
                                          const Origins& origins) {
    const Result<Json> old = parsed(bytes);
    if (!old) {
        return old.problem();
    }
    const Result<std::int64_t> version = studyVersionOf(old.value());
    if (!version) {
        return version.problem();
    }
    Json root = old.value();
    try {
        putStudy(root, was, now, origins);
        if (root == old.value()) {
            return PatchedStudyJson{std::string{bytes}, false, {}};
        }
        const Result<Json> current = migratedStudy(std::move(root));
        if (!current) {
            return current.problem();
        }
        PatchedStudyJson patched{current.value().dump(2) + "\n", true, {}};
        if (version.value() < studyVersion) {
            patched.keptName = keptVersionName(version.value());
        }
        return patched;
    } catch (const Json::exception&) {
        return notUtf8();
    }
}

Result<std::string> newStudyJson(const Study& study) {
    Json root = Json{{"format", "aftercurve-study"}, {"version", studyVersion}};
    Study was;  // what the text says already
    Origins origins;
    if (!study.studyJson.empty()) {
        Result<Json> old = parsed(study.studyJson);
        ProblemList unheard{0};
        auto declared = readStudyJson(study.studyJson, ReadLimits{}, unheard);
        Result<Json> current = old ? migratedStudy(std::move(old).value()) : std::move(old);
        if (declared && current) {
            root = std::move(current).value();
            was = std::move(declared->study);
            origins = originsOf(was, study, {});
        }
    }
    origins.foods.resize(study.foods.size());
    origins.analytes.resize(study.analytes.size());
    origins.assaySamples.resize(study.assays.samples.size());
    origins.recipes.resize(study.fibre.recipes.size());
    origins.diaryItems.resize(study.diary.items.size());
    origins.events.resize(study.diary.events.size());
    try {
        putStudy(root, was, study, origins);
        // Every choice of the plan is written, so that the file does not lean on defaults.
        if (!root.contains("plan") || !root["plan"].is_object()) {
            root["plan"] = Json::object();
        }
        putPlan(study.plan, root["plan"]);
        return root.dump(2) + "\n";
    } catch (const Json::exception&) {
        return notUtf8();
    }
}

}  // namespace aftercurve
