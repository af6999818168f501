#include "core/files/registered_plan_json.h"

#include <algorithm>
#include <cctype>

#include "core/files/plan_json.h"
#include "core/files/sha256.h"

namespace aftercurve {

namespace {

constexpr const char* listKey = "registered_plans";

std::string sortedText(const Json& plan) {
    using Errors = nlohmann::json::error_handler_t;
    return nlohmann::json(plan).dump(-1, ' ', false, Errors::replace);
}

bool isDate(const std::string& text) {
    if (text.size() != 10 || text[4] != '-' || text[7] != '-') {
        return false;
    }
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (i != 4 && i != 7 && std::isdigit(static_cast<unsigned char>(text[i])) == 0) {
            return false;
        }
    }
    return true;
}

bool isHash(const std::string& text) {
    return text.size() == 64 && text.find_first_not_of("0123456789abcdef") == std::string::npos;
}

}  // namespace

std::string canonicalPlanText(const Plan& plan) {
    Json json = Json::object();
    putPlan(plan, json);
    return sortedText(json);
}

RegisteredPlan registrationOf(const Plan& plan, const std::string& on, const std::string& by,
                              const std::string& note) {
    RegisteredPlan registered;
    registered.planJson = canonicalPlanText(plan);
    registered.sha256 = sha256Hex(registered.planJson);
    registered.on = on;
    registered.by = by;
    registered.note = note;
    return registered;
}

RegisteredPlan registeredPlanFrom(const JsonObject& object) {
    RegisteredPlan registered;
    if (const auto plan = object.object("plan")) {
        registered.planJson = sortedText(plan->value());
    } else {
        object.report(Weight::fatal, "plan", "is missing", "give the plan that was registered");
    }
    registered.sha256 = object.text("sha256", Need::required).value_or("");
    registered.on = object.text("on", Need::required).value_or("");
    registered.by = object.text("by").value_or("");
    registered.note = object.text("note").value_or("");
    if (!registered.sha256.empty() && !registered.on.empty()) {
        if (const std::string fault = faultOf(registered); !fault.empty()) {
            object.report(Weight::fatal, isHash(registered.sha256) ? "on" : "sha256", "is wrong: " + fault,
                          "mend the entry");
        }
    }
    object.noteUnknownKeys({"plan", "sha256", "on", "by", "note"});
    return registered;
}

void putRegisteredPlans(std::span<const RegisteredPlan> registered, Json& root) {
    const Json old = root.contains(listKey) && root[listKey].is_array() ? root[listKey] : Json::array();
    Json entries = Json::array();
    for (const RegisteredPlan& one : registered) {
        const auto same = std::find_if(old.begin(), old.end(), [&one](const Json& entry) {
            return entry.is_object() && entry.contains("sha256") && entry["sha256"] == one.sha256 &&
                   entry.contains("on") && entry["on"] == one.on && entry.contains("plan") &&
                   sortedText(entry["plan"]) == one.planJson;
        });
        Json entry = same == old.end() ? Json::object() : *same;
        entry["on"] = one.on;
        if (!one.by.empty() || entry.contains("by")) {
            entry["by"] = one.by;
        }
        if (!one.note.empty() || entry.contains("note")) {
            entry["note"] = one.note;
        }
        entry["sha256"] = one.sha256;
        if (same == old.end()) {
            entry["plan"] = Json::parse(one.planJson, nullptr, false);
        }
        entries.push_back(std::move(entry));
    }
    if (entries.empty()) {
        root.erase(listKey);
    } else {
        root[listKey] = std::move(entries);
    }
}

std::string faultOf(const RegisteredPlan& registered) {
    if (!isDate(registered.on)) {
        return "the date is not written as 2026-03-02";
    }
    if (!isHash(registered.sha256)) {
        return "the hash is not 64 lower-case hex digits";
    }
    const auto plan = nlohmann::json::parse(registered.planJson, nullptr, false);
    return plan.is_object() ? "" : "the plan is no JSON object";
}

}  // namespace aftercurve
