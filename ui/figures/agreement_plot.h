#pragma once

#include "ui/figures/figure.h"

namespace aftercurve {

/// Difference against mean of one comparison, with the mean difference, the limits of agreement and their
/// intervals (Bland & Altman 1986).
FigureKind agreementFigure();

}  // namespace aftercurve
