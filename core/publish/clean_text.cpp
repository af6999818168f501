#include "core/publish/clean_text.h"

#include <algorithm>

#include "core/files/utf8.h"

namespace aftercurve {

namespace {

bool turnsDirection(char32_t code) {
    return code == 0x061C || code == 0x200E || code == 0x200F || (code >= 0x202A && code <= 0x202E) ||
           (code >= 0x2066 && code <= 0x2069);
}

bool isControl(char32_t code) {
    return code < 0x20 || (code >= 0x7F && code < 0xA0) || code == 0xFFFE || code == 0xFFFF;
}

bool breaksLine(char32_t code) {
    return code == '\n' || code == '\r' || code == '\t' || code == 0x2028 || code == 0x2029;
}

}  // namespace

std::string cleanText(std::string_view text, LineBreaks breaks) {
    constexpr std::string_view replacement = "\uFFFD";
    std::string clean;
    clean.reserve(text.size());
    while (!text.empty()) {
        const Utf8Character character = firstCharacter(text);
        const std::size_t length = character.length == 0 ? 1 : character.length;
        if (character.length != 0 && breaksLine(character.code)) {
            const bool pair = text.starts_with("\r\n");
            if (breaks == LineBreaks::toBlanks) {
                clean += ' ';
            } else {
                clean += character.code == '\t' ? '\t' : '\n';
            }
            text.remove_prefix(pair ? 2 : length);
            continue;
        }
        if (character.length == 0 || isControl(character.code) || turnsDirection(character.code)) {
            clean += replacement;
        } else {
            clean += text.substr(0, length);
        }
        text.remove_prefix(length);
    }
    return clean;
}

std::size_t lettersIn(std::string_view text) {
    return static_cast<std::size_t>(std::count_if(
        text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

}  // namespace aftercurve
