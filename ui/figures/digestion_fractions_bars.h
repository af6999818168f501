#pragma once

#include "ui/figures/figure.h"

namespace aftercurve {

/// Rapidly digestible, slowly digestible and resistant starch of each sample on top of each other.
FigureKind digestionFractionsFigure();

}  // namespace aftercurve
