#pragma once

#include "ui/figures/figure.h"

namespace aftercurve {

/// Residuals of the mixed model over the fitted values, and over normal quantiles.
FigureKind modelResidualsFigure();

}  // namespace aftercurve
