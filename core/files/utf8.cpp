#include "core/files/utf8.h"

#include <cstdint>
#include <cstring>

namespace aftercurve {

namespace {

unsigned byteAt(std::string_view text, std::size_t i) {
    return static_cast<unsigned char>(text[i]);
}

/// Skips what is ASCII, 32 bytes at a time: nearly all of every samples file.
std::size_t skipAscii(std::string_view text, std::size_t from) {
    constexpr std::uint64_t highBits = 0x8080808080808080u;
    std::size_t i = from;
    for (; i + 32 <= text.size(); i += 32) {
        std::uint64_t words[4];
        std::memcpy(words, text.data() + i, sizeof words);
        if (((words[0] | words[1] | words[2] | words[3]) & highBits) != 0) {
            break;
        }
    }
    while (i < text.size() && byteAt(text, i) < 0x80) {
        ++i;
    }
    return i;
}

}  // namespace

Utf8Character firstCharacter(std::string_view text) {
    if (text.empty()) {
        return {};
    }
    const unsigned lead = byteAt(text, 0);
    if (lead < 0x80) {
        return {lead, 1};
    }
    std::size_t length = 0;
    char32_t code = 0;
    char32_t smallest = 0;
    if ((lead & 0xe0u) == 0xc0u) {
        length = 2;
        code = lead & 0x1fu;
        smallest = 0x80;
    } else if ((lead & 0xf0u) == 0xe0u) {
        length = 3;
        code = lead & 0x0fu;
        smallest = 0x800;
    } else if ((lead & 0xf8u) == 0xf0u) {
        length = 4;
        code = lead & 0x07u;
        smallest = 0x10000;
    }
    if (length == 0 || text.size() < length) {
        return {};
    }
    for (std::size_t i = 1; i < length; ++i) {
        const unsigned next = byteAt(text, i);
        if ((next & 0xc0u) != 0x80u) {
            return {};
        }
        code = (code << 6) | (next & 0x3fu);
    }
    const bool surrogate = code >= 0xd800 && code <= 0xdfff;
    if (code < smallest || surrogate || code > 0x10ffff) {
        return {};
    }
    return {code, length};
}

std::size_t firstNotUtf8(std::string_view text) {
    std::size_t i = skipAscii(text, 0);
    while (i < text.size()) {
        const Utf8Character c = firstCharacter(text.substr(i));
        if (c.length == 0) {
            return i;
        }
        i = skipAscii(text, i + c.length);
    }
    return text.size();
}

}  // namespace aftercurve
