#pragma once

#include <QImage>

#include "core/figure/figure_spec.h"
#include "core/findings/findings.h"
#include "core/study/study.h"

namespace aftercurve {

/// A figure of one or more panels as an image of `dpi` pixels an inch, laid out as its files are. The spec
/// must be valid (core/figure/figure_check.h). A null image where the memory at hand does not hold it.
QImage figureImage(const FigureSpec& figure, const Study& study, const Findings& findings, double dpi);

}  // namespace aftercurve
