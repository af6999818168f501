#pragma once

#include <QString>
#include <functional>
#include <vector>

#include "core/curve/counted_area.h"
#include "ui/figures/figure_look.h"
#include "ui/figures/plot_elements.h"

namespace aftercurve {

// What the figures are put together from: frames, ranges, curves, shaded regions.

/// Empties the plot: plottables, items, layout; white ground and the margins of a figure.
void clearPlot(QCustomPlot& plot, const FigureLook& look);

/// Says why there is nothing to see.
void drawEmpty(QCustomPlot& plot, const FigureLook& look, const QString& text);

/// A panel with thin dark axes left and bottom, outward ticks, no grid.
QCPAxisRect* newPanel(QCustomPlot& plot, const FigureLook& look);
QCPAxis* xAxisOf(QCPAxisRect& panel);
QCPAxis* yAxisOf(QCPAxisRect& panel);

/// An axis of words: `label[i]` at i. No tick marks where `ticks` is false.
void setCategories(QCPAxis& axis, const std::vector<QString>& labels, bool ticks = false);
/// Words at given places.
struct PlacedLabel {
    double at = 0.0;
    QString text;
};
void setLabels(QCPAxis& axis, const std::vector<PlacedLabel>& labels);

/// Ticks for minutes: 10, 15, 30, 60 ... so that there are at most `most` of them.
void setMinuteTicks(QCPAxis& axis, int most);
/// About that many ticks at round numbers.
void setNumberTicks(QCPAxis& axis, int count);

/// Object names of a TextBlock that is the title of all horizontal or all vertical axes.
inline constexpr const char* xTitleName = "axis title:x";
inline constexpr const char* yTitleName = "axis title:y";

/// Shows the axis in another unit: labels are those of value · factor; the data stay as they are. After the
/// ticks are set.
inline constexpr const char* shownFactorProperty = "aftercurveShownFactor";
void showScaled(QCPAxis& axis, double factor);
double shownFactorOf(const QCPAxis& axis);

/// Smallest range that holds all that it was shown.
struct Span {
    double low = 0.0;
    double high = 0.0;
    bool empty = true;

    void take(double value);
    /// Widened by these shares of its length; a span of one value gets a length.
    QCPRange padded(double below, double above) const;
};

/// Range of the time axis of curves: 2.5 % of the axis beyond the first and the last time, and `beside` more,
/// so that no mark that reaches that far from its time touches an end. Both in pixels, `length` is the axis.
QCPRange timeRange(const Span& times, double beside, double length);

/// The text broken in two before the bracket of its unit where it is longer than `pixels`.
QString broken(const QString& text, const QFont& font, double pixels);
/// The text broken at its last comma, which goes, where it is longer than `pixels`: "mean 73, n = 16".
QString brokenAtComma(const QString& text, const QFont& font, double pixels);

QCPGraph* addCurve(QCPAxisRect& panel, const QString& name, const std::vector<double>& x,
                   const std::vector<double>& y, const QPen& pen, const QCPScatterStyle& mark);
/// Marks without a line.
QCPGraph* addMarks(QCPAxisRect& panel, const QString& name, const std::vector<double>& x,
                   const std::vector<double>& y, const QCPScatterStyle& mark);
/// Error bars of a graph; a missing one (NaN is QCustomPlot's word for it) is not drawn.
QCPErrorBars* addErrorBars(QCPGraph& graph, const QVector<double>& minus, const QVector<double>& plus,
                           const QPen& pen, double whisker, QCPErrorBars::ErrorType type);
/// A straight line from point to point, in the panel's coordinates.
QCPCurve* addLine(QCPAxisRect& panel, const QString& name, double x1, double y1, double x2, double y2,
                  const QPen& pen);
/// A filled rectangle behind everything.
void addBand(QCPAxisRect& panel, double x1, double y1, double x2, double y2, const QColor& colour);
/// Text inside a panel; `x`, `y` in shares of the panel, from its left top.
QCPItemText* addNote(QCPAxisRect& panel, const QString& text, const QFont& font, const QColor& colour,
                     double x, double y, Qt::Alignment alignment);

/// Text at a place of the data, free to stand over the edge of the panel; `alignment` says which of its sides
/// lies there.
QCPItemText* addTextAt(QCPAxisRect& panel, const QString& text, const QFont& font, const QColor& colour,
                       double x, double y, Qt::Alignment alignment);
/// Small words under the panels, in that row of the plot's layout.
void addCaption(QCustomPlot& plot, const FigureLook& look, int row, const QString& text);

/// One region that an area rule counts, `level` taken off its concentrations: filled, or hatched where it is
/// subtracted.
void addRegion(QCPAxisRect& panel, const CountedRegion& region, double level, const QColor& fill,
               const QPen& hatch);

/// Where dots of nearly equal height are put side by side: offsets in [−1, 1] for each value, the same ones
/// every time. `step` is the height of a dot in the values' unit.
std::vector<double> sideways(const std::vector<double>& value, double step);

}  // namespace aftercurve
