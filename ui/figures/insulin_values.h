#pragma once

#include "ui/figures/figure.h"

namespace aftercurve {

/// One measure of insulin action or secretion (FigureChoice::measure, or the first that has values): each
/// subject's value by food, joined by subject, and the mean with its interval. It stands with the figures of
/// insulin (of C-peptide where the study has no insulin), or with any analyte where the choice names the
/// measure.
FigureKind insulinFigure();

}  // namespace aftercurve
