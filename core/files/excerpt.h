#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace aftercurve {

/// Longest piece of a file that a message quotes, in characters.
inline constexpr std::size_t excerptCharacters = 40;

/// True where `text` holds a control character (C0, DEL, C1) or a character that turns the writing direction,
/// either of which could make a terminal or a report show something else than what is there.
bool hasControlCharacters(std::string_view text);

/// `text` with those characters and bytes that are not UTF-8 replaced by '?'.
std::string printable(std::string_view text);

/// `printable`, cut to excerptCharacters with "..." at the end.
std::string shortened(std::string_view text);

/// The same in single quotes, for messages: 'forty'.
std::string quote(std::string_view text);

}  // namespace aftercurve
