#pragma once

#include "ui/figures/figure.h"

namespace aftercurve {

/// Mean curve of each food with its SEM.
FigureKind curvesMeanFigure();

}  // namespace aftercurve
