#include "ui/figures/curves_mean.h"

#include <algorithm>
#include <limits>
#include <optional>

#include "ui/figures/figure_scope.h"
#include "ui/figures/figure_text.h"
#include "ui/figures/plot_frame.h"

namespace aftercurve {

namespace {

std::vector<const MeanCurve*> shownCurves(const Findings& findings, const ChosenKeys& keys,
                                          const FigureChoice& choice) {
    std::vector<const MeanCurve*> shown;
    for (const MeanCurve& curve : findings.meanCurves) {
        if (curve.analyte == keys.analyte && !curve.timeMin.empty() &&
            (choice.food.empty() || curve.food == choice.food)) {
            shown.push_back(&curve);
        }
    }
    return shown;
}

bool available(const Study& study, const Findings& findings, const FigureChoice& choice) {
    return !shownCurves(findings, chosenKeys(study, findings, choice.analyte, choice.measure), choice)
                .empty();
}

/// "n = 8", or "n = 6–8" where not every time has the same number of subjects.
QString countText(const MeanCurve& curve) {
    const auto [least, most] = std::minmax_element(curve.n.begin(), curve.n.end());
    if (least == curve.n.end()) {
        return {};
    }
    return *least == *most ? FigureText::tr("n = %1").arg(*most)
                           : FigureText::tr("n = %1–%2").arg(*least).arg(*most);
}

/// How far the bar of one point reaches below and above its mean; nothing where there is no bar.
struct Reach {
    double below = 0.0;
    double above = 0.0;
};

std::optional<Reach> reachAt(const MeanCurve& curve, std::size_t i, FigureSpread spread) {
    const auto at = [i](const std::vector<std::optional<double>>& values) {
        return i < values.size() ? values[i] : std::nullopt;
    };
    if (spread == FigureSpread::confidenceInterval) {
        const auto low = at(curve.ciLow);
        const auto high = at(curve.ciHigh);
        return low && high ? std::optional{Reach{curve.mean[i] - *low, *high - curve.mean[i]}} : std::nullopt;
    }
    const auto half = at(spread == FigureSpread::standardDeviation ? curve.sd : curve.sem);
    return half ? std::optional{Reach{*half, *half}} : std::nullopt;
}

QString spreadText(FigureSpread spread, double alpha) {
    switch (spread) {
        case FigureSpread::standardError:
            return FigureText::tr("bars: ± SEM");
        case FigureSpread::standardDeviation:
            return FigureText::tr("bars: ± SD");
        case FigureSpread::confidenceInterval:
            break;
    }
    return FigureText::tr("bars: %1 CI").arg(confidenceText(alpha));
}

void draw(QCustomPlot& plot, const Study& study, const Findings& findings, const FigureChoice& choice,
          const FigureStyle& style) {
    const FigureLook look = lookFor(plot, style);
    const ChosenKeys keys = chosenKeys(study, findings, choice.analyte, choice.measure);
    const auto shown = shownCurves(findings, keys, choice);
    if (shown.empty()) {
        drawEmpty(plot, look, FigureText::tr(curvesMeanFigure().emptyText.data()));
        return;
    }
    clearPlot(plot, look);
    QCPAxisRect* panel = newPanel(plot, look);
    plot.plotLayout()->addElement(1, 0, panel);

    Span times;
    Span values;
    const double end = findings.plan.windowEndMin;
    times.take(0.0);
    times.take(end);
    for (const MeanCurve* curve : shown) {
        for (std::size_t i = 0; i < curve->timeMin.size(); ++i) {
            const Reach reach = reachAt(*curve, i, style.frame.spread).value_or(Reach{});
            times.take(curve->timeMin[i]);
            values.take(curve->mean[i] - reach.below);
            values.take(curve->mean[i] + reach.above);
        }
    }
    QCPAxis* x = xAxisOf(*panel);
    QCPAxis* y = yAxisOf(*panel);
    // Half a mark apart, so that error bars of different foods stand beside each other.
    const double axisPixels = 0.85 * style.widthMm / 25.4 * 72.0 * look.px;
    const double apartPixels = 0.55 * look.mark;
    const double farthest = 0.5 * apartPixels * static_cast<double>(shown.size() - 1);
    x->setRange(timeRange(times, farthest + 0.6 * look.mark, axisPixels));
    y->setRange(values.padded(0.06, 0.10));
    setMinuteTicks(*x, 10);
    setNumberTicks(*y, 6);
    const ShownUnit unit = shownUnit(study, keys.analyte);
    showScaled(*y, unit.factor);
    x->setLabel(FigureText::tr("Time after first bite (min)"));
    y->setLabel(withUnit(analyteName(keys.analyte), unit.unit));

    addBand(*panel, 0.0, y->range().lower, end, y->range().upper, look.wash);
    QCPItemText* note = addNote(*panel, FigureText::tr("Window 0 to %1 min").arg(numberText(end, 0)),
                                look.smallFont, look.mid, 0.5, 0.01, Qt::AlignTop | Qt::AlignHCenter);
    note->position->setAxes(x, y);
    note->position->setTypeX(QCPItemPosition::ptPlotCoords);
    note->position->setCoords(end / 2.0, 0.01);

    const double apart = apartPixels / axisPixels * x->range().size();
    std::vector<KeyEntry> key;
    for (std::size_t f = 0; f < shown.size(); ++f) {
        const MeanCurve& curve = *shown[f];
        const FoodLook food = foodLook(study, curve.food, look);
        const double shift = apart * (static_cast<double>(f) - 0.5 * static_cast<double>(shown.size() - 1));
        std::vector<double> shifted = curve.timeMin;
        QVector<double> below;
        QVector<double> above;
        for (std::size_t i = 0; i < shifted.size(); ++i) {
            shifted[i] += shift;
            constexpr double none = std::numeric_limits<double>::quiet_NaN();
            const Reach reach = reachAt(curve, i, style.frame.spread).value_or(Reach{none, none});
            below.push_back(reach.below);
            above.push_back(reach.above);
        }
        const QString name = foodLabel(study, curve.food);
        QCPGraph* graph = addCurve(*panel, name, shifted, curve.mean, food.pen, food.mark);
        graph->setObjectName(QStringLiteral("mean:") + QString::fromStdString(curve.food));
        QCPErrorBars* errors = addErrorBars(*graph, below, above, solidPen(food.colour, look.thin),
                                            0.6 * look.mark, QCPErrorBars::etValueError);
        errors->setObjectName(QStringLiteral("sem:") + QString::fromStdString(curve.food));
        key.push_back(
            {FigureText::tr("%1 (%2)").arg(name, countText(curve)), food.pen, food.mark, {}, false});
    }
    key.push_back({spreadText(style.frame.spread, findings.plan.alpha), Qt::NoPen, {}, {}, false});
    plot.plotLayout()->addElement(0, 0, new FigureKey(&plot, look, key));
    plot.plotLayout()->setRowStretchFactor(0, 0.001);
}

}  // namespace

FigureKind curvesMeanFigure() {
    return {"curves_mean", QT_TRANSLATE_NOOP("Figures", "Mean curves"), &available,
            QT_TRANSLATE_NOOP("Figures", "No mean curve: no curve of this analyte counts."), &draw};
}

}  // namespace aftercurve
