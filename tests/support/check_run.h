#pragma once

#include <algorithm>
#include <string>
#include <string_view>
#include <vector>

#include "core/check/check.h"

namespace aftercurve::test {

/// What one check finds in a study.
inline std::vector<Problem> found(const Study& study, std::string_view key) {
    std::vector<Problem> problems = runChecks(study, study.plan);
    std::erase_if(problems, [key](const Problem& p) { return p.check != key; });
    return problems;
}

/// The keys of all problems, each once, in order of the alphabet: "decimal-slip unit-mix-up".
inline std::string keysFound(const Study& study) {
    std::vector<std::string> keys;
    for (const Problem& p : runChecks(study, study.plan)) {
        keys.push_back(p.check);
    }
    std::sort(keys.begin(), keys.end());
    keys.erase(std::unique(keys.begin(), keys.end()), keys.end());
    std::string text;
    for (const std::string& key : keys) {
        text += (text.empty() ? "" : " ") + key;
    }
    return text;
}

}  // namespace aftercurve::test
