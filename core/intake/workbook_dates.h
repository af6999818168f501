#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "core/intake/source.h"

namespace aftercurve {

/// What a number format makes of a number.
enum class NumberForm : std::uint8_t { plain, date, clock, duration };

/// Built-in formats (ECMA-376 part 1, 18.8.30): 14 to 17 and 22 date, 18 to 21 clock, 45 to 47 (minutes and
/// seconds, elapsed hours) duration; all others plain.
NumberForm formOfBuiltIn(unsigned id);

/// Form of a format code (18.8.31), by its first section; what stands in quotes, behind a backslash, or in
/// brackets does not count, but [h], [m] and [s] do: elapsed time. A day, a year, or months without hours and
/// seconds: date. Hours: clock. Seconds without hours, or elapsed time: duration.
NumberForm formOfCode(std::string_view code);

/// A number under a form, as RawCell has it.
struct DatedNumber {
    CellKind kind = CellKind::number;
    double number = 0.0;
    std::string text;
};

/// Reads a serial number as its form has it.
///
/// date: days since 1899-12-30. In the 1900 system serials from 1 to below 60 are a day later than the count
/// says, since that system has a 29 February 1900, which is an error here; below 1 it is the clock alone. The
/// 1904 system adds 1462. clock: from 1 on the cell has a date too, and is a date. duration: any size.
/// Negative dates and clocks, dates past 9999 and durations of more than a million days stay numbers. Texts
/// are rounded to seconds.
DatedNumber datedNumber(double serial, NumberForm form, bool date1904);

/// A date or clock that is written as ISO 8601 text ("2026-03-02T08:30:00", "2026-03-02", "08:30"), as cells
/// of type d have it; nothing where it is none.
std::optional<DatedNumber> datedText(std::string_view text);

}  // namespace aftercurve
