#pragma once

#include "ui/figures/figure.h"

namespace aftercurve {

/// The visits of each subject on a line, by food, subjects in order of their means.
FigureKind withinSubjectFigure();

}  // namespace aftercurve
