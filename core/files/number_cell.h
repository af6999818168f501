#pragma once

#include <string>
#include <string_view>

namespace aftercurve {

/// Largest size of a number that is taken from a file; no concentration or time comes near it, and areas of
/// such values stay finite.
inline constexpr double largestNumber = 1e9;

enum class NumberKind {
    missing,  ///< empty, NA, na or N/A
    value,
    text,          ///< not a number
    decimalComma,  ///< a number written with a decimal comma
    belowLimit,    ///< '<2.0': below the limit of quantification, which is the value
    beyondLimit,   ///< '>30', or '<' before what is no positive number
    notFinite,     ///< inf, nan
    tooLarge,      ///< past largestNumber
};

struct NumberCell {
    NumberKind kind = NumberKind::missing;
    double value = 0.0;  ///< for the kinds `value` (never −0) and `belowLimit`
};

/// Reads a cell as a decimal number with a point, blanks around it allowed; the whole cell must be one
/// number.
NumberCell readNumber(std::string_view cell);

/// "'5,4' is written with a decimal comma"; for the kinds other than missing and value.
std::string faultOf(NumberKind kind, std::string_view cell);

/// What to do about it.
std::string remedyFor(NumberKind kind);

}  // namespace aftercurve
