#pragma once

#include "ui/figures/figure.h"

namespace aftercurve {

/// Mean differences of all comparisons with their intervals.
FigureKind comparisonEstimatesFigure();

}  // namespace aftercurve
