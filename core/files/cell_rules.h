#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "core/files/number_cell.h"

namespace aftercurve {

/// What the cells of a study's tables may hold; the readers of the files and the edits of a study both ask
/// here.
inline constexpr std::int32_t largestCount = 1'000'000;  ///< visits, periods, determinations
inline constexpr double largestTimeMin = 1e6;            ///< either way
inline constexpr std::size_t longestText = 2000;         ///< bytes of a remark, a sequence, a sex
inline constexpr double oldestY = 130.0;
inline constexpr double largestBmi = 200.0;

/// A visit, period or determination: a whole number from 1 to largestCount, digits only.
std::optional<std::int32_t> countIn(std::string_view cell);

/// A time in min; nothing where the cell is no number or lies beyond largestTimeMin.
std::optional<double> minutesIn(std::string_view cell);

/// Why minutesIn gives nothing: "'5,4' is written with a decimal comma".
std::string faultOfMinutes(std::string_view cell);

/// Why a cell cannot be used as a concentration; empty for a number from 0, for '<' with a limit, and for a
/// missing value. `number` is what readNumber says of `cell`.
std::string faultOfConcentration(const NumberCell& number, std::string_view cell);

/// What to do about it.
std::string remedyForConcentration(const NumberCell& number);

/// The text of a concentration cell that cannot be used, as CellFlaw::text keeps it: without the protecting
/// apostrophe, control characters shown as '?', at most 400 bytes.
std::string flawTextOf(std::string_view cell);

/// The same of a text whose protecting apostrophe is off already.
std::string flawTextFrom(std::string_view text);

/// A free text: protecting apostrophe off, control characters shown as '?', at most longestText bytes.
struct FreeText {
    std::string text;
    bool shortened = false;
};
FreeText freeTextIn(std::string_view cell);

}  // namespace aftercurve
