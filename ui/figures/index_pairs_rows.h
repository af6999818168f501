#pragma once

#include "ui/figures/figure.h"

namespace aftercurve {

/// Differences of indices within subjects.
FigureKind indexPairsFigure();

}  // namespace aftercurve
