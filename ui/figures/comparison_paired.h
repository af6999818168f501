#pragma once

#include "ui/figures/figure.h"

namespace aftercurve {

/// Pairs of one comparison and their differences.
FigureKind comparisonPairedFigure();

}  // namespace aftercurve
