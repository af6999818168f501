#pragma once

#include "ui/figures/figure.h"

namespace aftercurve {

/// The same index by other ways of estimating it.
FigureKind indexWaysFigure();

}  // namespace aftercurve
