#pragma once

#include "ui/figures/figure.h"

namespace aftercurve {

/// One panel a subject: every curve.
FigureKind curvesSubjectsFigure();

}  // namespace aftercurve
