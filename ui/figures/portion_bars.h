#pragma once

#include "ui/figures/figure.h"

namespace aftercurve {

/// Available carbohydrate and fibre of each food's portion, with the band that still matches the comparator.
FigureKind portionsFigure();

}  // namespace aftercurve
