#pragma once

#include <string>

namespace aftercurve {

/// Shortest text that reads back as the same double, "." as decimal mark: 0.1, 120, 1e-05.
std::string plainNumber(double value);

/// Fixed decimals, "." as decimal mark, "-" for minus; never "-0.00".
std::string fixedNumber(double value, int decimals);

}  // namespace aftercurve
