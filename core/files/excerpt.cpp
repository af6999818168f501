#include "core/files/excerpt.h"

#include "core/files/utf8.h"

namespace aftercurve {

namespace {

bool isControl(char32_t c) {
    const bool control = c < 0x20 || (c >= 0x7f && c <= 0x9f);
    const bool separator = c == 0x2028 || c == 0x2029 || c == 0xfeff;
    const bool turnsDirection =
        c == 0x200e || c == 0x200f || (c >= 0x202a && c <= 0x202e) || (c >= 0x2066 && c <= 0x2069);
    return control || separator || turnsDirection;
}

std::string cleaned(std::string_view text, std::size_t maxCharacters) {
    std::string out;
    std::size_t characters = 0;
    while (!text.empty()) {
        if (characters == maxCharacters) {
            return out + "...";
        }
        const Utf8Character c = firstCharacter(text);
        if (c.length == 0 || isControl(c.code)) {
            out += '?';
        } else {
            out += text.substr(0, c.length);
        }
        text.remove_prefix(c.length == 0 ? 1 : c.length);
        ++characters;
    }
    return out;
}

}  // namespace

bool hasControlCharacters(std::string_view text) {
    while (!text.empty()) {
        const Utf8Character c = firstCharacter(text);
        if (c.length == 0 || isControl(c.code)) {
            return true;
        }
        text.remove_prefix(c.length);
    }
    return false;
}

std::string printable(std::string_view text) {
    return cleaned(text, text.size());
}

std::string shortened(std::string_view text) {
    return cleaned(text, excerptCharacters);
}

std::string quote(std::string_view text) {
    return "'" + shortened(text) + "'";
}

}  // namespace aftercurve
