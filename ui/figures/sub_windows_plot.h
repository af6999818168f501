#pragma once

#include "ui/figures/figure.h"

namespace aftercurve {

/// Mean increment of each part of the window, food beside food, with its interval.
FigureKind subWindowsFigure();

}  // namespace aftercurve
