#include "core/files/exclusion_json.h"

#include <climits>
#include <cstdint>
#include <string>

#include "core/study/laboratory_exclusion.h"

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

constexpr std::size_t longestName = 100;  // bytes, as in the files of the laboratory
constexpr std::int64_t mostReplicates = 1'000'000;

std::string laboratoryName(const JsonObject& object, const char* key) {
    std::string name = object.text(key).value_or("");
    if (name.size() > longestName) {
        object.report(Weight::fatal, key, "is longer than 100 bytes; no name of the laboratory's files is",
                      "write it as it stands in the file");
    }
    return name;
}

/// Material, run, method and replicate, which go with nothing of a subject.
void readLaboratory(const JsonObject& object, Exclusion& exclusion) {
    exclusion.material = laboratoryName(object, "material");
    exclusion.run = laboratoryName(object, "run");
    exclusion.method = laboratoryName(object, "method");
    if (const auto replicate = object.wholeNumber("replicate")) {
        if (*replicate < 1 || *replicate > mostReplicates) {
            object.report(Weight::fatal, "replicate",
                          "is " + std::to_string(*replicate) + "; replicates are counted from 1 to 1000000",
                          "write it as it stands in the file");
        } else {
            exclusion.replicate = static_cast<int>(*replicate);
        }
    }
    if (!isOfLaboratory(exclusion)) {
        return;
    }
    if (!exclusion.subject.empty() || !exclusion.food.empty() || exclusion.visit ||
        !exclusion.analyte.empty()) {
        object.report(Weight::fatal,
                      !exclusion.material.empty() ? "material"
                      : !exclusion.run.empty()    ? "run"
                      : !exclusion.method.empty() ? "method"
                                                  : "replicate",
                      "stands beside a subject, food, visit or analyte: an entry is of subjects or of the "
                      "laboratory",
                      "write two entries, one with subject, food, visit and analyte, one with material, run, "
                      "method and replicate");
    } else if (!exclusion.method.empty() && exclusion.timeMin) {
        object.report(Weight::fatal, "time_min", "stands beside a method: a result of fibre has no time",
                      "leave out time_min or, for readings of a digestion, method");
    } else if (!exclusion.method.empty() && !exclusion.run.empty()) {
        object.report(Weight::fatal, "run", "stands beside a method: a result of fibre has no run",
                      "leave out run or, for a digestion, method");
    }
}

Json entryFor(const Exclusion& exclusion) {
    Json entry = Json::object();
    putPlace(entry, exclusion);
    putText(entry, "material", exclusion.material);
    putText(entry, "run", exclusion.run);
    putText(entry, "method", exclusion.method);
    if (exclusion.replicate) {
        entry["replicate"] = *exclusion.replicate;
    }
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
    readLaboratory(object, exclusion);
    exclusion.reason = object.text("reason").value_or("");
    exclusion.by = object.text("by").value_or("");
    exclusion.on = object.text("on").value_or("");
    if (exclusion.reason.empty()) {
        exclusion.reason = noReasonGiven;
        object.report(Weight::warning, "reason", std::string{"is missing: "} + noReasonGiven,
                      "say why this was excluded, so that a reader can judge it");
    }
    const bool namesNothing = exclusion.subject.empty() && exclusion.food.empty() && !exclusion.visit &&
                              exclusion.analyte.empty() && !exclusion.timeMin && !isOfLaboratory(exclusion);
    if (namesNothing) {
        object.report(
            Weight::fatal, "subject",
            "and food, visit, analyte and time_min are all missing: the entry would exclude the whole study",
            "name what is excluded, or remove the entry");
    }
    object.noteUnknownKeys({"subject", "food", "visit", "analyte", "time_min", "material", "run", "method",
                            "replicate", "reason", "by", "on"});
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
