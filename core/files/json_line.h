#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/base/result.h"
#include "core/files/json_text.h"
#include "core/study/study.h"

namespace aftercurve {

/// The JSON object of one line of a JSON lines file: UTF-8, at most 32 levels. The problem's `what` is a half
/// sentence that says what is wrong with the line.
Result<Json> jsonLine(std::string_view line, std::string_view file);

/// Reads keys of such an object. Texts may hold anything, also line breaks: they are made printable where
/// they are shown. An absent or null key is empty; the first key of another type is remembered in `wrong`.
class LineKeys {
  public:
    explicit LineKeys(const Json& object) : object_(object) {}

    std::optional<std::string> text(const char* key);
    std::optional<std::int64_t> wholeNumber(const char* key);
    std::optional<double> number(const char* key);
    /// A list of files with their hashes: at most 10 000, each hash 64 hexadecimal digits.
    std::vector<InputFile> inputs(const char* key);

    /// Empty where all keys could be read; else "its key 'row' is ...".
    const std::string& wrong() const { return wrong_; }

  private:
    const Json* find(const char* key) const;
    void remember(const char* key, const std::string& expected);

    const Json& object_;
    std::string wrong_;
};

Json inputsJson(const std::vector<InputFile>& inputs);

/// One line without its end; fails for text that is not UTF-8. `about` names it: "an entry of the ledger".
Result<std::string> lineText(const Json& object, std::string_view file, const std::string& about);

}  // namespace aftercurve
