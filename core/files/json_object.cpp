#include "core/files/json_object.h"

#include <algorithm>
#include <cmath>

#include "core/files/excerpt.h"

namespace aftercurve {

namespace {

constexpr std::size_t longestId = 100;

}  // namespace

std::string shown(const Json& value) {
    if (value.is_string()) {
        return quote(value.get_ref<const std::string&>());
    }
    if (value.is_array()) {
        return "a list";
    }
    if (value.is_object()) {
        return "an object";
    }
    return shortened(value.dump());
}

void JsonObject::report(Weight weight, std::string_view key, const std::string& what,
                        std::string remedy) const {
    const std::string where = pathOf(key);
    problems_.add(
        weight, problemAt(file_, 0, where, printable(where.substr(0, 200)) + " " + what, std::move(remedy)));
}

void JsonObject::wrongType(std::string_view key, const Json& found, const std::string& expected) const {
    report(Weight::fatal, key, "is " + shown(found) + "; " + expected + " is expected",
           "mend it in " + std::string{file_});
}

const Json* JsonObject::find(const char* key, Need need) const {
    const auto found = value_.find(key);
    if (found != value_.end() && !found->is_null()) {
        return &*found;
    }
    if (need == Need::required) {
        report(Weight::fatal, key, "is missing", "add it to " + std::string{file_});
    }
    return nullptr;
}

std::optional<std::string> JsonObject::text(const char* key, Need need) const {
    const Json* found = find(key, need);
    if (found == nullptr) {
        return std::nullopt;
    }
    if (!found->is_string()) {
        wrongType(key, *found, "text in quotes");
        return std::nullopt;
    }
    const auto& text = found->get_ref<const std::string&>();
    if (hasControlCharacters(text)) {
        report(Weight::fatal, key, "holds control characters: " + quote(text),
               "remove line breaks, tabs and the like");
        return std::nullopt;
    }
    return text;
}

std::optional<std::string> JsonObject::id(const char* key, Need need) const {
    auto text = this->text(key, need);
    if (!text) {
        return std::nullopt;
    }
    if (text->empty()) {
        report(Weight::fatal, key, "is empty", "give it a value");
        return std::nullopt;
    }
    if (text->size() > longestId) {
        report(Weight::fatal, key, quote(*text) + " is longer than 100 bytes", "use a shorter one");
        return std::nullopt;
    }
    return text;
}

std::optional<double> JsonObject::number(const char* key) const {
    const Json* found = find(key, Need::optional);
    if (found == nullptr) {
        return std::nullopt;
    }
    if (!found->is_number()) {
        wrongType(key, *found, "a number without quotes");
        return std::nullopt;
    }
    const auto value = found->get<double>();
    if (!std::isfinite(value)) {
        report(Weight::fatal, key, "is not a finite number", "mend it in " + std::string{file_});
        return std::nullopt;
    }
    return value;
}

std::optional<double> JsonObject::notNegative(const char* key) const {
    const auto value = number(key);
    if (value && *value < 0.0) {
        report(Weight::fatal, key, "is " + shown(value_.at(key)) + "; it cannot be negative",
               "mend it in " + std::string{file_});
        return std::nullopt;
    }
    return value;
}

std::optional<std::int64_t> JsonObject::wholeNumber(const char* key) const {
    const Json* found = find(key, Need::optional);
    if (found == nullptr) {
        return std::nullopt;
    }
    const bool tooLarge =
        found->is_number_unsigned() && found->get<std::uint64_t>() > static_cast<std::uint64_t>(INT64_MAX);
    if (!found->is_number_integer() || tooLarge) {
        wrongType(key, *found, "a whole number without quotes");
        return std::nullopt;
    }
    return found->get<std::int64_t>();
}

std::optional<std::uint64_t> JsonObject::unsignedNumber(const char* key) const {
    const Json* found = find(key, Need::optional);
    if (found == nullptr) {
        return std::nullopt;
    }
    if (!found->is_number_unsigned()) {
        wrongType(key, *found, "a whole number from 0 without quotes");
        return std::nullopt;
    }
    return found->get<std::uint64_t>();
}

std::optional<bool> JsonObject::boolean(const char* key) const {
    const Json* found = find(key, Need::optional);
    if (found == nullptr) {
        return std::nullopt;
    }
    if (!found->is_boolean()) {
        wrongType(key, *found, "true or false");
        return std::nullopt;
    }
    return found->get<bool>();
}

std::optional<JsonObject> JsonObject::object(const char* key) const {
    const Json* found = find(key, Need::optional);
    if (found == nullptr) {
        return std::nullopt;
    }
    if (!found->is_object()) {
        wrongType(key, *found, "an object in braces");
        return std::nullopt;
    }
    return JsonObject{*found, pathOf(key), file_, problems_};
}

const Json* JsonObject::list(const char* key, Need need) const {
    const Json* found = find(key, need);
    if (found == nullptr) {
        return nullptr;
    }
    if (!found->is_array()) {
        wrongType(key, *found, "a list in brackets");
        return nullptr;
    }
    if (need == Need::required && found->empty()) {
        report(Weight::fatal, key, "is an empty list", "name at least one");
    }
    return found;
}

std::vector<JsonObject> JsonObject::objects(const char* key, Need need) const {
    std::vector<JsonObject> entries;
    const Json* found = list(key, need);
    for (std::size_t i = 0; found != nullptr && i < found->size(); ++i) {
        const std::string at = std::string{key} + "[" + std::to_string(i) + "]";
        if (!(*found)[i].is_object()) {
            wrongType(at, (*found)[i], "an object in braces");
            continue;
        }
        entries.emplace_back((*found)[i], pathOf(at), file_, problems_);
    }
    return entries;
}

std::optional<std::vector<std::string>> JsonObject::texts(const char* key, Need need) const {
    const Json* found = list(key, need);
    if (found == nullptr) {
        return std::nullopt;
    }
    std::vector<std::string> entries;
    for (std::size_t i = 0; i < found->size(); ++i) {
        const Json& entry = (*found)[i];
        const std::string at = std::string{key} + "[" + std::to_string(i) + "]";
        if (!entry.is_string()) {
            wrongType(at, entry, "text in quotes");
        } else if (const auto& text = entry.get_ref<const std::string&>();
                   text.empty() || hasControlCharacters(text)) {
            report(Weight::fatal, at, "is " + quote(text) + "; a text without control characters is expected",
                   "mend it in " + std::string{file_});
        } else {
            entries.push_back(text);
        }
    }
    return entries;
}

std::optional<std::vector<double>> JsonObject::numbers(const char* key) const {
    const Json* found = list(key, Need::optional);
    if (found == nullptr) {
        return std::nullopt;
    }
    std::vector<double> entries;
    for (std::size_t i = 0; i < found->size(); ++i) {
        const Json& entry = (*found)[i];
        const std::string at = std::string{key} + "[" + std::to_string(i) + "]";
        if (!entry.is_number()) {
            wrongType(at, entry, "a number without quotes");
        } else if (const auto value = entry.get<double>(); !std::isfinite(value)) {
            report(Weight::fatal, at, "is not a finite number", "mend it in " + std::string{file_});
        } else {
            entries.push_back(value);
        }
    }
    return entries;
}

void JsonObject::noteUnknownKeys(std::initializer_list<std::string_view> known) const {
    for (const auto& [key, entry] : value_.items()) {
        if (std::find(known.begin(), known.end(), key) == known.end()) {
            report(Weight::note, key, "is not a key that this program knows; it is kept and not used", {});
        }
    }
}

}  // namespace aftercurve
