#pragma once

#include "ui/figures/figure.h"

namespace aftercurve {

/// Fibre of each material by method with the SD of its determinations; beside it the fibre of each recipe, as
/// it is made and with its part replaced.
FigureKind fibreBarsFigure();

}  // namespace aftercurve
