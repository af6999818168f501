#pragma once

#include "ui/figures/figure.h"

namespace aftercurve {

/// Predicted and observed index of mixed meals.
FigureKind mealsFigure();

}  // namespace aftercurve
