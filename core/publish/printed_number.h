#pragma once

#include <string>
#include <vector>

#include "core/findings/table.h"

namespace aftercurve {

/// With how many decimals one number of a table is printed.
struct PrintedDecimals {
    int decimals = 0;
    bool byInterval = false;  ///< an interval of the row says how precise the number is

    bool operator==(const PrintedDecimals&) const = default;
};

/// The decimals that show at least two significant digits of `width`, and at least `decimals`; more than 12
/// are not used. `decimals` for a width that is 0 or not finite.
int decimalsForWidth(double width, int decimals);

/// Decimals by row and column. A number has those of its column; in a row with an interval (two number
/// columns whose keys are alike up to _low and _high and whose titles end in "from" and "to") its bounds and
/// its estimate have at least those that show two significant digits of its width. The estimate: the column
/// with the key of the interval without "_ci"; else the number columns that its bounds name as inputs; else
/// those to its left up to the first of another kind; of these, the ones with the decimals of the bounds.
std::vector<std::vector<PrintedDecimals>> printedDecimals(const Table& table);

/// True where fixed decimals would fill the line or show none of a number's digits: from 1e9 on, and below
/// 1e-4 where no interval of the row says how precise it is.
bool printedAsPower(double value, PrintedDecimals decimals);

/// A number as journals print it, with a real minus sign (U+2212): fixed decimals, never "−0.00"; without
/// interval a number that its decimals would show as 0 has those that show two of its digits; powers as
/// "1.2 × 10⁻⁷". "not finite" for what is no number.
std::string printedNumber(double value, PrintedDecimals decimals);

/// Three decimals; "< 0.001" below 0.001 and "> 0.999" above 0.999, so that none reads as 0 or 1. "not
/// finite" for what is no number.
std::string printedP(double p);

/// The decimals of a number without interval: those of its column, or those that show two of its digits.
int decimalsShowing(double value, PrintedDecimals decimals);

}  // namespace aftercurve
