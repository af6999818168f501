#pragma once

#include "ui/figures/figure.h"

namespace aftercurve {

/// Number of subjects against power, assurance or half-width, with the target and the answer. Drawn from the
/// curve in the choice (core/planning/power.h); it belongs to no study.
FigureKind planningPowerFigure();

}  // namespace aftercurve
