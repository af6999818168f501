#pragma once

#include "ui/figures/figure.h"

namespace aftercurve {

/// Index of each food, subject by subject.
FigureKind indexFigure();

}  // namespace aftercurve
