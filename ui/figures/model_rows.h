#pragma once

#include "ui/figures/figure.h"

namespace aftercurve {

/// Differences of the mixed model with their intervals: those of the family, with the intervals of the family
/// where there are some.
FigureKind modelDifferencesFigure();

}  // namespace aftercurve
