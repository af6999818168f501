#include "ui/figures/figure_frame.h"

#include <optional>

#include "ui/figures/figure_scope.h"
#include "ui/figures/figure_text.h"
#include "ui/figures/plot_frame.h"

namespace aftercurve {

namespace {

bool isWords(const QCPAxis& axis) {
    return !axis.ticker().dynamicCast<QCPAxisTickerText>().isNull();
}

/// The range that a choice gives an axis, in the data's unit; the present one where it asks for nothing.
QCPRange chosenRange(const QCPAxis& axis, const AxisChoice& choice) {
    const double factor = shownFactorOf(axis);
    QCPRange range = axis.range();
    const double length = range.size();
    if (choice.low) {
        range.lower = *choice.low / factor;
    }
    if (choice.high) {
        range.upper = *choice.high / factor;
    }
    // One end alone may lie beyond the other one, which suits the data.
    if (!(range.lower < range.upper)) {
        if (choice.high) {
            range.lower = range.upper - length;
        } else {
            range.upper = range.lower + length;
        }
    }
    return range;
}

double movedEnd(double value, const QCPRange& from, const QCPRange& to) {
    return value == from.lower ? to.lower : value == from.upper ? to.upper : value;
}

/// Straight lines that ran from edge to edge along this axis.
void stretchLines(QCustomPlot& plot, const QCPAxis* axis, const QCPRange& from, const QCPRange& to) {
    for (int i = 0; i < plot.plottableCount(); ++i) {
        auto* line = qobject_cast<QCPCurve*>(plot.plottable(i));
        if (line == nullptr || line->data()->size() != 2) {
            continue;
        }
        auto first = line->data()->begin();
        auto second = first + 1;
        if (line->keyAxis() == axis && first->key != second->key) {
            first->key = movedEnd(first->key, from, to);
            second->key = movedEnd(second->key, from, to);
        }
        if (line->valueAxis() == axis && first->value != second->value) {
            first->value = movedEnd(first->value, from, to);
            second->value = movedEnd(second->value, from, to);
        }
    }
}

void stretchBands(QCustomPlot& plot, const QCPAxis* axis, const QCPRange& from, const QCPRange& to) {
    for (int i = 0; i < plot.itemCount(); ++i) {
        auto* band = qobject_cast<QCPItemRect*>(plot.item(i));
        if (band == nullptr) {
            continue;
        }
        for (QCPItemPosition* corner : {band->topLeft, band->bottomRight}) {
            if (corner->keyAxis() == axis) {
                corner->setCoords(movedEnd(corner->key(), from, to), corner->value());
            }
            if (corner->valueAxis() == axis) {
                corner->setCoords(corner->key(), movedEnd(corner->value(), from, to));
            }
        }
    }
}

void setAxisTitle(QCustomPlot& plot, QCPAxis& axis, const char* blockName, const FigureLook& look,
                  const std::string& title) {
    const QString text = plainLabel(title);
    bool found = false;
    for (QCPLayoutElement* element :
         plot.findChildren<QCPLayoutElement*>(QLatin1String(blockName), Qt::FindChildrenRecursively)) {
        if (auto* block = dynamic_cast<TextBlock*>(element)) {
            block->setText(text);
            found = true;
        }
    }
    if (!found) {
        axis.setLabel(wrapped(text, look.font,
                              0.8 * (axis.orientation() == Qt::Vertical ? plot.height() : plot.width())));
    }
}

/// Every axis of the panels that shows the same range in the same direction as `lead`.
void setAxis(QCustomPlot& plot, QCPAxis& lead, const char* titleName, const FigureLook& look,
             const AxisChoice& choice) {
    if (!choice.title.empty()) {
        setAxisTitle(plot, lead, titleName, look, choice.title);
    }
    if ((!choice.low && !choice.high) || isWords(lead)) {
        return;
    }
    const QCPRange from = lead.range();
    const QCPRange to = chosenRange(lead, choice);
    for (QCPAxisRect* panel : plot.axisRects()) {
        for (QCPAxis* axis : panel->axes()) {
            if (axis->orientation() == lead.orientation() && axis->range() == from) {
                axis->setRange(to);
                stretchLines(plot, axis, from, to);
                stretchBands(plot, axis, from, to);
            }
        }
    }
}

FigureKey* keyOf(QCustomPlot& plot) {
    for (QCPLayoutElement* element : plot.findChildren<QCPLayoutElement*>()) {
        if (auto* key = dynamic_cast<FigureKey*>(element)) {
            return key;
        }
    }
    return nullptr;
}

void placeKey(QCustomPlot& plot, QCPAxisRect& panel, const PanelFrame& frame) {
    FigureKey* key = keyOf(plot);
    if (key == nullptr || key->layout() == nullptr) {
        return;
    }
    if (!frame.showKey) {
        key->layout()->remove(key);
        return;
    }
    if (!frame.key) {
        return;
    }
    key->layout()->take(key);
    key->setProperty(stackedKeyProperty, true);
    key->setMargins(QMargins());
    panel.insetLayout()->addElement(key, QRectF(frame.key->x, frame.key->y, 0.0, 0.0));
    key->setLayer(QStringLiteral("legend"));
}

void addPanelTitle(QCustomPlot& plot, const FigureLook& look, const std::string& title) {
    auto* block = new TextBlock(&plot, plainLabel(title), look.font, look.ink);
    block->setObjectName(QStringLiteral("panel title"));
    block->setMargins(QMargins(0, 0, 0, static_cast<int>(2.0 * look.px)));
    plot.plotLayout()->insertRow(0);
    plot.plotLayout()->addElement(0, 0, block);
    plot.plotLayout()->setRowStretchFactor(0, 0.001);
}

}  // namespace

void drawFramed(QCustomPlot& plot, DrawFigure draw, const Study& study, const Findings& findings,
                const FigureChoice& choice, const FigureStyle& style) {
    const FigureScope scope(style);
    draw(plot, study, findings, choice, style);
    const FigureLook look = lookFor(plot, style);
    const PanelFrame& frame = style.frame;
    const QList<QCPAxisRect*> panels = plot.axisRects();
    if (!panels.isEmpty()) {
        QCPAxisRect& first = *panels.first();
        setAxis(plot, *xAxisOf(first), xTitleName, look, frame.x);
        setAxis(plot, *yAxisOf(first), yTitleName, look, frame.y);
        placeKey(plot, first, frame);
    }
    if (!frame.title.empty()) {
        addPanelTitle(plot, look, frame.title);
    }
}

}  // namespace aftercurve
