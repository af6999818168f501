#pragma once

#include "ui/figures/figure.h"

namespace aftercurve {

/// The differences of one comparison over normal quantiles, with the line through the quartiles.
FigureKind normalQuantilesFigure();

}  // namespace aftercurve
