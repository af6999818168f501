#pragma once

#include <QString>
#include <cstddef>

#include "ui/figures/plot_frame.h"

namespace aftercurve {

/// Small multiples that share both axes: equal panels, tick labels on the outer ones only, one title a side.
struct PanelGrid {
    QCPLayoutGrid* panels = nullptr;
    std::size_t count = 0;
    int columns = 1;
    bool ticks = true;  ///< false where panels are too small for tick labels
    QCPRange time;
    QCPRange value;
    double panelWidthPt = 0.0;
    double panelHeightPt = 0.0;
    double valueFactor = 1.0;
};

/// What a grid is made of. `topRow` is the first row of the plot's layout that it may use (it uses two).
struct PanelGridPlan {
    int topRow = 0;
    std::size_t count = 1;
    int columns = 1;
    double heightPt = 0.0;  ///< what the panels may have together, about
    QCPRange time;
    QCPRange value;
    QString xTitle;
    QString yTitle;
    double valueFactor = 1.0;  ///< shows the values in another unit (plot_frame.h, showScaled)
};

PanelGrid addPanelGrid(QCustomPlot& plot, const FigureLook& look, const PanelGridPlan& plan);

/// The panel at `place` (row by row), with `headPixels` of room above it.
QCPAxisRect* addPanel(PanelGrid& grid, std::size_t place, double headPixels, const FigureLook& look);

}  // namespace aftercurve
