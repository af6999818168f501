#pragma once

#include "ui/figures/figure.h"

namespace aftercurve {

/// Estimates with their intervals against the margins of the plan: differences, and ratios.
FigureKind marginDifferencesFigure();
FigureKind marginRatiosFigure();

}  // namespace aftercurve
