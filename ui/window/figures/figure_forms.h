#pragma once

#include "ui/window/figures/figure_fields.h"

namespace aftercurve {

/// The fields of a figure as a whole: title, caption, size, type, lines, language, letters, columns.
FigureFields* figureForm(FigureFields::Check check, QWidget* parent);

/// The fields of one panel: what it shows, its titles, axes, unit, spread and key.
FigureFields* panelForm(FigureFields::Check check, QWidget* parent);

}  // namespace aftercurve
