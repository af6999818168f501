#include "core/files/csv_cell.h"

#include "core/files/number_cell.h"

namespace aftercurve {

namespace {

bool isPlainText(std::string_view cell) {
    return readNumber(cell).kind == NumberKind::text;
}

std::string withApostrophe(std::string_view text) {
    return "'" + std::string{text};
}

}  // namespace

bool spreadsheetWouldRun(std::string_view text) {
    return !text.empty() && std::string_view{"=+-@\t\r"}.find(text.front()) != std::string_view::npos;
}

std::string quotedCell(std::string_view text) {
    if (text.find_first_of(",\"\n\r") == std::string_view::npos) {
        return std::string{text};
    }
    std::string quoted = "\"";
    for (const char c : text) {
        quoted += c;
        if (c == '"') {
            quoted += '"';
        }
    }
    return quoted + "\"";
}

std::string_view textIn(std::string_view cell) {
    const bool is =
        cell.starts_with('\'') && (spreadsheetWouldRun(cell.substr(1)) || cell.substr(1).starts_with('\''));
    return is ? cell.substr(1) : cell;
}

std::string textCell(std::string_view text) {
    const bool protect = spreadsheetWouldRun(text) || textIn(text) != text;
    return protect ? quotedCell(withApostrophe(text)) : quotedCell(text);
}

std::string_view numberColumnText(std::string_view cell) {
    const std::string_view text = textIn(cell);
    return text.size() != cell.size() && isPlainText(text) ? text : cell;
}

std::string numberColumnCell(std::string_view text) {
    const bool protect = (spreadsheetWouldRun(text) && isPlainText(text)) || numberColumnText(text) != text;
    return protect ? quotedCell(withApostrophe(text)) : quotedCell(text);
}

}  // namespace aftercurve
