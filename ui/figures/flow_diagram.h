#pragma once

#include "ui/figures/figure.h"

namespace aftercurve {

/// The flow of subjects from those on record through sequences, periods and foods to those analysed, after
/// the statement of the CONSORT group on randomised crossover trials (Dwan et al. 2019).
FigureKind flowDiagramFigure();

}  // namespace aftercurve
