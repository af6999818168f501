// The assays of digestion in vitro as data files.
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <tuple>

#include "core/base/number_text.h"
#include "core/files/csv_cell.h"
#include "core/findings/recompute/parts.h"
#include "core/study/laboratory_counted.h"

namespace aftercurve {

namespace {

std::string orBlank(const std::optional<double>& value) {
    return value ? plainNumber(*value) : std::string{};
}

std::string settingsOf(const AssayData& assays) {
    std::string csv = "key,value\n";
    const auto add = [&csv](const char* key, std::string_view value) {
        csv += key;
        csv += ',' + textCell(value) + '\n';
    };
    add("quantity", wordFor(assays.quantity));
    add("rapid_cut_min", plainNumber(assays.rapidCutMin));
    add("slow_cut_min", plainNumber(assays.slowCutMin));
    add("last_min", assays.lastMin > 0.0 ? plainNumber(assays.lastMin) : "");
    add("glucose_to_starch", plainNumber(assays.glucoseToStarch));
    add("comparison", assays.comparison);
    add("basis", wordFor(assays.basis));
    add("interpolate", assays.interpolate ? "yes" : "no");
    return csv;
}

std::string samplesOf(const Study& study) {
    std::string csv =
        "sample_no,sample,food_no,food,reference,total_starch_percent,free_glucose_percent,moisture_percent,"
        "total_starch_se_percent,free_glucose_se_percent\n";
    for (std::size_t i = 0; i < study.assays.samples.size(); ++i) {
        const AssaySample& sample = study.assays.samples[i];
        const auto food = findFood(study, sample.food);
        csv += std::to_string(i + 1) + ',' + textCell(sample.id) + ',' +
               (food ? std::to_string(*food + 1) : "") + ',' + textCell(sample.food) + ',' +
               (sample.reference ? "yes" : "no") + ',' + orBlank(sample.totalStarchPercent) + ',' +
               orBlank(sample.freeGlucosePercent) + ',' + orBlank(sample.moisturePercent) + ',' +
               orBlank(sample.totalStarchSePercent) + ',' + orBlank(sample.freeGlucoseSePercent) + '\n';
    }
    return csv;
}

std::string readingsOf(const Study& study) {
    const AssayData& assays = study.assays;
    // Runs by their bytes; digestions by sample, run and replicate, as the tables number them.
    using Place = std::tuple<std::size_t, std::string_view, int>;
    std::map<std::string_view, std::size_t> runs;
    std::map<Place, std::size_t> digestions;
    const auto placeOf = [&assays](const AssayReading& reading) -> std::optional<Place> {
        const auto sample = findAssaySample(assays, reading.sample);
        return reading.blank || !sample ? std::nullopt
                                        : std::optional<Place>{{*sample, reading.run, reading.replicate}};
    };
    // Only what counts makes a digestion.
    for (const AssayReading& reading : assays.readings) {
        runs.emplace(reading.run, 0);
        if (excludes(study.exclusions, reading) != nullptr) {
            continue;
        }
        if (const auto place = placeOf(reading)) {
            digestions.emplace(*place, 0);
        }
    }
    const auto number = [](auto& places) {
        std::size_t next = 0;
        for (auto& [place, value] : places) {
            value = ++next;
        }
    };
    number(runs);
    number(digestions);
    std::string csv =
        "run_no,run,sample_no,sample,replicate,digestion_no,blank,time_min,value,sample_mass_mg,"
        "excluded,excluded_because\n";
    for (const AssayReading& reading : assays.readings) {
        const auto place = placeOf(reading);
        const Exclusion* exclusion = excludes(study.exclusions, reading);
        csv += std::to_string(runs.at(reading.run)) + ',' + textCell(reading.run) + ',' +
               (place ? std::to_string(std::get<0>(*place) + 1) : "") + ',' + textCell(reading.sample) + ',' +
               std::to_string(reading.replicate) + ',' +
               (place && exclusion == nullptr ? std::to_string(digestions.at(*place)) : "") + ',' +
               (reading.blank ? "yes" : "no") + ',' + plainNumber(reading.timeMin) + ',' +
               orBlank(reading.value) + ',' + orBlank(reading.sampleMassMg) + ',' +
               (exclusion == nullptr ? "no," : "yes,") +
               (exclusion == nullptr ? std::string{} : textCell(reasonOf(*exclusion))) + '\n';
    }
    return csv;
}

}  // namespace

AssayFiles assayFiles(const Study& study) {
    return {settingsOf(study.assays), samplesOf(study), readingsOf(study)};
}

}  // namespace aftercurve
