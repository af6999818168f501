#include "core/intake/workbook_cells.h"

#include <fast_float/fast_float.h>

#include <array>
#include <charconv>
#include <cmath>

#include "core/files/excerpt.h"
#include "core/intake/cell_place.h"
#include "core/intake/workbook_dom.h"

namespace aftercurve {

namespace {

std::string_view withoutBlanks(std::string_view text) {
    constexpr std::string_view blanks = " \t\r\n";
    const std::size_t begin = text.find_first_not_of(blanks);
    return begin == std::string_view::npos ? std::string_view{}
                                           : text.substr(begin, text.find_last_not_of(blanks) + 1 - begin);
}

/// Shortest text of a number; a whole one keeps its digits, so that a code 100000 does not become 1e+05.
std::string_view numberText(double value, std::array<char, 32>& buffer) {
    char* const begin = buffer.data();
    const bool whole = std::abs(value) < 1e15 && value == std::trunc(value);
    const auto end = whole ? std::to_chars(begin, begin + buffer.size(), static_cast<long long>(value))
                           : std::to_chars(begin, begin + buffer.size(), value);
    return {begin, static_cast<std::size_t>(end.ptr - begin)};
}

}  // namespace

bool CellReader::read(pugi::xml_node row, std::vector<RawCell>& cells) {
    arena_.clear();
    cells.clear();
    std::size_t next = 0;
    // Siblings one by one: the iterators of the library cost several calls a step.
    for (pugi::xml_node node = row.first_child(); node; node = node.next_sibling()) {
        if (!isNamed(node.name(), "c")) {
            continue;
        }
        const Parts parts = partsOf(node);
        std::size_t column = next;
        if (!parts.reference.empty()) {
            const auto place = cellPlace(parts.reference);
            if (!place || place->column < next) {
                fault_ = "has the cell " + quote(parts.reference) + " out of place";
                return false;
            }
            column = place->column;
        }
        next = column + 1;
        RawCell cell;
        if (!fill(parts, cell)) {
            return false;
        }
        if (cell.kind == CellKind::empty) {
            continue;
        }
        if (column >= columns_) {
            fault_ = "has a value in column " + columnLetters(column) + " (" + std::to_string(column + 1) +
                     "), past the " + std::to_string(columns_) + " columns that are read";
            return false;
        }
        cells.resize(next);
        cells.back() = cell;
    }
    return true;
}

CellReader::Parts CellReader::partsOf(pugi::xml_node cell) {
    Parts parts;
    for (auto attribute = cell.first_attribute(); attribute; attribute = attribute.next_attribute()) {
        const std::string_view name = attribute.name();
        if (name == "r") {
            parts.reference = attribute.value();
        } else if (name == "t") {
            parts.type = attribute.value();
        } else if (name == "s") {
            parts.style = attribute.as_uint();
        }
    }
    for (pugi::xml_node child = cell.first_child(); child; child = child.next_sibling()) {
        if (isNamed(child.name(), "v")) {
            parts.value = child;
        } else if (isNamed(child.name(), "is")) {
            parts.inlineText = child;
        } else if (isNamed(child.name(), "f")) {
            parts.formula = true;
        }
    }
    return parts;
}

bool CellReader::fill(const Parts& parts, RawCell& cell) {
    if (parts.type == "inlineStr") {
        text(CellKind::text, richTextOf(parts.inlineText, scratch_), cell);
        return true;
    }
    const std::string_view value = textOf(parts.value, scratch_);
    if (parts.type == "str" && parts.value) {
        // A formula may well have the empty text as its value.
        text(CellKind::text,
             value.find("_x") == std::string_view::npos ? value : arena_.keep(withoutEscapes(value)), cell);
        return true;
    }
    const std::string_view plain = withoutBlanks(value);
    if (plain.empty()) {
        if (parts.formula) {
            text(CellKind::error, noStoredValue, cell);
        }
        return true;
    }
    if (parts.type.empty() || parts.type == "n") {
        number(plain, parts.style, cell);
    } else if (parts.type == "s") {
        return sharedText(plain, cell);
    } else if (parts.type == "b" && (plain == "0" || plain == "1")) {
        text(CellKind::truth, plain == "1" ? "TRUE" : "FALSE", cell);
        cell.number = plain == "1" ? 1.0 : 0.0;
    } else if (parts.type == "d") {
        const auto date = datedText(plain);
        date ? dated(*date, cell) : text(CellKind::text, plain, cell);
    } else {
        text(CellKind::error, plain, cell);
    }
    return true;
}

bool CellReader::sharedText(std::string_view index, RawCell& cell) {
    std::size_t position = 0;
    const auto parsed = std::from_chars(index.data(), index.data() + index.size(), position);
    const bool whole = parsed.ec == std::errc{} && parsed.ptr == index.data() + index.size();
    if (!whole || position >= context_.strings.size()) {
        fault_ = "refers to the shared text " + quote(index) + ", of which there are " +
                 std::to_string(context_.strings.size());
        return false;
    }
    const std::string_view shared = context_.strings.at(position);
    cell = {shared.empty() ? CellKind::empty : CellKind::text, shared, 0.0};
    return true;
}

void CellReader::number(std::string_view digits, std::size_t style, RawCell& cell) {
    double value = 0.0;
    const auto parsed = fast_float::from_chars(digits.data(), digits.data() + digits.size(), value);
    const bool whole = parsed.ec == std::errc{} && parsed.ptr == digits.data() + digits.size();
    if (!whole || !std::isfinite(value)) {
        text(CellKind::error, digits, cell);
        return;
    }
    value += 0.0;  // −0 becomes 0
    const NumberForm form = style < context_.styles.size() ? context_.styles[style] : NumberForm::plain;
    if (form != NumberForm::plain) {
        dated(datedNumber(value, form, context_.date1904), cell);
        return;
    }
    std::array<char, 32> buffer{};
    cell = {CellKind::number, arena_.keep(numberText(value, buffer)), value};
}

void CellReader::dated(const DatedNumber& value, RawCell& cell) {
    std::array<char, 32> buffer{};
    const bool plain = value.kind == CellKind::number;
    cell = {value.kind, arena_.keep(plain ? numberText(value.number, buffer) : value.text), value.number};
}

/// Keeps a copy where the text stands in the scratch, which the next cell uses.
void CellReader::text(CellKind kind, std::string_view text, RawCell& cell) {
    if (!text.empty()) {
        const bool scratch = text.data() == scratch_.data();
        cell = {kind, scratch ? arena_.keep(text) : text, 0.0};
    }
}

}  // namespace aftercurve
