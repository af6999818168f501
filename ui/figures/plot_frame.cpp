#include "ui/figures/plot_frame.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

namespace aftercurve {

namespace {

QVector<double> asVector(const std::vector<double>& values) {
    return {values.begin(), values.end()};
}

constexpr double gap = std::numeric_limits<double>::quiet_NaN();  // QCustomPlot breaks a line there

}  // namespace

void clearPlot(QCustomPlot& plot, const FigureLook& look) {
    plot.clearItems();
    plot.clearPlottables();
    plot.plotLayout()->clear();
    const auto groups = plot.findChildren<QCPMarginGroup*>(QString(), Qt::FindDirectChildrenOnly);
    qDeleteAll(groups);
    plot.setAutoAddPlottableToLegend(false);
    plot.setLocale(QLocale::c());
    plot.setBackground(QBrush(Qt::white));
    const int margin = static_cast<int>(std::lround(4.0 * look.px));
    plot.plotLayout()->setMargins(QMargins(margin, margin, margin, margin));
    plot.plotLayout()->setRowSpacing(0);
    plot.plotLayout()->setColumnSpacing(0);
}

void drawEmpty(QCustomPlot& plot, const FigureLook& look, const QString& text) {
    clearPlot(plot, look);
    plot.plotLayout()->addElement(0, 0, new TextBlock(&plot, text, look.font, look.mid));
}

QCPAxis* xAxisOf(QCPAxisRect& panel) {
    return panel.axis(QCPAxis::atBottom);
}

QCPAxis* yAxisOf(QCPAxisRect& panel) {
    return panel.axis(QCPAxis::atLeft);
}

QCPAxisRect* newPanel(QCustomPlot& plot, const FigureLook& look) {
    auto* panel = new QCPAxisRect(&plot, false);
    const int room = static_cast<int>(std::lround(4.0 * look.px));
    panel->setMinimumMargins(QMargins(room, room, room, room));
    panel->setMinimumSize(QSize(1, 1));
    for (const QCPAxis::AxisType type : {QCPAxis::atLeft, QCPAxis::atBottom}) {
        QCPAxis* axis = panel->addAxis(type);
        axis->grid()->setVisible(false);
        axis->setBasePen(solidPen(look.ink, look.thin));
        axis->setTickPen(solidPen(look.ink, look.thin));
        axis->setTickLength(0, static_cast<int>(std::lround(2.5 * look.px)));
        axis->setSubTicks(false);
        axis->setTickLabelFont(look.smallFont);
        axis->setTickLabelColor(look.ink);
        axis->setLabelFont(look.font);
        axis->setLabelColor(look.ink);
        axis->setTickLabelPadding(static_cast<int>(std::lround(2.0 * look.px)));
        axis->setLabelPadding(static_cast<int>(std::lround(3.0 * look.px)));
        axis->setPadding(0);
        axis->setNumberFormat(QStringLiteral("g"));
        axis->setLayer(QStringLiteral("axes"));
    }
    return panel;
}

void setCategories(QCPAxis& axis, const std::vector<QString>& labels, bool ticks) {
    std::vector<PlacedLabel> placed;
    for (std::size_t i = 0; i < labels.size(); ++i) {
        placed.push_back({static_cast<double>(i), labels[i]});
    }
    setLabels(axis, placed);
    if (!ticks) {
        axis.setTickLength(0, 0);
        axis.setTickPen(Qt::NoPen);
    }
}

void setLabels(QCPAxis& axis, const std::vector<PlacedLabel>& labels) {
    const QSharedPointer<QCPAxisTickerText> ticker(new QCPAxisTickerText);
    for (const PlacedLabel& label : labels) {
        ticker->addTick(label.at, label.text);
    }
    axis.setTicker(ticker);
}

void setMinuteTicks(QCPAxis& axis, int most) {
    axis.setTicker(QSharedPointer<MinuteTicker>::create(most));
}

void setNumberTicks(QCPAxis& axis, int count) {
    const QSharedPointer<FigureTicker> ticker(new FigureTicker);
    ticker->setTickCount(std::max(2, count));
    axis.setTicker(ticker);
}

void showScaled(QCPAxis& axis, double factor) {
    axis.setProperty(shownFactorProperty, factor);
    if (const auto ticker = axis.ticker().dynamicCast<FigureTicker>()) {
        ticker->setFactor(factor);
    }
}

double shownFactorOf(const QCPAxis& axis) {
    const QVariant factor = axis.property(shownFactorProperty);
    return factor.isValid() ? factor.toDouble() : 1.0;
}

void Span::take(double value) {
    if (!std::isfinite(value)) {
        return;
    }
    low = empty ? value : std::min(low, value);
    high = empty ? value : std::max(high, value);
    empty = false;
}

QCPRange Span::padded(double below, double above) const {
    if (empty) {
        return {0.0, 1.0};
    }
    const double size = std::max(std::abs(low), std::abs(high));
    const double length = high - low > 1e-9 * size ? high - low : std::max(1.0, 0.2 * size);
    return {low - below * length, high + above * length};
}

QCPRange timeRange(const Span& times, double beside, double length) {
    const double share = std::min(0.025 + beside / std::max(1.0, length), 0.2);
    const double ofData = share / (1.0 - 2.0 * share);
    return times.padded(ofData, ofData);
}

QString broken(const QString& text, const QFont& font, double pixels) {
    const auto bracket = text.lastIndexOf(QStringLiteral(" ("));
    if (bracket <= 0 || QFontMetricsF(font).horizontalAdvance(text) <= pixels) {
        return text;
    }
    return wrapped(text.left(bracket), font, pixels) + u'\n' + text.mid(bracket + 1);
}

QString brokenAtComma(const QString& text, const QFont& font, double pixels) {
    const auto comma = text.lastIndexOf(QStringLiteral(", "));
    if (comma <= 0 || QFontMetricsF(font).horizontalAdvance(text) <= pixels) {
        return text;
    }
    return text.left(comma) + u'\n' + text.mid(comma + 2);
}

QCPGraph* addCurve(QCPAxisRect& panel, const QString& name, const std::vector<double>& x,
                   const std::vector<double>& y, const QPen& pen, const QCPScatterStyle& mark) {
    auto* graph = new QCPGraph(xAxisOf(panel), yAxisOf(panel));
    graph->setName(name);
    graph->setAdaptiveSampling(false);
    graph->setAntialiased(true);
    graph->setAntialiasedScatters(true);
    graph->setPen(pen);
    graph->setLineStyle(pen.style() == Qt::NoPen ? QCPGraph::lsNone : QCPGraph::lsLine);
    graph->setScatterStyle(mark);
    graph->setData(asVector(x), asVector(y), false);
    return graph;
}

QCPGraph* addMarks(QCPAxisRect& panel, const QString& name, const std::vector<double>& x,
                   const std::vector<double>& y, const QCPScatterStyle& mark) {
    return addCurve(panel, name, x, y, Qt::NoPen, mark);
}

QCPErrorBars* addErrorBars(QCPGraph& graph, const QVector<double>& minus, const QVector<double>& plus,
                           const QPen& pen, double whisker, QCPErrorBars::ErrorType type) {
    auto* bars = new QCPErrorBars(graph.keyAxis(), graph.valueAxis());
    bars->setName(graph.name());
    bars->setErrorType(type);
    bars->setDataPlottable(&graph);
    bars->setData(minus, plus);
    bars->setPen(pen);
    bars->setWhiskerWidth(whisker);
    bars->setSymbolGap(0.0);
    bars->setAntialiased(true);
    return bars;
}

QCPCurve* addLine(QCPAxisRect& panel, const QString& name, double x1, double y1, double x2, double y2,
                  const QPen& pen) {
    auto* line = new QCPCurve(xAxisOf(panel), yAxisOf(panel));
    line->setName(name);
    line->setPen(pen);
    line->setData({0.0, 1.0}, {x1, x2}, {y1, y2}, true);
    return line;
}

void addBand(QCPAxisRect& panel, double x1, double y1, double x2, double y2, const QColor& colour) {
    auto* band = new QCPItemRect(xAxisOf(panel)->parentPlot());
    band->setClipAxisRect(&panel);
    for (QCPItemPosition* corner : {band->topLeft, band->bottomRight}) {
        corner->setAxisRect(&panel);
        corner->setAxes(xAxisOf(panel), yAxisOf(panel));
        corner->setType(QCPItemPosition::ptPlotCoords);
    }
    band->topLeft->setCoords(x1, y2);
    band->bottomRight->setCoords(x2, y1);
    band->setPen(Qt::NoPen);
    band->setBrush(colour);
    band->setLayer(QStringLiteral("background"));
}

QCPItemText* addNote(QCPAxisRect& panel, const QString& text, const QFont& font, const QColor& colour,
                     double x, double y, Qt::Alignment alignment) {
    auto* note = new QCPItemText(xAxisOf(panel)->parentPlot());
    note->setClipToAxisRect(false);
    note->position->setAxisRect(&panel);
    note->position->setType(QCPItemPosition::ptAxisRectRatio);
    note->position->setCoords(x, y);
    note->setPositionAlignment(alignment);
    note->setTextAlignment(alignment & Qt::AlignHorizontal_Mask);
    note->setText(text);
    note->setFont(font);
    note->setColor(colour);
    note->setPadding(QMargins());
    return note;
}

QCPItemText* addTextAt(QCPAxisRect& panel, const QString& text, const QFont& font, const QColor& colour,
                       double x, double y, Qt::Alignment alignment) {
    auto* item = new QCPItemText(panel.parentPlot());
    item->setClipAxisRect(&panel);
    item->setClipToAxisRect(false);
    item->position->setAxisRect(&panel);
    item->position->setAxes(xAxisOf(panel), yAxisOf(panel));
    item->position->setType(QCPItemPosition::ptPlotCoords);
    item->position->setCoords(x, y);
    item->setPositionAlignment(alignment);
    item->setText(text);
    item->setFont(font);
    item->setColor(colour);
    return item;
}

void addCaption(QCustomPlot& plot, const FigureLook& look, int row, const QString& text) {
    auto* caption =
        new TextBlock(&plot, text, look.smallFont, look.mid, TextBlock::Turn::level, Qt::AlignLeft);
    caption->setMargins(QMargins(0, static_cast<int>(4.0 * look.px), 0, 0));
    plot.plotLayout()->addElement(row, 0, caption);
    plot.plotLayout()->setRowStretchFactor(row, 0.001);
}

void addRegion(QCPAxisRect& panel, const CountedRegion& region, double level, const QColor& fill,
               const QPen& hatch) {
    const std::size_t n = region.timeMin.size();
    if (n < 2 || region.lower.size() != n || region.upper.size() != n) {
        return;
    }
    QVector<double> t, x, y;
    const auto add = [&](double time, double value) {
        t.push_back(static_cast<double>(t.size()));
        x.push_back(time);
        y.push_back(value);
    };
    for (std::size_t i = 0; i < n; ++i) {
        add(region.timeMin[i], region.upper[i] - level);
    }
    for (std::size_t i = n; i-- > 0;) {
        add(region.timeMin[i], region.lower[i] - level);
    }
    auto* area = new QCPCurve(xAxisOf(panel), yAxisOf(panel));
    area->setName(region.sign > 0 ? QStringLiteral("counted") : QStringLiteral("subtracted"));
    area->setPen(Qt::NoPen);
    area->setBrush(region.sign > 0 ? QBrush(fill) : QBrush(Qt::white));
    area->setData(t, x, y, true);
    if (region.sign > 0) {
        return;
    }

    // Not a brush pattern: files of vector graphics would lose it.
    QVector<double> ht, hx, hy;
    const double step = xAxisOf(panel)->range().size() / 110.0;
    std::size_t i = 0;
    for (double k = std::ceil(region.timeMin.front() / step); k * step < region.timeMin.back(); k += 1.0) {
        const double time = k * step;
        while (i + 2 < n && region.timeMin[i + 1] < time) {
            ++i;
        }
        const double width = region.timeMin[i + 1] - region.timeMin[i];
        const double share = width > 0.0 ? (time - region.timeMin[i]) / width : 0.0;
        const double ends[] = {region.lower[i] + share * (region.lower[i + 1] - region.lower[i]) - level,
                               region.upper[i] + share * (region.upper[i + 1] - region.upper[i]) - level,
                               gap};
        for (const double end : ends) {
            ht.push_back(static_cast<double>(ht.size()));
            hx.push_back(time);
            hy.push_back(end);
        }
    }
    auto* lines = new QCPCurve(xAxisOf(panel), yAxisOf(panel));
    lines->setName(QStringLiteral("hatch"));
    lines->setPen(hatch);
    lines->setData(ht, hx, hy, true);
}

std::vector<double> sideways(const std::vector<double>& value, double step) {
    std::vector<double> offset(value.size(), 0.0);
    std::vector<std::size_t> order(value.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return value[a] < value[b]; });
    // Runs of dots that would touch are spread around the middle, alternately right and left.
    std::size_t begin = 0;
    for (std::size_t i = 1; i <= order.size(); ++i) {
        if (i < order.size() && value[order[i]] - value[order[begin]] < step) {
            continue;
        }
        const std::size_t count = i - begin;
        const double each = count > 1 ? std::min(0.25, 2.0 / static_cast<double>(count - 1)) : 0.0;
        for (std::size_t k = 0; k < count; ++k) {
            offset[order[begin + k]] = each * (static_cast<double>(k) - 0.5 * static_cast<double>(count - 1));
        }
        begin = i;
    }
    return offset;
}

}  // namespace aftercurve
