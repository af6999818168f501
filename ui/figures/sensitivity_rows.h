#pragma once

#include "ui/figures/figure.h"

namespace aftercurve {

/// The main comparison of one food as planned, and with one choice at a time done otherwise, in units of the
/// SD of the differences.
FigureKind sensitivityFigure();

}  // namespace aftercurve
