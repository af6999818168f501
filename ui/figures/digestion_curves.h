#pragma once

#include "ui/figures/figure.h"

namespace aftercurve {

/// Mean digested starch of each sample over time, ± SD, with the curve fitted to it.
FigureKind digestionCurvesFigure();

}  // namespace aftercurve
