#pragma once

#include <cstdint>
#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/files/json_text.h"
#include "core/files/problem_list.h"

namespace aftercurve {

enum class Need { optional, required };

/// One object of study.json, read key by key. What is absent or null comes back empty; what has the wrong
/// type comes back empty too and is reported, as fatal, under its path ("foods[1].role").
class JsonObject {
  public:
    /// `value` must be an object and outlive this.
    JsonObject(const Json& value, std::string path, std::string_view file, ProblemList& problems)
        : value_(value), path_(std::move(path)), file_(file), problems_(problems) {}

    /// Text without control characters.
    std::optional<std::string> text(const char* key, Need need = Need::optional) const;
    /// As text, and neither empty nor longer than 100 bytes.
    std::optional<std::string> id(const char* key, Need need) const;
    std::optional<double> number(const char* key) const;
    std::optional<double> notNegative(const char* key) const;
    std::optional<std::int64_t> wholeNumber(const char* key) const;
    std::optional<std::uint64_t> unsignedNumber(const char* key) const;
    std::optional<bool> boolean(const char* key) const;
    std::optional<JsonObject> object(const char* key) const;
    /// The objects of a list; an entry of another type is reported and left out.
    std::vector<JsonObject> objects(const char* key, Need need) const;
    std::optional<std::vector<std::string>> texts(const char* key, Need need) const;
    std::optional<std::vector<double>> numbers(const char* key) const;

    const Json& value() const { return value_; }
    std::string pathOf(std::string_view key) const {
        return path_.empty() ? std::string{key} : path_ + "." + std::string{key};
    }
    const std::string& path() const { return path_; }

    /// Adds a problem about `key`; "what" begins with its path.
    void report(Weight weight, std::string_view key, const std::string& what, std::string remedy) const;

    /// A note for each key that is not one of `known`; such keys are kept on saving.
    void noteUnknownKeys(std::initializer_list<std::string_view> known) const;

  private:
    const Json* find(const char* key, Need need) const;
    const Json* list(const char* key, Need need) const;
    void wrongType(std::string_view key, const Json& found, const std::string& expected) const;

    const Json& value_;
    std::string path_;
    std::string_view file_;
    ProblemList& problems_;
};

/// A value as a message shows it: 'word', 12, a list, an object.
std::string shown(const Json& value);

}  // namespace aftercurve
