#pragma once

#include "ui/figures/figure.h"

namespace aftercurve {

/// Differences from the comparator at each time with their intervals; full marks where the adjusted p is
/// below the level.
FigureKind timeCourseFigure();

}  // namespace aftercurve
