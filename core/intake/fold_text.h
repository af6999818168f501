#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace aftercurve {

/// `text` for comparing words: lower-case a-z and 0-9 only, accents and diacritics taken off (ä → a, ø → o,
/// š → s, ß → ss, æ → ae, µ → u), everything else one blank between words. "Zeit [Min.]" → "zeit min".
std::string foldedWords(std::string_view text);

/// `text` without blanks, tabs, line breaks and no-break spaces at its ends.
std::string_view strippedOfBlanks(std::string_view text);

/// The same, at once for nearly all cells, which begin and end with a visible ASCII character.
inline std::string_view stripped(std::string_view text) {
    const auto visible = [](char c) { return c > ' ' && c < '\x7f'; };
    const bool bare = text.empty() || (visible(text.front()) && visible(text.back()));
    return bare ? text : strippedOfBlanks(text);
}

/// The words of a folded text.
std::vector<std::string_view> wordsOf(std::string_view folded);

/// An id made of a text: "Barley porridge" → "barley-porridge"; "food" where nothing is left.
std::string idFrom(std::string_view text);

}  // namespace aftercurve
