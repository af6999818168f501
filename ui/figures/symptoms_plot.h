#pragma once

#include "ui/figures/figure.h"

namespace aftercurve {

/// Subjects by their worst day, a bar for each food under the name of the item: those without the symptom to
/// the left of the line, those with it to the right, darker for a higher score. Where the figure is low, the
/// type is smaller, down to 5 points; items that then still have no room are left out, and a note says so. A
/// measure that names an item shows that item alone.
FigureKind symptomsDivergingFigure();

/// Mean score over doses with its interval: a line for each food with two doses or more, a mark for one with
/// one dose, and the comparator as a dotted line. Of the composite, where there is none the first item, or
/// the item that the measure names.
FigureKind symptomsDoseFigure();

}  // namespace aftercurve
