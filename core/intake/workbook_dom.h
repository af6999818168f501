#pragma once

#include <pugixml.hpp>
#include <span>
#include <string>
#include <string_view>

namespace aftercurve {

/// Parses an element that XmlPieces gave, in place; false where it is not well formed.
bool parsePiece(pugi::xml_document& document, std::span<char> piece);

/// True where the local part of an XML name, behind any prefix, is `name`.
bool isNamed(const char* xmlName, std::string_view name);

/// The first child element, or the attribute, of that local name; a null handle where there is none.
pugi::xml_node childNamed(pugi::xml_node node, std::string_view name);
pugi::xml_attribute attributeNamed(pugi::xml_node node, std::string_view name);

/// Text and CDATA directly inside `node`. Where it is one piece the view shows it in the document, else it
/// is put together in `scratch`.
std::string_view textOf(pugi::xml_node node, std::string& scratch);

/// Text of a rich text (ECMA-376 part 1, 18.4.8 CT_Rst: shared `si` or inline `is`), its runs joined,
/// phonetic parts left out, _xHHHH_ escapes (22.9.2.19) of line breaks, tabs and printable characters
/// resolved. As textOf for view and scratch.
std::string_view richTextOf(pugi::xml_node node, std::string& scratch);

/// `text` with the escapes of richTextOf resolved.
std::string withoutEscapes(std::string_view text);

}  // namespace aftercurve
