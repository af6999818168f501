#pragma once

#include "ui/figures/figure.h"

namespace aftercurve {

/// Subjects by their worst day, a bar for each item and food: those without the symptom to the left of the
/// line, those with it to the right, darker for a higher score. A measure that names an item shows that item
/// alone.
FigureKind symptomsDivergingFigure();

/// Mean score over doses with its interval, a line for each food with two doses or more, and the comparator
/// as a dotted line: the composite, where there is none the first item, or the item that the measure names.
FigureKind symptomsDoseFigure();

}  // namespace aftercurve
