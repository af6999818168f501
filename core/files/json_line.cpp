#include "core/files/json_line.h"

#include <cmath>

#include "core/files/excerpt.h"
#include "core/files/problem_list.h"
#include "core/files/text_check.h"

namespace aftercurve {

namespace {

constexpr int mostDepth = 32;
constexpr std::size_t mostInputs = 10'000;

bool isHash(const std::string& text) {
    return text.size() == 64 && text.find_first_not_of("0123456789abcdef") == std::string::npos;
}

}  // namespace

Result<Json> jsonLine(std::string_view line, std::string_view file) {
    if (line.empty()) {
        return problemAt(file, 0, {}, "it is empty");
    }
    const Result<std::string_view> text = checkedText(line, file);
    if (!text) {
        return problemAt(file, 0, {}, "it is not UTF-8 text");
    }
    Result<Json> json = parseJson(text.value(), file, mostDepth);
    if (!json || !json.value().is_object()) {
        return problemAt(file, 0, {}, "it is not a JSON object that can be read");
    }
    return json;
}

const Json* LineKeys::find(const char* key) const {
    const auto found = object_.find(key);
    return found == object_.end() || found->is_null() ? nullptr : &*found;
}

void LineKeys::remember(const char* key, const std::string& expected) {
    if (wrong_.empty()) {
        wrong_ = "its key '" + std::string{key} + "' is not " + expected;
    }
}

std::optional<std::string> LineKeys::text(const char* key) {
    const Json* found = find(key);
    if (found != nullptr && !found->is_string()) {
        remember(key, "a text");
        return std::nullopt;
    }
    return found == nullptr ? std::nullopt : std::optional{found->get<std::string>()};
}

std::optional<std::int64_t> LineKeys::wholeNumber(const char* key) {
    const Json* found = find(key);
    if (found == nullptr) {
        return std::nullopt;
    }
    const bool tooLarge =
        found->is_number_unsigned() && found->get<std::uint64_t>() > std::uint64_t{INT64_MAX};
    if (!found->is_number_integer() || tooLarge) {
        remember(key, "a whole number");
        return std::nullopt;
    }
    return found->get<std::int64_t>();
}

std::optional<double> LineKeys::number(const char* key) {
    const Json* found = find(key);
    if (found == nullptr) {
        return std::nullopt;
    }
    if (!found->is_number() || !std::isfinite(found->get<double>())) {
        remember(key, "a number");
        return std::nullopt;
    }
    return found->get<double>();
}

std::vector<InputFile> LineKeys::inputs(const char* key) {
    std::vector<InputFile> inputs;
    const Json* found = find(key);
    if (found == nullptr) {
        return inputs;
    }
    if (!found->is_array() || found->size() > mostInputs) {
        remember(key, "a list of files");
        return inputs;
    }
    for (const Json& entry : *found) {
        if (!entry.is_object()) {
            remember(key, "a list of files");
            return inputs;
        }
        LineKeys keys{entry};
        InputFile input{keys.text("file").value_or(""), keys.text("sha256").value_or("")};
        if (!keys.wrong().empty() || input.file.empty() || !isHash(input.sha256)) {
            remember(key, "a list of files with their hashes");
            return inputs;
        }
        inputs.push_back(std::move(input));
    }
    return inputs;
}

Json inputsJson(const std::vector<InputFile>& inputs) {
    Json list = Json::array();
    for (const InputFile& input : inputs) {
        list.push_back(Json{{"file", input.file}, {"sha256", input.sha256}});
    }
    return list;
}

Result<std::string> lineText(const Json& object, std::string_view file, const std::string& about) {
    try {
        return object.dump();
    } catch (const Json::exception&) {
        return problemAt(file, 0, {}, about + " holds text that is not UTF-8", "mend the text");
    }
}

}  // namespace aftercurve
