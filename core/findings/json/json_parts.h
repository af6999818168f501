#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>

#include "core/findings/findings.h"

namespace aftercurve {

inline nlohmann::json orNull(const std::optional<double>& value) {
    return value ? nlohmann::json(*value) : nlohmann::json(nullptr);
}

inline nlohmann::json textOrNull(const std::string& text) {
    return text.empty() ? nlohmann::json(nullptr) : nlohmann::json(text);
}

template <class Things, class Write>
nlohmann::json arrayOf(const Things& things, Write write) {
    nlohmann::json array = nlohmann::json::array();
    for (const auto& thing : things) {
        array.push_back(write(thing));
    }
    return array;
}

/// The entries of results.json beyond those of its first version (docs/formats.md); one file each in this
/// folder.
nlohmann::json crossoverJson(const CrossoverFinding& finding);
nlohmann::json registeredJson(const RegisteredFinding& finding);
nlohmann::json sensitivityJson(const SensitivityFinding& finding);

}  // namespace aftercurve
