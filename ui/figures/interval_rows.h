#pragma once

#include <QString>
#include <optional>
#include <vector>

#include "ui/figures/plot_frame.h"

namespace aftercurve {

/// One estimate with its interval, on a row of its own.
struct IntervalRow {
    QString name;   ///< at the left
    QString under;  ///< a small second line of the name; may be empty
    double estimate = 0.0;
    std::optional<double> low;  ///< no bar where one of the two is absent
    std::optional<double> high;
    QString result;  ///< at the right, under the numbers: a p, a verdict; may be empty
    QColor colour;
    QCPScatterStyle mark;
    QString id;  ///< of the plottables: "estimate:id", "interval:id"
};

/// Estimates one above the other on one axis, names at the left and numbers at the right.
struct IntervalRows {
    std::vector<IntervalRow> rows;  ///< first one on top
    QString title;                  ///< of the axis
    double reference = 0.0;         ///< the dashed line: no difference
    std::vector<double> margins;    ///< further lines, dotted
    bool numbers = true;            ///< estimate and interval as text at the right
    double factor = 1.0;            ///< shows the numbers in another unit
};

/// Clears the plot and draws the rows. The axis shows the reference and every margin.
void drawIntervalRows(QCustomPlot& plot, const FigureLook& look, const IntervalRows& figure);

}  // namespace aftercurve
