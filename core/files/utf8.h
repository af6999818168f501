#pragma once

#include <cstddef>
#include <string_view>

namespace aftercurve {

/// A code point and the bytes it takes; length 0: the text does not begin with well-formed UTF-8.
struct Utf8Character {
    char32_t code = 0;
    std::size_t length = 0;
};

/// Decodes by RFC 3629: no overlong forms, no surrogates, nothing past U+10FFFF.
Utf8Character firstCharacter(std::string_view text);

/// Offset of the first byte that is not UTF-8; text.size() where all is well.
std::size_t firstNotUtf8(std::string_view text);

}  // namespace aftercurve
