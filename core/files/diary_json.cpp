#include "core/files/diary_json.h"

#include <algorithm>
#include <array>
#include <string_view>
#include <unordered_set>

#include "core/files/excerpt.h"
#include "core/files/json_put.h"

namespace aftercurve {

namespace {

constexpr const char* diaryKey = "diary";
constexpr int usualThreshold = 2;
constexpr std::array<std::string_view, 7> fixedColumns{"subject", "food",       "period", "day",
                                                       "dose_g",  "stool_form", "stools"};

template <std::size_t n>
bool isOneOf(const std::array<std::string_view, n>& words, std::string_view word) {
    return std::find(words.begin(), words.end(), word) != words.end();
}

int boundedWhole(const JsonObject& object, const char* key, int least, int most, int otherwise) {
    const auto number = object.wholeNumber(key);
    if (!number) {
        return otherwise;
    }
    if (*number < least || *number > most) {
        object.report(Weight::fatal, key,
                      "is " + std::to_string(*number) + "; it runs from " + std::to_string(least) + " to " +
                          std::to_string(most),
                      "mend it in study.json");
        return otherwise;
    }
    return static_cast<int>(*number);
}

DiaryItem itemFrom(const JsonObject& entry, std::unordered_set<std::string>& ids) {
    DiaryItem item;
    item.id = entry.id("id", Need::required).value_or("");
    if (!item.id.empty() && isDiaryWord(item.id)) {
        entry.report(Weight::fatal, "id", "is " + quote(item.id) + ", a name that the diary uses itself",
                     "give the item another id, in the file too");
    } else if (!item.id.empty() && !ids.insert(item.id).second) {
        entry.report(Weight::fatal, "id", quote(item.id) + " appears twice", "give each its own id");
    }
    item.label = entry.text("label").value_or("");
    if (item.label.empty()) {
        item.label = item.id;
    }
    item.least = boundedWhole(entry, "least", -largestScore, largestScore, item.least);
    item.most = boundedWhole(entry, "most", -largestScore, largestScore, item.most);
    if (item.most <= item.least) {
        entry.report(Weight::fatal, "most", "is not above least", "give the two ends of the scale");
        item.most = item.least + 1;
    }
    item.composite = entry.boolean("composite").value_or(true);
    item.threshold = boundedWhole(entry, "threshold", item.least + 1, item.most, usualThresholdOf(item));
    entry.noteUnknownKeys({"id", "label", "least", "most", "composite", "threshold"});
    return item;
}

AdverseEvent eventFrom(const JsonObject& entry) {
    AdverseEvent event;
    event.subject = entry.id("subject", Need::required).value_or("");
    event.food = entry.text("food").value_or("");
    event.day = boundedWhole(entry, "day", 1, mostDiaryDays, 0);
    event.what = entry.text("what", Need::required).value_or("");
    event.severity = entry.text("severity").value_or("");
    event.related = entry.text("related").value_or("");
    event.outcome = entry.text("outcome").value_or("");
    event.serious = entry.boolean("serious").value_or(false);
    if (!event.severity.empty() && !isOneOf(eventSeverities, event.severity)) {
        entry.report(Weight::warning, "severity",
                     "is " + quote(event.severity) + ", not one of mild, moderate, severe; it is kept",
                     "ask the physician of the study which it is");
    }
    if (!event.related.empty() && !isOneOf(eventRelations, event.related)) {
        entry.report(Weight::warning, "related",
                     "is " + quote(event.related) + ", not one of unlikely, possible, probable; it is kept",
                     "ask the physician of the study which it is");
    }
    entry.noteUnknownKeys({"subject", "food", "day", "what", "severity", "related", "outcome", "serious"});
    return event;
}

/// All of an item that is new; of one that is there, what differs.
Json itemJson(const DiaryItem& item, Json entry) {
    const DiaryItem usual;
    if (entry.empty()) {
        return {{"id", item.id},     {"label", item.label},         {"least", item.least},
                {"most", item.most}, {"composite", item.composite}, {"threshold", item.threshold}};
    }
    entry["id"] = item.id;
    putLabel(entry, item.id, item.label);
    putUnless(entry, "least", item.least, usual.least);
    putUnless(entry, "most", item.most, usual.most);
    putUnless(entry, "composite", item.composite, true);
    putUnless(entry, "threshold", item.threshold, usualThresholdOf(item));
    return entry;
}

Json eventJson(const AdverseEvent& event, Json entry) {
    entry["subject"] = event.subject;
    putText(entry, "food", event.food);
    putNumber(entry, "day", event.day > 0 ? std::optional<double>{event.day} : std::nullopt);
    entry["what"] = event.what;
    putText(entry, "severity", event.severity);
    putText(entry, "related", event.related);
    putText(entry, "outcome", event.outcome);
    putUnless(entry, "serious", event.serious, false);
    return entry;
}

Json listIn(const Json& object, const char* key) {
    const auto found = object.find(key);
    return found != object.end() && found->is_array() ? *found : Json::array();
}

}  // namespace

bool isDiaryWord(std::string_view name) {
    return isOneOf(fixedColumns, name) || name == "composite";
}

int usualThresholdOf(const DiaryItem& item) {
    return item.most > item.least ? std::clamp(usualThreshold, item.least + 1, item.most) : usualThreshold;
}

DiaryData diaryFrom(const JsonObject& object) {
    DiaryData diary;
    diary.file = object.text("file").value_or("");
    diary.plannedDays = boundedWhole(object, "planned_days", 1, mostDiaryDays, 0);
    if (const auto rule = object.text("composite_missing")) {
        if (*rule != "absent" && *rule != "prorate") {
            object.report(Weight::fatal, "composite_missing", "is " + quote(*rule) + ", which is no rule",
                          "use absent or prorate");
        }
        diary.prorate = *rule == "prorate";
    }
    const std::vector<JsonObject> items = object.objects("items", Need::optional);
    if (items.size() > mostDiaryItems) {
        object.report(Weight::fatal, "items", "has more than " + std::to_string(mostDiaryItems) + " entries",
                      "check that it is a study file");
        return diary;
    }
    std::unordered_set<std::string> ids;
    for (const JsonObject& entry : items) {
        diary.items.push_back(itemFrom(entry, ids));
    }
    const std::vector<JsonObject> events = object.objects("events", Need::optional);
    if (events.size() > mostEvents) {
        object.report(Weight::fatal, "events", "has more than " + std::to_string(mostEvents) + " entries",
                      "check that it is a study file");
        return diary;
    }
    for (const JsonObject& entry : events) {
        diary.events.push_back(eventFrom(entry));
    }
    object.noteUnknownKeys({"file", "items", "planned_days", "composite_missing", "events"});
    return diary;
}

void putDiary(const DiaryData& now, Json& root) {
    Json object = root.contains(diaryKey) && root[diaryKey].is_object() ? root[diaryKey] : Json::object();
    putText(object, "file", now.file);
    const Json oldItems = listIn(object, "items");
    Json items = Json::array();
    for (const DiaryItem& item : now.items) {
        items.push_back(itemJson(item, entryNamed(oldItems, "id", item.id)));
    }
    object["items"] = std::move(items);
    putNumber(object, "planned_days",
              now.plannedDays > 0 ? std::optional<double>{now.plannedDays} : std::nullopt);
    putUnless(object, "composite_missing", now.prorate ? "prorate" : "absent", "absent");
    const Json oldEvents = listIn(object, "events");
    Json events = Json::array();
    for (std::size_t i = 0; i < now.events.size(); ++i) {
        const bool known = i < oldEvents.size() && oldEvents[i].is_object();
        events.push_back(eventJson(now.events[i], known ? oldEvents[i] : Json::object()));
    }
    if (!events.empty() || object.contains("events")) {
        object["events"] = std::move(events);
    }
    if (now == DiaryData{} && object.size() == 1) {
        root.erase(diaryKey);
        return;
    }
    root[diaryKey] = std::move(object);
}

bool sameBesideDays(const DiaryData& a, const DiaryData& b) {
    return a.file == b.file && a.items == b.items && a.plannedDays == b.plannedDays && a.events == b.events &&
           a.prorate == b.prorate;
}

}  // namespace aftercurve
