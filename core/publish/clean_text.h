#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace aftercurve {

/// What becomes of line breaks and tabs in a text that is to be published.
enum class LineBreaks { toBlanks, kept };

/// Text that every format can carry: line breaks and tabs become blanks (or stay); bytes that are not UTF-8,
/// control characters, U+FFFE and U+FFFF, and the marks that turn the direction of writing (U+061C,
/// U+200E, U+200F, U+202A to U+202E, U+2066 to U+2069), which could make a cell read as something else, are
/// shown as U+FFFD.
std::string cleanText(std::string_view text, LineBreaks breaks = LineBreaks::toBlanks);

/// Number of characters (code points) of a clean text.
std::size_t lettersIn(std::string_view text);

}  // namespace aftercurve
