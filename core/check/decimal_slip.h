#pragma once

#include <cstddef>

#include "core/check/check_input.h"

namespace aftercurve {

/// +1 where the value looks ten times too large, −1 where ten times too small, 0 else: between two
/// neighbours, it is more than 6 times the larger (less than 1/6 of the smaller), and with the decimal point
/// moved it lies within 1.6-fold of their range. Hormones rise fast, so that for analytes other than glucose
/// a value too large counts only where both neighbours are at most 30 min away. Neighbours of 0 say nothing.
/// Common practice, no source.
int decimalSlipAt(const CheckInput& input, const CheckCurve& curve, std::size_t sample);

}  // namespace aftercurve
