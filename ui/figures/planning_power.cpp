#include "ui/figures/planning_power.h"

#include <algorithm>

#include "ui/figures/figure_text.h"
#include "ui/figures/plot_frame.h"

namespace aftercurve {

namespace {

bool available(const Study&, const Findings&, const FigureChoice& choice) {
    return choice.planning && !choice.planning->points.empty();
}

QString valueTitle(const PowerCurve& curve) {
    if (curve.halfWidth) {
        return withUnit(FigureText::tr("Half-width of the interval"), plainLabel(curve.unit));
    }
    return curve.assurance ? FigureText::tr("Probability that the interval is as narrow (%)")
                           : FigureText::tr("Power (%)");
}

void draw(QCustomPlot& plot, const Study& study, const Findings& findings, const FigureChoice& choice,
          const FigureStyle& style) {
    const FigureLook look = lookFor(plot, style);
    if (!available(study, findings, choice)) {
        drawEmpty(plot, look, FigureText::tr(planningPowerFigure().emptyText.data()));
        return;
    }
    clearPlot(plot, look);
    QCPAxisRect* panel = newPanel(plot, look);
    plot.plotLayout()->addElement(0, 0, panel);
    QCPAxis* x = xAxisOf(*panel);
    QCPAxis* y = yAxisOf(*panel);
    const PowerCurve& curve = *choice.planning;
    const double factor = curve.halfWidth ? 1.0 : 100.0;  // probabilities are shown in %
    std::vector<double> subjects;
    std::vector<double> values;
    Span height;
    height.take(0.0);
    for (const PowerPoint& point : curve.points) {
        subjects.push_back(static_cast<double>(point.n));
        values.push_back(factor * point.value);
    }
    const double target = factor * curve.target;
    if (curve.halfWidth) {
        // The interval of two or three subjects would flatten all the rest.
        height.take(std::min(*std::max_element(values.begin(), values.end()), 6.0 * target));
        height.take(target);
    } else {
        height.take(100.0);
    }
    x->setRange(0.0, subjects.back() * 1.03);
    y->setRange(0.0, height.high * 1.03);
    x->setLabel(FigureText::tr("Subjects who complete"));
    y->setLabel(valueTitle(curve));
    const double width = std::max(1, plot.width());
    setNumberTicks(*x, width > 300.0 * look.px ? 8 : 5);
    setNumberTicks(*y, 6);

    QPen dashed = solidPen(look.mid, look.thin);
    dashed.setDashPattern({3.0, 2.0});
    addLine(*panel, QStringLiteral("target"), 0.0, target, x->range().upper, target, dashed)
        ->setObjectName(QStringLiteral("target"));
    const QColor colour(0x00, 0x72, 0xB2);
    const QColor ink = look.grey ? look.ink : colour;
    addCurve(*panel, QStringLiteral("power"), subjects, values, solidPen(ink, look.line), QCPScatterStyle())
        ->setObjectName(QStringLiteral("power"));
    if (!curve.n) {
        return;
    }
    const auto at = std::find_if(curve.points.begin(), curve.points.end(),
                                 [&](const PowerPoint& point) { return point.n == *curve.n; });
    if (at == curve.points.end()) {
        return;
    }
    const auto n = static_cast<double>(*curve.n);
    const double reached = factor * at->value;
    addLine(*panel, QStringLiteral("answer"), n, 0.0, n, reached, dashed);
    addMarks(*panel, QStringLiteral("answer"), {n}, {reached},
             QCPScatterStyle(QCPScatterStyle::ssDisc, ink, ink, 1.6 * look.mark))
        ->setObjectName(QStringLiteral("answer"));
    const QString value = curve.halfWidth ? numberText(reached, decimalsFor(std::span(&reached, 1)))
                                          : FigureText::tr("%1 %").arg(numberText(reached, 1));
    const double across = std::min(0.72, n / x->range().upper + 0.02);
    // Below the curve where it rises, above it where it falls.
    const double down = 1.0 - reached / y->range().upper + (curve.halfWidth ? -0.04 : 0.09);
    addNote(*panel, FigureText::tr("n = %1: %2").arg(*curve.n).arg(value), look.font, look.ink, across,
            std::clamp(down, 0.04, 0.92), Qt::AlignLeft | Qt::AlignVCenter);
}

}  // namespace

FigureKind planningPowerFigure() {
    return {"planning_power", QT_TRANSLATE_NOOP("Figures", "Number of subjects"), &available,
            QT_TRANSLATE_NOOP("Figures", "Nothing is planned yet."), &draw};
}

}  // namespace aftercurve
