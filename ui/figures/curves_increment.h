#pragma once

#include "ui/figures/figure.h"

namespace aftercurve {

/// What the area rule counts of a curve.
FigureKind curvesIncrementFigure();

}  // namespace aftercurve
