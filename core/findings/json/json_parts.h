#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/files/json_text.h"
#include "core/findings/findings.h"
#include "core/findings/table.h"

namespace aftercurve {

inline Json orNull(const std::optional<double>& value) {
    return value ? Json(*value) : Json(nullptr);
}

inline Json textOrNull(const std::string& text) {
    return text.empty() ? Json(nullptr) : Json(text);
}

template <class Things, class Write>
Json arrayOf(const Things& things, Write write) {
    Json array = Json::array();
    for (const auto& thing : things) {
        array.push_back(write(thing));
    }
    return array;
}

/// The entries of results.json beyond those of its first version (docs/formats.md); one file each in this
/// folder.
/// The rows of a table as objects, a key a column, with the ids of what a row is about in place of labels.
Json tableRowsJson(const Table& table);
Json flowJson(const StudyFlow& flow);
Json digestionJson(const Findings& findings);
Json fibreJson(const Findings& findings);
Json laboratoryEffectJson(const LaboratoryEffect& effect);
Json leftOutJson(const std::vector<LaboratoryLeftOut>& leftOut);
Json crossoverJson(const CrossoverFinding& finding);
Json registeredJson(const RegisteredFinding& finding);
Json sensitivityJson(const SensitivityFinding& finding);
Json toleranceJson(const Findings& findings);

}  // namespace aftercurve
