#pragma once

#include "ui/figures/figure.h"

namespace aftercurve {

/// The paired comparison with all subjects, and without each in turn.
FigureKind influenceFigure();

}  // namespace aftercurve
