#include "core/files/ledger_json.h"

#include <climits>
#include <cmath>

#include "core/files/json_line.h"
#include "core/files/problem_list.h"

namespace aftercurve {

namespace {

void putText(Json& object, const char* key, const std::string& text) {
    if (!text.empty()) {
        object[key] = text;
    }
}

/// 15 rather than 15.0, as people write it.
Json minutesJson(double minutes) {
    const bool whole = std::abs(minutes) < 1e15 && minutes == std::trunc(minutes);
    return whole ? Json(static_cast<std::int64_t>(minutes)) : Json(minutes);
}

Json placeJson(const LedgerPlace& place) {
    Json object = Json::object();
    putText(object, "table", place.table);
    putText(object, "file", place.file);
    if (place.row != 0) {
        object["row"] = place.row;
    }
    putText(object, "subject", place.subject);
    putText(object, "food", place.food);
    if (place.visit) {
        object["visit"] = *place.visit;
    }
    if (place.timeMin) {
        object["time_min"] = minutesJson(*place.timeMin);
    }
    putText(object, "field", place.field);
    return object;
}

LedgerPlace placeFrom(const Json& object, std::string& wrong) {
    LineKeys keys{object};
    LedgerPlace place;
    place.table = keys.text("table").value_or("");
    place.file = keys.text("file").value_or("");
    const std::int64_t row = keys.wholeNumber("row").value_or(0);
    place.subject = keys.text("subject").value_or("");
    place.food = keys.text("food").value_or("");
    const auto visit = keys.wholeNumber("visit");
    place.timeMin = keys.number("time_min");
    place.field = keys.text("field").value_or("");
    wrong = keys.wrong();
    if (row < 0 || (visit && (*visit < INT_MIN || *visit > INT_MAX))) {
        wrong = "its row or visit is out of range";
        return place;
    }
    place.row = static_cast<std::size_t>(row);
    if (visit) {
        place.visit = static_cast<int>(*visit);
    }
    return place;
}

}  // namespace

Result<std::string> ledgerLineFor(const LedgerEntry& entry, const std::string& previous) {
    Json object{{"n", entry.n}, {"on", entry.on}, {"by", entry.by}, {"what", entry.what}};
    if (Json place = placeJson(entry.where); !place.empty()) {
        object["where"] = std::move(place);
    }
    if (entry.from) {
        object["from"] = *entry.from;
    }
    if (entry.to) {
        object["to"] = *entry.to;
    }
    putText(object, "why", entry.why);
    if (!entry.inputs.empty()) {
        object["inputs"] = inputsJson(entry.inputs);
    }
    object["previous"] = previous;
    return lineText(object, ledgerName, "an entry of the ledger");
}

Result<LedgerEntry> ledgerEntryFrom(std::string_view line) {
    const Result<Json> json = jsonLine(line, ledgerName);
    if (!json) {
        return json.problem();
    }
    LineKeys keys{json.value()};
    LedgerEntry entry;
    const std::int64_t n = keys.wholeNumber("n").value_or(0);
    entry.on = keys.text("on").value_or("");
    entry.by = keys.text("by").value_or("");
    entry.what = keys.text("what").value_or("");
    entry.from = keys.text("from");
    entry.to = keys.text("to");
    entry.why = keys.text("why").value_or("");
    entry.inputs = keys.inputs("inputs");
    entry.previous = keys.text("previous").value_or("");
    std::string wrong = keys.wrong();
    if (wrong.empty() && n < 1) {
        wrong = "it has no number";
    }
    if (const auto where = json.value().find("where"); where != json.value().end() && wrong.empty()) {
        if (where->is_object()) {
            entry.where = placeFrom(*where, wrong);
        } else {
            wrong = "its key 'where' is not an object";
        }
    }
    if (!wrong.empty()) {
        return problemAt(ledgerName, 0, {}, wrong);
    }
    entry.n = static_cast<std::uint64_t>(n);
    return entry;
}

}  // namespace aftercurve
