#pragma once

#include <initializer_list>
#include <optional>
#include <string>
#include <utility>

#include "core/files/excerpt.h"
#include "core/files/json_object.h"

namespace aftercurve {

/// Reads the word of a rule; one that is not known is reported with those that are, and `rule` stays.
template <class Rule, class From>
void readRule(const JsonObject& object, const char* key, Rule& rule, From from,
              std::initializer_list<Rule> allowed) {
    const auto word = object.text(key);
    if (!word) {
        return;
    }
    if (const auto found = from(*word)) {
        rule = *found;
        return;
    }
    std::string words;
    for (const Rule one : allowed) {
        words += (words.empty() ? "" : ", ") + std::string{wordFor(one)};
    }
    object.report(Weight::fatal, key, "is " + quote(*word) + ", which is not a known rule",
                  "use one of " + words);
}

/// Takes what was read; `target` stays where nothing was.
template <class Value>
void assign(Value& target, std::optional<Value> read) {
    if (read) {
        target = std::move(*read);
    }
}

}  // namespace aftercurve
