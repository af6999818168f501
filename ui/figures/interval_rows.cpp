#include "ui/figures/interval_rows.h"

#include <algorithm>

#include "ui/figures/figure_text.h"

namespace aftercurve {

namespace {

QCPAxis* addRightColumn(QCPAxisRect& panel, const FigureLook& look) {
    QCPAxis* axis = panel.addAxis(QCPAxis::atRight);
    axis->grid()->setVisible(false);
    axis->setBasePen(Qt::NoPen);
    axis->setTickPen(Qt::NoPen);
    axis->setTickLength(0, 0);
    axis->setSubTicks(false);
    axis->setTickLabelFont(look.smallFont);
    axis->setTickLabelColor(look.ink);
    axis->setNumberFormat(QStringLiteral("g"));
    axis->setTickLabelPadding(static_cast<int>(4.0 * look.px));
    return axis;
}

Span spanOf(const IntervalRows& figure) {
    Span span;
    span.take(figure.reference);
    for (const double margin : figure.margins) {
        span.take(margin);
    }
    for (const IntervalRow& row : figure.rows) {
        for (const double value :
             {row.estimate, row.low.value_or(row.estimate), row.high.value_or(row.estimate)}) {
            span.take(value);
        }
    }
    return span;
}

QString resultText(const IntervalRows& figure, const IntervalRow& row, int decimals, const FigureLook& look,
                   double width) {
    QString text;
    if (figure.numbers) {
        text = numberText(row.estimate * figure.factor, decimals);
        if (row.low && row.high) {
            text += FigureText::tr(" (%1 to %2)")
                        .arg(numberText(*row.low * figure.factor, decimals),
                             numberText(*row.high * figure.factor, decimals));
        }
    }
    if (!row.result.isEmpty()) {
        text += (text.isEmpty() ? QString() : QStringLiteral("\n")) +
                wrapped(row.result, look.smallFont, 0.3 * width);
    }
    return text;
}

}  // namespace

void drawIntervalRows(QCustomPlot& plot, const FigureLook& look, const IntervalRows& figure) {
    clearPlot(plot, look);
    QCPAxisRect* panel = newPanel(plot, look);
    plot.plotLayout()->addElement(0, 0, panel);
    QCPAxis* x = xAxisOf(*panel);
    QCPAxis* y = yAxisOf(*panel);
    QCPAxis* texts = addRightColumn(*panel, look);

    const double width = std::max(1, plot.width());
    std::vector<double> estimates;
    for (const IntervalRow& row : figure.rows) {
        estimates.push_back(row.estimate * figure.factor);
    }
    const int decimals = decimalsFor(estimates);
    std::vector<QString> names;
    std::vector<QString> results;
    for (const IntervalRow& row : figure.rows) {
        names.push_back(wrapped(row.name, look.smallFont, 0.24 * width) +
                        (row.under.isEmpty() ? QString() : u'\n' + row.under));
        results.push_back(resultText(figure, row, decimals, look, width));
    }
    setCategories(*y, names);
    setCategories(*texts, results);
    const QCPRange range(-0.6, static_cast<double>(figure.rows.size()) - 0.4);
    for (QCPAxis* axis : {y, texts}) {
        axis->setRange(range);
        axis->setRangeReversed(true);
    }
    y->setBasePen(Qt::NoPen);
    x->setRange(spanOf(figure).padded(0.06, 0.06));
    setNumberTicks(*x, width > 300.0 * look.px ? 6 : 4);
    showScaled(*x, figure.factor);
    auto* caption = new TextBlock(&plot, figure.title, look.font, look.ink);
    caption->setObjectName(QLatin1String(xTitleName));
    caption->setMargins(QMargins(0, static_cast<int>(3.0 * look.px), 0, 0));
    plot.plotLayout()->addElement(1, 0, caption);
    plot.plotLayout()->setRowStretchFactor(1, 0.001);

    QPen dashed = solidPen(look.mid, look.thin);
    dashed.setDashPattern({3.0, 2.0});
    addLine(*panel, QStringLiteral("zero"), figure.reference, range.lower, figure.reference, range.upper,
            dashed);
    QPen dotted = solidPen(look.ink, look.line);
    dotted.setDashPattern({1.0, 2.0});
    for (const double margin : figure.margins) {
        addLine(*panel, QStringLiteral("margin"), margin, range.lower, margin, range.upper, dotted);
    }
    for (std::size_t i = 0; i < figure.rows.size(); ++i) {
        const IntervalRow& row = figure.rows[i];
        const double at = static_cast<double>(i);
        if (row.low && row.high) {
            addLine(*panel, QStringLiteral("interval"), *row.low, at, *row.high, at,
                    solidPen(row.colour, look.line))
                ->setObjectName(QStringLiteral("interval:") + row.id);
        }
        addMarks(*panel, row.name, {row.estimate}, {at}, scaledMark(row.mark, 1.5))
            ->setObjectName(QStringLiteral("estimate:") + row.id);
    }
}

}  // namespace aftercurve
