#include "core/files/assays_json.h"

#include <algorithm>

#include "core/files/cell_rules.h"
#include "core/files/json_put.h"
#include "core/files/read_rule.h"

namespace aftercurve {

namespace {

constexpr const char* assaysKey = "assays";

struct ShareKey {
    const char* key;
    std::optional<double> AssaySample::*member;
};

constexpr ShareKey shareKeys[] = {{"total_starch_percent", &AssaySample::totalStarchPercent},
                                  {"free_glucose_percent", &AssaySample::freeGlucosePercent},
                                  {"moisture_percent", &AssaySample::moisturePercent},
                                  {"total_starch_se_percent", &AssaySample::totalStarchSePercent},
                                  {"free_glucose_se_percent", &AssaySample::freeGlucoseSePercent}};

AssaySample sampleFrom(const JsonObject& entry, const Study& study) {
    AssaySample sample;
    sample.id = entry.id("id", Need::required).value_or("");
    sample.label = entry.text("label").value_or("");
    if (sample.label.empty()) {
        sample.label = sample.id;
    }
    sample.food = entry.text("food").value_or("");
    if (!sample.food.empty() && !findFood(study, sample.food)) {
        entry.report(Weight::warning, "food", "is " + quote(sample.food) + ", which is not in the study",
                     "check the spelling");
    }
    assign(sample.reference, entry.boolean("reference"));
    for (const ShareKey& share : shareKeys) {
        sample.*share.member = entry.number(share.key);
    }
    entry.noteUnknownKeys({"id", "label", "food", "reference", "total_starch_percent", "free_glucose_percent",
                           "moisture_percent", "total_starch_se_percent", "free_glucose_se_percent"});
    return sample;
}

void readMinutes(const JsonObject& object, const char* key, double& minutes) {
    const auto number = object.notNegative(key);
    if (number && *number > largestTimeMin) {
        object.report(Weight::fatal, key,
                      "is " + shown(object.value().at(key)) + ", longer than any digestion", "give minutes");
        return;
    }
    assign(minutes, number);
}

Json sampleJson(const AssaySample& sample, Json entry) {
    entry["id"] = sample.id;
    putLabel(entry, sample.id, sample.label);
    putText(entry, "food", sample.food);
    putUnless(entry, "reference", sample.reference, false);
    for (const ShareKey& share : shareKeys) {
        putNumber(entry, share.key, sample.*share.member);
    }
    return entry;
}

}  // namespace

void readAssaySettings(const JsonObject& object, AssayData& assays) {
    readRule(object, "quantity", assays.quantity, assayQuantityFrom,
             {AssayQuantity::glucoseMg, AssayQuantity::starchPercent});
    readRule(object, "basis", assays.basis, assayBasisFrom,
             {AssayBasis::totalStarch, AssayBasis::dry, AssayBasis::asIs});
    readMinutes(object, "rapid_cut_min", assays.rapidCutMin);
    readMinutes(object, "slow_cut_min", assays.slowCutMin);
    readMinutes(object, "last_min", assays.lastMin);
    assign(assays.glucoseToStarch, object.number("glucose_to_starch"));
    assign(assays.comparison, object.text("comparison"));
    assign(assays.interpolate, object.boolean("interpolate"));
}

void putAssaySettings(const AssayData& assays, Json& object) {
    const AssayData usual;
    putUnless(object, "quantity", std::string{wordFor(assays.quantity)},
              std::string{wordFor(usual.quantity)});
    putUnless(object, "basis", std::string{wordFor(assays.basis)}, std::string{wordFor(usual.basis)});
    putNumberUnless(object, "rapid_cut_min", assays.rapidCutMin, usual.rapidCutMin);
    putNumberUnless(object, "slow_cut_min", assays.slowCutMin, usual.slowCutMin);
    putNumber(object, "last_min", assays.lastMin > 0.0 ? std::optional{assays.lastMin} : std::nullopt);
    putNumberUnless(object, "glucose_to_starch", assays.glucoseToStarch, usual.glucoseToStarch);
    putUnless(object, "comparison", assays.comparison, usual.comparison);
    putUnless(object, "interpolate", assays.interpolate, usual.interpolate);
}

Json everyAssaySetting(const AssayData& assays) {
    Json object = {{"quantity", nullptr},          {"basis", nullptr},
                   {"rapid_cut_min", nullptr},     {"slow_cut_min", nullptr},
                   {"glucose_to_starch", nullptr}, {"comparison", nullptr},
                   {"interpolate", nullptr}};
    putAssaySettings(assays, object);
    return object;
}

AssayData assaysFrom(const JsonObject& object, const Study& study) {
    AssayData assays;
    assays.file = object.text("file", Need::required).value_or("");
    if (assays.file.empty() && object.value().contains("file")) {
        object.report(Weight::fatal, "file", "names no file", "name the CSV file of the readings");
    }
    readAssaySettings(object, assays);
    const std::vector<JsonObject> entries = object.objects("samples", Need::optional);
    if (entries.size() > mostAssaySamples) {
        object.report(Weight::fatal, "samples", "has more than 100 entries", "split the assays");
        return assays;
    }
    for (const JsonObject& entry : entries) {
        assays.samples.push_back(sampleFrom(entry, study));
    }
    for (const AssayFault& fault : validate(assays)) {
        object.report(Weight::fatal, fault.key, fault.what, fault.remedy);
    }
    object.noteUnknownKeys({"file", "quantity", "basis", "rapid_cut_min", "slow_cut_min", "last_min",
                            "glucose_to_starch", "comparison", "interpolate", "samples"});
    return assays;
}

void putAssays(const AssayData& assays, Json& root) {
    if (assays.file.empty() && assays.samples.empty()) {
        root.erase(assaysKey);
        return;
    }
    // Written for the first time it leans on no default.
    const bool known = root.contains(assaysKey) && root[assaysKey].is_object();
    Json object = known ? root[assaysKey] : everyAssaySetting(assays);
    object["file"] = assays.file;
    putAssaySettings(assays, object);
    const Json old = object.value("samples", Json::array());
    Json entries = Json::array();
    for (const AssaySample& sample : assays.samples) {
        entries.push_back(sampleJson(sample, entryNamed(old, "id", sample.id)));
    }
    object["samples"] = std::move(entries);
    root[assaysKey] = std::move(object);
}

}  // namespace aftercurve
