#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "core/intake/mapping.h"

namespace aftercurve {

/// Minutes in a text: "15", "-5", "+15 min", "t0", "T 15", "0'", "1h", "1:30 h", "1 h 30 min", "0,5 h". A
/// plain number is in units of `minutesPerUnit`. Nothing where the whole text is not one time, or past 1e6
/// min.
std::optional<double> minutesFrom(std::string_view text, double minutesPerUnit = 1.0);

/// Minutes after midnight, in [0, 1440): "8:05", "08:05:30", "8h05", "8.05" (point), "8:05 am". Nothing else.
std::optional<double> clockFrom(std::string_view text);

/// "08:05"; seconds only where there are any.
std::string clockText(double minutes);

/// What a date's writing says about the order of day and month.
enum class DateForm {
    none,        ///< not a date
    ordered,     ///< year first, or a month by its place: read the same in any order
    dayFirst,    ///< can only be day, month, year
    monthFirst,  ///< can only be month, day, year
    either,      ///< both readings are dates
};

DateForm dateFormOf(std::string_view text);

/// ISO 8601 date (2026-03-02) of "2026-03-02", "2.3.2026", "02/03/26" (years of two digits are 20..). A part
/// after 'T' or a blank is cut off. Nothing where it is no date in this order.
std::optional<std::string> dateFrom(std::string_view text, std::optional<DateOrder> order);

}  // namespace aftercurve
