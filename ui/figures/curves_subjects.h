#pragma once

#include "ui/figures/figure.h"

namespace aftercurve {

/// Panels of one page: as many as can be read on a page of a journal. Common practice, no source.
inline constexpr std::size_t mostSubjectPanels = 60;

/// Pages that the curves of these subjects take; FigureChoice::page says which one is drawn.
int pagesOfSubjects(const Study& study, const Findings& findings, const FigureChoice& choice);

/// One panel a subject: every curve.
FigureKind curvesSubjectsFigure();

}  // namespace aftercurve
