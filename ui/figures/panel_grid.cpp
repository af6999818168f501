#include "ui/figures/panel_grid.h"

#include <algorithm>
#include <cmath>

namespace aftercurve {

namespace {

constexpr double smallestWithTicksPt = 26.0;

/// Width of the widest tick label on the value axis.
double labelWidth(const QCPRange& range, const QFontMetricsF& metrics) {
    const int decimals = range.size() < 5.0 ? (range.size() < 0.5 ? 2 : 1) : 0;
    return std::max(metrics.horizontalAdvance(QString::number(range.upper, 'f', decimals)),
                    metrics.horizontalAdvance(QString::number(range.lower, 'f', decimals)));
}

}  // namespace

PanelGrid addPanelGrid(QCustomPlot& plot, const FigureLook& look, const PanelGridPlan& plan) {
    PanelGrid grid;
    grid.count = plan.count;
    grid.columns = std::max(1, plan.columns);
    grid.time = plan.time;
    grid.value = plan.value;
    grid.valueFactor = plan.valueFactor;
    const int rows = (static_cast<int>(plan.count) + grid.columns - 1) / grid.columns;
    grid.panelWidthPt = 0.9 * plot.width() / look.px / grid.columns;
    grid.panelHeightPt = plan.heightPt / std::max(1, rows);
    grid.ticks = std::min(grid.panelWidthPt, grid.panelHeightPt) > smallestWithTicksPt;

    QCPLayoutGrid* outer = plot.plotLayout();
    auto* body = new QCPLayoutGrid;
    outer->addElement(plan.topRow, 0, body);
    body->setRowSpacing(0);
    body->setColumnSpacing(0);
    grid.panels = new QCPLayoutGrid;
    grid.panels->setRowSpacing(static_cast<int>(std::lround(3.0 * look.px)));
    grid.panels->setColumnSpacing(0);
    auto* yTitle = new TextBlock(&plot, plan.yTitle, look.font, look.ink, TextBlock::Turn::upright);
    yTitle->setObjectName(QLatin1String(yTitleName));
    body->addElement(0, 0, yTitle);
    body->addElement(0, 1, grid.panels);
    body->setColumnStretchFactor(0, 0.001);

    // Tick labels of the outer panels reach into the room that the titles keep for them.
    const QFontMetricsF metrics(look.smallFont);
    const double side =
        grid.ticks ? labelWidth(grid.value * grid.valueFactor, metrics) + 7.0 * look.px : 3.0 * look.px;
    yTitle->setRoomAfter(static_cast<int>(std::lround(side)));
    auto* xTitle = new TextBlock(&plot, plan.xTitle, look.font, look.ink);
    xTitle->setObjectName(QLatin1String(xTitleName));
    const double under = grid.ticks ? metrics.height() + 5.0 * look.px : 2.0 * look.px;
    xTitle->setMargins(QMargins(0, static_cast<int>(std::lround(under)), 0, 0));
    outer->addElement(plan.topRow + 1, 0, xTitle);
    outer->setRowStretchFactor(plan.topRow + 1, 0.001);
    return grid;
}

QCPAxisRect* addPanel(PanelGrid& grid, std::size_t place, double headPixels, const FigureLook& look) {
    QCustomPlot& plot = *grid.panels->parentPlot();
    const int row = static_cast<int>(place) / grid.columns;
    const int column = static_cast<int>(place) % grid.columns;
    QCPAxisRect* panel = newPanel(plot, look);
    grid.panels->addElement(row, column, panel);
    const int gap = static_cast<int>(std::lround((grid.ticks ? 6.0 : 2.5) * look.px));
    panel->setAutoMargins(QCP::msNone);
    panel->setMargins(QMargins(0, static_cast<int>(std::ceil(headPixels)), gap, 0));
    QCPAxis* x = xAxisOf(*panel);
    QCPAxis* y = yAxisOf(*panel);
    x->setRange(grid.time);
    y->setRange(grid.value);
    setMinuteTicks(*x, std::clamp(static_cast<int>(grid.panelWidthPt / 24.0), 2, 9));
    setNumberTicks(*y, std::clamp(static_cast<int>(grid.panelHeightPt / 22.0), 2, 6));
    showScaled(*y, grid.valueFactor);
    const bool lowest = place + static_cast<std::size_t>(grid.columns) >= grid.count;
    x->setTickLabels(grid.ticks && lowest);
    y->setTickLabels(grid.ticks && column == 0);
    if (!grid.ticks) {
        x->setTicks(false);
        y->setTicks(false);
    }
    return panel;
}

}  // namespace aftercurve
