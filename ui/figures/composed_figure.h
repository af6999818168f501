#pragma once

#include <QRectF>
#include <cstddef>

#include "core/figure/figure_spec.h"
#include "core/findings/findings.h"
#include "core/study/study.h"

class QCPPainter;

namespace aftercurve {

/// Draws a figure of one or more panels, from the painter's (0, 0), with its letters: white ground,
/// `unitsPerPoint` units of the painter a point. The spec must be valid (core/figure/figure_check.h). A panel
/// whose kind or data are not there says so in its place.
void paintFigure(QCPPainter& painter, const FigureSpec& spec, const Study& study, const Findings& findings,
                 double unitsPerPoint);

/// Where a panel lies, its letter included: a cell of the grid, filled row by row. An empty rectangle where
/// there is no such panel.
QRectF panelRect(const FigureSpec& spec, std::size_t panel, double unitsPerPoint);

/// Where the axes of a panel enclose its data (the first of several): what the place of a key is a share of
/// (PanelFrame::key). The panel is laid out for it. An empty rectangle where it has no axes.
QRectF axesRect(const FigureSpec& spec, std::size_t panel, const Study& study, const Findings& findings,
                double unitsPerPoint);

}  // namespace aftercurve
