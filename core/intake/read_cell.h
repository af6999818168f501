#pragma once

#include <string>
#include <string_view>

#include "core/intake/source.h"

namespace aftercurve {

enum class CellValueKind {
    empty,
    value,
    belowLimit,  ///< '<2.0' or '< 2,0': `number` is the limit
    unreadable,  ///< `fault` says why
};

struct CellValue {
    CellValueKind kind = CellValueKind::empty;
    double number = 0.0;
    std::string_view fault = {};  ///< e.g. "is not a number"; for kind unreadable
};

/// A concentration, or another number, as a cell gives it, with that decimal mark. A point where the mark is
/// a comma (or the reverse), a thousands divider, a date, an error value and words are unreadable; a number
/// past 1e9 too. Negative numbers are values.
CellValue readConcentration(const RawCell& cell, char decimalMark);

/// What a message shows of a cell.
std::string shownCell(const RawCell& cell);

}  // namespace aftercurve
