#pragma once

#include "ui/figures/figure.h"

namespace aftercurve {

/// Digestion in vitro over the response in people, a mark a food with its name and standard errors, and the
/// Deming line. A measure that names a quantity in vitro chooses the pair; otherwise the first one with a
/// correlation.
FigureKind bridgeFigure();

}  // namespace aftercurve
