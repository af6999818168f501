#include "core/files/exclusion_json.h"

#include <climits>
#include <string>

namespace aftercurve {

namespace {

void putText(Json& object, const char* key, const std::string& text) {
    if (!text.empty()) {
        object[key] = text;
    }
}

Json entryFor(const Exclusion& exclusion) {
    Json entry = Json::object();
    putText(entry, "subject", exclusion.subject);
    putText(entry, "food", exclusion.food);
    if (exclusion.visit) {
        entry["visit"] = *exclusion.visit;
    }
    putText(entry, "analyte", exclusion.analyte);
    putText(entry, "reason", exclusion.reason);
    putText(entry, "by", exclusion.by);
    putText(entry, "on", exclusion.on);
    return entry;
}

}  // namespace

Exclusion exclusionFrom(const JsonObject& object) {
    Exclusion exclusion;
    exclusion.subject = object.text("subject").value_or("");
    exclusion.food = object.text("food").value_or("");
    exclusion.analyte = object.text("analyte").value_or("");
    if (const auto visit = object.wholeNumber("visit")) {
        if (*visit < 1 || *visit > INT_MAX) {
            object.report(Weight::fatal, "visit",
                          "is " + std::to_string(*visit) + "; visits are counted from 1",
                          "mend it in study.json");
        } else {
            exclusion.visit = static_cast<int>(*visit);
        }
    }
    exclusion.reason = object.text("reason").value_or("");
    exclusion.by = object.text("by").value_or("");
    exclusion.on = object.text("on").value_or("");
    if (exclusion.reason.empty()) {
        exclusion.reason = noReasonGiven;
        object.report(Weight::warning, "reason", std::string{"is missing: "} + noReasonGiven,
                      "say why this was excluded, so that a reader can judge it");
    }
    const bool namesNothing =
        exclusion.subject.empty() && exclusion.food.empty() && !exclusion.visit && exclusion.analyte.empty();
    if (namesNothing) {
        object.report(Weight::fatal, "subject",
                      "and food, visit and analyte are all missing: the entry would exclude the whole study",
                      "name what is excluded, or remove the entry");
    }
    object.noteUnknownKeys({"subject", "food", "visit", "analyte", "reason", "by", "on"});
    return exclusion;
}

void putExclusions(std::span<const Exclusion> exclusions, Json& root) {
    const Json old = root.contains("exclusions") ? root["exclusions"] : Json::array();
    Json entries = Json::array();
    std::size_t next = 0;  // entries keep their order, so each old one is looked at once
    for (const Exclusion& exclusion : exclusions) {
        Json entry = entryFor(exclusion);
        for (std::size_t i = next; old.is_array() && i < old.size(); ++i) {
            ProblemList unheard{0};
            if (old[i].is_object() && exclusionFrom(JsonObject{old[i], "", "", unheard}) == exclusion) {
                entry = old[i];
                next = i + 1;
                break;
            }
        }
        entries.push_back(std::move(entry));
    }
    if (!entries.empty() || root.contains("exclusions")) {
        root["exclusions"] = std::move(entries);
    }
}

}  // namespace aftercurve
