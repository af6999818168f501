#include "core/intake/read_cell.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "core/files/excerpt.h"
#include "core/files/number_cell.h"
#include "core/intake/fold_text.h"

namespace aftercurve {

namespace {

CellValue unreadable(std::string_view fault) {
    return {CellValueKind::unreadable, 0.0, fault};
}

CellValue fromNumber(const NumberCell& number) {
    switch (number.kind) {
        case NumberKind::value:
            return {CellValueKind::value, number.value, {}};
        case NumberKind::decimalComma:
            return unreadable("has a comma where this table's decimal mark is a point");
        case NumberKind::notFinite:
            return unreadable("is not a finite number");
        case NumberKind::tooLarge:
            return unreadable("is larger than 1e9, the largest number that is read");
        case NumberKind::beyondLimit:
            return unreadable("lies above the quantification limit and is no number");
        case NumberKind::belowLimit:  // taken care of before
        case NumberKind::missing:
        case NumberKind::text:
            break;
    }
    return unreadable("is not a number");
}

CellValue fromText(std::string_view text, char decimalMark) {
    if (decimalMark != ',') {
        return fromNumber(readNumber(text));
    }
    if (text.find('.') != std::string_view::npos &&
        text.find_first_not_of("+-0123456789.,eE ") == std::string_view::npos) {
        return unreadable("has a point where this table's decimal mark is a comma");
    }
    std::array<char, 64> copy{};
    if (text.size() > copy.size()) {
        return unreadable("is not a number");
    }
    std::replace_copy(text.begin(), text.end(), copy.begin(), ',', '.');
    return fromNumber(readNumber({copy.data(), text.size()}));
}

}  // namespace

CellValue readConcentration(const RawCell& cell, char decimalMark) {
    switch (cell.kind) {
        case CellKind::empty:
            return {};
        case CellKind::number:
            return std::isfinite(cell.number) && std::abs(cell.number) <= largestNumber
                       ? CellValue{CellValueKind::value, cell.number + 0.0, {}}
                       : unreadable("is larger than 1e9, the largest number that is read");
        case CellKind::date:
        case CellKind::clock:
        case CellKind::duration:
            return unreadable("is a date or time of the workbook, not a number");
        case CellKind::truth:
            return unreadable("is not a number");
        case CellKind::error:
            return unreadable("is an error value of the workbook");
        case CellKind::text:
            break;
    }
    const std::string_view text = stripped(cell.text);
    if (text.empty()) {
        return {};
    }
    if (text.front() == '<') {
        std::string_view rest = stripped(text.substr(1));
        if (rest.starts_with('=')) {
            rest = stripped(rest.substr(1));
        }
        CellValue limit = fromText(rest, decimalMark);
        if (limit.kind == CellValueKind::value && limit.number > 0.0) {
            limit.kind = CellValueKind::belowLimit;
            return limit;
        }
        return unreadable("is not a number");
    }
    return fromText(text, decimalMark);
}

std::string shownCell(const RawCell& cell) {
    return quote(cell.text);
}

}  // namespace aftercurve
