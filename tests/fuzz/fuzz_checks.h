#pragma once

#include <cmath>
#include <string_view>
#include <vector>

#include "core/base/problem.h"
#include "core/files/excerpt.h"
#include "core/files/samples_csv.h"
#include "core/files/study_json.h"
#include "core/study/study.h"

namespace aftercurve::test {

/// The invariants that core/study/study.h promises.
inline bool keepsInvariants(const Study& study) {
    for (const Draw& draw : study.draws) {
        const bool valid = draw.subject < study.subjects.size() && draw.food < study.foods.size() &&
                           draw.visit >= 1 && draw.period >= 0 && draw.file < study.sampleFiles.size() &&
                           draw.row >= 2 && std::isfinite(draw.timeMin);
        if (!valid) {
            return false;
        }
    }
    if (study.concentrations.size() != study.analytes.size()) {
        return false;
    }
    for (const auto& values : study.concentrations) {
        if (values.size() != study.draws.size()) {
            return false;
        }
        for (const auto& value : values) {
            if (value && !(std::isfinite(*value) && *value >= 0.0)) {
                return false;
            }
        }
    }
    for (const CellFlaw& flaw : study.flaws) {
        const bool valid = flaw.draw < study.draws.size() && flaw.analyte < study.analytes.size() &&
                           !study.concentrations[flaw.analyte][flaw.draw] && !flaw.reason.empty();
        if (!valid) {
            return false;
        }
    }
    return true;
}

/// Every problem says something, and nothing of it can act on a terminal.
inline bool areFitForPrint(const std::vector<Problem>& problems) {
    for (const Problem& problem : problems) {
        for (const std::string* text : {&problem.what, &problem.remedy, &problem.file, &problem.column,
                                        &problem.subject, &problem.food}) {
            if (hasControlCharacters(*text)) {
                return false;
            }
        }
        if (problem.what.empty()) {
            return false;
        }
    }
    return true;
}

/// Bytes as samples.csv of an invented study. False where a promise is broken.
inline bool readsAsSamples(std::string_view bytes) {
    Study study;
    study.foods = {{"drink", "Drink", FoodRole::reference, {}, {}},
                   {"a,\"b", "Bread", FoodRole::test, {}, {}}};
    study.analytes = {{"glucose", "mmol/L", ""}, {"insulin", "", ""}};
    study.sampleFiles = {"samples.csv"};
    ReadLimits limits;
    limits.lineBytes = 4096;
    limits.columns = 32;
    limits.flaws = 100;
    limits.problemsListed = 20;
    ProblemList problems{limits.problemsListed};
    SamplesReader reader{study, {}, limits, problems};
    reader.read(bytes, 0);
    reader.finish();
    const std::vector<Problem> listed = problems.take();
    return keepsInvariants(study) && areFitForPrint(listed) && listed.size() <= limits.problemsListed + 1 &&
           (!problems.failed() || errorCount(listed) > 0);
}

/// Bytes as study.json. False where a promise is broken.
inline bool readsAsStudyJson(std::string_view bytes) {
    const ReadLimits limits;
    ProblemList problems{limits.problemsListed};
    const auto declared = readStudyJson(bytes, limits, problems);
    const std::vector<Problem> listed = problems.take();
    const bool saidWhy = declared.has_value() != problems.failed() && (declared || errorCount(listed) > 0);
    const bool complete = !declared || (!declared->study.foods.empty() && !declared->study.analytes.empty() &&
                                        !declared->study.sampleFiles.empty() &&
                                        declared->conversions.size() == declared->study.analytes.size());
    return saidWhy && complete && areFitForPrint(listed);
}

}  // namespace aftercurve::test
