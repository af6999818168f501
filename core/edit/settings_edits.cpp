#include "core/edit/settings_edits.h"

#include <algorithm>
#include <set>

#include "core/compare/scaled.h"
#include "core/edit/table_edits.h"
#include "core/files/cell_rules.h"
#include "core/files/diary_json.h"
#include "core/files/excerpt.h"
#include "core/files/fibre_json.h"

namespace aftercurve {

namespace {

/// Every member of the settings of the assays but the file, the samples and the readings.
void copySettings(const AssayData& from, AssayData& to) {
    to.quantity = from.quantity;
    to.rapidCutMin = from.rapidCutMin;
    to.slowCutMin = from.slowCutMin;
    to.lastMin = from.lastMin;
    to.glucoseToStarch = from.glucoseToStarch;
    to.comparison = from.comparison;
    to.interpolate = from.interpolate;
    to.basis = from.basis;
}

void copySettings(const FibreData& from, FibreData& to) {
    to.region = from.region;
    to.targetG = from.targetG;
    to.repeatability = from.repeatability;
    to.rules = from.rules;
}

void copySettings(const DiaryData& from, DiaryData& to) {
    to.plannedDays = from.plannedDays;
    to.prorate = from.prorate;
}

std::vector<const std::string*> textsOf(const FibreData& fibre) {
    std::vector<const std::string*> texts{&fibre.region};
    for (const OwnRepeatability& own : fibre.repeatability) {
        texts.push_back(&own.method);
    }
    for (const FibreRule& rule : fibre.rules) {
        texts.insert(texts.end(), {&rule.key, &rule.title, &rule.definition, &rule.source, &rule.on});
        for (const std::string& method : rule.methods) {
            texts.push_back(&method);
        }
        for (const FibreStatementRule& statement : rule.statements) {
            texts.push_back(&statement.words);
        }
        for (const FibreRoundingStep& step : rule.rounding) {
            texts.push_back(&step.words);
        }
    }
    return texts;
}

std::vector<double> numbersOf(const FibreData& fibre) {
    std::vector<double> numbers{fibre.targetG.value_or(0.0)};
    for (const OwnRepeatability& own : fibre.repeatability) {
        numbers.push_back(own.sdG);
    }
    for (const FibreRule& rule : fibre.rules) {
        for (const FibreStatementRule& statement : rule.statements) {
            for (const FibreThreshold& one : statement.anyOf) {
                numbers.push_back(one.atLeastG);
            }
        }
        for (const FibreRoundingStep& step : rule.rounding) {
            numbers.insert(numbers.end(), {step.fromG, step.nearestG});
        }
    }
    return numbers;
}

/// What study.json would say of the settings, judged by its own reader.
Result<Done> checkReadBack(const FibreData& settings) {
    Json root = Json::object();
    putFibre(settings, root);
    ProblemList problems{1};
    const FibreData read = fibreFrom(JsonObject{root, "", "study.json", problems});
    if (problems.failed()) {
        return problems.take().front();
    }
    if (read != settings) {
        return cellProblem("fibre", "the settings of fibre would be read back otherwise",
                           "name each part of fibre, each method and each rule once");
    }
    return Done{};
}

}  // namespace

AssayData settingsOf(const AssayData& assays) {
    AssayData settings;
    copySettings(assays, settings);
    return settings;
}

FibreData settingsOf(const FibreData& fibre) {
    FibreData settings;
    copySettings(fibre, settings);
    return settings;
}

DiaryData settingsOf(const DiaryData& diary) {
    DiaryData settings;
    copySettings(diary, settings);
    return settings;
}

Result<Change> putSettings(Study& study, const SetAssaySettings& set) {
    const AssayData& wanted = set.settings;
    const double minutes[] = {wanted.rapidCutMin, wanted.slowCutMin, wanted.lastMin};
    const bool tooLong = std::any_of(std::begin(minutes), std::end(minutes),
                                     [](double time) { return !(time >= 0.0 && time <= largestTimeMin); });
    if (tooLong || !allFinite(std::vector{wanted.glucoseToStarch})) {
        return cellProblem("assays", "a number of the assays' settings is not finite, negative or too large",
                           "enter minutes from 0 to 1000000, and a factor");
    }
    const auto& readings = study.assays.readings;
    const bool valued = std::any_of(readings.begin(), readings.end(), [](const AssayReading& reading) {
        return reading.value || !reading.valueText.empty();
    });
    if (wanted.quantity != study.assays.quantity && valued) {
        return cellProblem("quantity", "the readings have values, which would mean something else",
                           "clear the values first");
    }
    SetAssaySettings inverse{settingsOf(study.assays)};
    copySettings(wanted, study.assays);
    if (const std::vector<AssayFault> faults = validate(study.assays); !faults.empty()) {
        copySettings(inverse.settings, study.assays);
        return cellProblem(faults.front().key, faults.front().key + " " + faults.front().what,
                           faults.front().remedy);
    }
    return Change{std::move(inverse)};
}

Result<Change> putSettings(Study& study, const SetFibreSettings& set) {
    FibreData wanted = settingsOf(set.settings);
    for (const std::string* text : textsOf(wanted)) {
        if (std::string fault = faultOfText(*text, longestJsonText); !fault.empty()) {
            return cellProblem("fibre", "fibre: " + fault, "write each text in one line");
        }
    }
    if (!allFinite(numbersOf(wanted))) {
        return cellProblem("fibre", "a number of the settings of fibre is not finite", "enter a number");
    }
    std::sort(wanted.repeatability.begin(), wanted.repeatability.end(),
              [](const OwnRepeatability& a, const OwnRepeatability& b) { return a.method < b.method; });
    if (const Result<Done> fits = checkReadBack(wanted); !fits) {
        return fits.problem();
    }
    SetFibreSettings inverse{settingsOf(study.fibre)};
    copySettings(wanted, study.fibre);
    return Change{std::move(inverse)};
}

Result<Change> putSettings(Study& study, const SetDiarySettings& set) {
    if (set.settings.plannedDays < 0 || set.settings.plannedDays > mostDiaryDays) {
        return cellProblem("planned_days",
                           "planned_days is " + std::to_string(set.settings.plannedDays) +
                               "; it runs from 1 to " + std::to_string(mostDiaryDays),
                           "give the days that each diary was to hold, or 0 for none");
    }
    SetDiarySettings inverse{settingsOf(study.diary)};
    copySettings(set.settings, study.diary);
    return Change{std::move(inverse)};
}

}  // namespace aftercurve
