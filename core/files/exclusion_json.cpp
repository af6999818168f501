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

/// Subject, food, visit, analyte and time: what an entry is about.
template <class Entry>
void putPlace(Json& object, const Entry& entry) {
    putText(object, "subject", entry.subject);
    putText(object, "food", entry.food);
    if (entry.visit) {
        object["visit"] = *entry.visit;
    }
    putText(object, "analyte", entry.analyte);
    if (entry.timeMin) {
        object["time_min"] = numberJson(*entry.timeMin);
    }
}

template <class Entry>
void readPlace(const JsonObject& object, Entry& entry) {
    entry.subject = object.text("subject").value_or("");
    entry.food = object.text("food").value_or("");
    entry.analyte = object.text("analyte").value_or("");
    entry.timeMin = object.number("time_min");
    if (const auto visit = object.wholeNumber("visit")) {
        if (*visit < 1 || *visit > INT_MAX) {
            object.report(Weight::fatal, "visit",
                          "is " + std::to_string(*visit) + "; visits are counted from 1",
                          "mend it in study.json");
        } else {
            entry.visit = static_cast<int>(*visit);
        }
    }
}

Json entryFor(const Exclusion& exclusion) {
    Json entry = Json::object();
    putPlace(entry, exclusion);
    putText(entry, "reason", exclusion.reason);
    putText(entry, "by", exclusion.by);
    putText(entry, "on", exclusion.on);
    return entry;
}

Json entryFor(const Acceptance& acceptance) {
    Json entry = Json::object();
    entry["check"] = acceptance.check;
    putPlace(entry, acceptance);
    entry["because"] = acceptance.because;
    putText(entry, "by", acceptance.by);
    putText(entry, "on", acceptance.on);
    return entry;
}

/// Makes root[key] say `wanted`. An old entry that says the same stays as it is, with keys that are not ours.
template <class Entry, class From>
void putEntries(std::span<const Entry> wanted, From from, const char* key, Json& root) {
    const Json old = root.contains(key) ? root[key] : Json::array();
    Json entries = Json::array();
    std::size_t next = 0;  // entries keep their order, so each old one is looked at once
    for (const Entry& one : wanted) {
        Json entry = entryFor(one);
        for (std::size_t i = next; old.is_array() && i < old.size(); ++i) {
            ProblemList unheard{0};
            if (old[i].is_object() && from(JsonObject{old[i], "", "", unheard}) == one) {
                entry = old[i];
                next = i + 1;
                break;
            }
        }
        entries.push_back(std::move(entry));
    }
    if (!entries.empty() || root.contains(key)) {
        root[key] = std::move(entries);
    }
}

}  // namespace

Exclusion exclusionFrom(const JsonObject& object) {
    Exclusion exclusion;
    readPlace(object, exclusion);
    exclusion.reason = object.text("reason").value_or("");
    exclusion.by = object.text("by").value_or("");
    exclusion.on = object.text("on").value_or("");
    if (exclusion.reason.empty()) {
        exclusion.reason = noReasonGiven;
        object.report(Weight::warning, "reason", std::string{"is missing: "} + noReasonGiven,
                      "say why this was excluded, so that a reader can judge it");
    }
    const bool namesNothing = exclusion.subject.empty() && exclusion.food.empty() && !exclusion.visit &&
                              exclusion.analyte.empty() && !exclusion.timeMin;
    if (namesNothing) {
        object.report(
            Weight::fatal, "subject",
            "and food, visit, analyte and time_min are all missing: the entry would exclude the whole study",
            "name what is excluded, or remove the entry");
    }
    object.noteUnknownKeys({"subject", "food", "visit", "analyte", "time_min", "reason", "by", "on"});
    return exclusion;
}

void putExclusions(std::span<const Exclusion> exclusions, Json& root) {
    putEntries(exclusions, exclusionFrom, "exclusions", root);
}

Acceptance acceptanceFrom(const JsonObject& object) {
    Acceptance acceptance;
    acceptance.check = object.text("check", Need::required).value_or("");
    readPlace(object, acceptance);
    acceptance.because = object.text("because", Need::required).value_or("");
    acceptance.by = object.text("by").value_or("");
    acceptance.on = object.text("on").value_or("");
    object.noteUnknownKeys(
        {"check", "subject", "food", "visit", "analyte", "time_min", "because", "by", "on"});
    return acceptance;
}

void putAcceptances(std::span<const Acceptance> accepted, Json& root) {
    putEntries(accepted, acceptanceFrom, "accepted", root);
}

}  // namespace aftercurve
