#pragma once

#include <string>

namespace aftercurve {

/// Shortest text that reads back as the same double, "." as decimal mark: 0.1, 120, 1e-05.
std::string plainNumber(double value);

/// Fixed decimals, "." as decimal mark, "-" for minus; never "-0.00".
std::string fixedNumber(double value, int decimals);

/// Confidence of an interval in percent for a level alpha: "95" for 0.05, "94.2" for 0.058; ten significant
/// digits, so that the rounding of 1 − alpha does not show.
std::string confidencePercent(double alpha);

}  // namespace aftercurve
