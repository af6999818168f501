#include "core/files/text_check.h"

#include <algorithm>
#include <string>

#include "core/files/problem_list.h"
#include "core/files/utf8.h"

namespace aftercurve {

namespace {

constexpr const char* saveAsUtf8 = "save it as UTF-8 (in a spreadsheet: 'CSV UTF-8') and read it again";

}  // namespace

Result<std::string_view> checkedText(std::string_view bytes, std::string_view file) {
    if (bytes.empty()) {
        return problemAt(file, 0, {}, "the file is empty (0 bytes)",
                         "put the data in it or name another file");
    }
    if (bytes.starts_with("\xff\xfe") || bytes.starts_with("\xfe\xff")) {
        return problemAt(file, 1, {}, "the file is written in UTF-16", saveAsUtf8);
    }
    std::string_view text = bytes;
    if (text.starts_with("\xef\xbb\xbf")) {
        text.remove_prefix(3);
    }
    if (const std::size_t nul = text.find('\0'); nul != std::string_view::npos) {
        return problemAt(
            file, lineAt(text, nul), {},
            "a NUL byte stands in the file, so it is not text (or it is UTF-16 without its mark)",
            saveAsUtf8);
    }
    if (const std::size_t bad = firstNotUtf8(text); bad != text.size()) {
        return problemAt(file, lineAt(text, bad), {}, "a byte is not UTF-8", saveAsUtf8);
    }
    return text;
}

std::size_t lineAt(std::string_view text, std::size_t offset) {
    std::size_t line = 1;
    const std::size_t end = std::min(offset, text.size());
    for (std::size_t i = 0; i < end; ++i) {
        const bool lineFeed = text[i] == '\n';
        const bool loneReturn = text[i] == '\r' && (i + 1 == text.size() || text[i + 1] != '\n');
        line += lineFeed || loneReturn ? 1u : 0u;
    }
    return line;
}

}  // namespace aftercurve
