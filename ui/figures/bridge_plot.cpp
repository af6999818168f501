#include "ui/figures/bridge_plot.h"

#include <algorithm>

#include "ui/figures/figure_text.h"
#include "ui/figures/plot_frame.h"

namespace aftercurve {

namespace {

const BridgeFinding* shownPair(const Findings& findings, const FigureChoice& choice) {
    const std::vector<BridgeFinding>& pairs = findings.bridge.pairs;
    const auto named = std::find_if(pairs.begin(), pairs.end(), [&](const BridgeFinding& pair) {
        return pair.x.key == choice.measure && pair.points.size() > 1;
    });
    if (named != pairs.end()) {
        return &*named;
    }
    const auto found = std::find_if(pairs.begin(), pairs.end(),
                                    [](const BridgeFinding& pair) { return pair.pearson.r.has_value(); });
    return found == pairs.end() ? nullptr : &*found;
}

bool available(const Study& /*study*/, const Findings& findings, const FigureChoice& choice) {
    return shownPair(findings, choice) != nullptr;
}

void addName(QCPAxisRect& panel, const BridgePoint& point, const QString& name, bool rising,
             const FigureLook& look) {
    // To the inner side, so that no name runs out of the panel, and off the line: below a rising one on the
    // right of the point, above it on the left; the other way round where the line falls.
    const bool toTheRight = point.x < xAxisOf(panel)->range().center();
    const bool below = toTheRight == rising;
    QCPItemText* text =
        addTextAt(panel, name, look.smallFont, look.ink, point.x, point.y,
                  (toTheRight ? Qt::AlignLeft : Qt::AlignRight) | (below ? Qt::AlignTop : Qt::AlignBottom));
    // Clear of the mark and of its bars.
    const int beside = static_cast<int>(0.8 * look.mark);
    const int above = static_cast<int>(1.8 * look.mark);
    text->setPadding(QMargins(beside, above, beside, above));
}

void addPoint(QCPAxisRect& panel, const Study& study, const BridgePoint& point, bool rising,
              const FigureLook& look) {
    const FoodLook food = foodLook(study, point.food, look);
    QCPGraph* mark = addMarks(panel, foodLabel(study, point.food), {point.x}, {point.y}, food.mark);
    mark->setObjectName(QStringLiteral("food:") + QString::fromStdString(point.food));
    const QPen pen = solidPen(food.colour, look.thin);
    if (point.ySe) {
        addErrorBars(*mark, {*point.ySe}, {*point.ySe}, pen, look.mark, QCPErrorBars::etValueError);
    }
    if (point.xSe) {
        addErrorBars(*mark, {*point.xSe}, {*point.xSe}, pen, look.mark, QCPErrorBars::etKeyError);
    }
    addName(panel, point, foodLabel(study, point.food), rising, look);
}

QString noteOf(const Findings& findings, const BridgeFinding& pair) {
    QString text = FigureText::tr("n = %1 foods").arg(pair.points.size());
    const PearsonCorrelation& pearson = pair.pearson;
    if (pearson.r) {
        text += FigureText::tr("; r = %1").arg(numberText(*pearson.r, 2));
    }
    if (pearson.ciLow && pearson.ciHigh) {
        text += FigureText::tr(" (%1 CI %2 to %3)")
                    .arg(confidenceText(findings.plan.alpha), numberText(*pearson.ciLow, 2),
                         numberText(*pearson.ciHigh, 2));
    } else {
        text += FigureText::tr("; no interval");
    }
    if (pair.deming.slope) {
        text += FigureText::tr(". Dashed: Deming line.");
    }
    return text + FigureText::tr(" Bars: standard errors. The foods were chosen, not sampled.");
}

void draw(QCustomPlot& plot, const Study& study, const Findings& findings, const FigureChoice& choice,
          const FigureStyle& style) {
    const FigureLook look = lookFor(plot, style);
    const BridgeFinding* pair = shownPair(findings, choice);
    if (pair == nullptr) {
        drawEmpty(plot, look, FigureText::tr(bridgeFigure().emptyText.data()));
        return;
    }
    clearPlot(plot, look);
    QCPAxisRect* panel = newPanel(plot, look);
    plot.plotLayout()->addElement(0, 0, panel);
    Span across;
    Span up;
    for (const BridgePoint& point : pair->points) {
        for (const double side : {-1.0, 1.0}) {
            across.take(point.x + side * point.xSe.value_or(0.0));
            up.take(point.y + side * point.ySe.value_or(0.0));
        }
    }
    QCPAxis* x = xAxisOf(*panel);
    QCPAxis* y = yAxisOf(*panel);
    x->setRange(across.padded(0.1, 0.1));
    y->setRange(up.padded(0.1, 0.14));
    setNumberTicks(*x, 6);
    setNumberTicks(*y, 6);
    x->setLabel(withUnit(plainLabel(pair->x.label), plainLabel(pair->x.unit)));
    y->setLabel(broken(withUnit(plainLabel(pair->y.label), plainLabel(pair->y.unit)), look.font,
                       0.8 * std::max(1, plot.height())));
    if (pair->deming.slope && pair->deming.intercept) {
        QPen dashed = solidPen(look.mid, look.line);
        dashed.setDashPattern({4.0, 3.0});
        const QCPRange range = x->range();
        addLine(*panel, QStringLiteral("deming"), range.lower,
                *pair->deming.intercept + *pair->deming.slope * range.lower, range.upper,
                *pair->deming.intercept + *pair->deming.slope * range.upper, dashed)
            ->setObjectName(QStringLiteral("deming"));
    }
    for (const BridgePoint& point : pair->points) {
        addPoint(*panel, study, point, pair->deming.slope.value_or(1.0) > 0.0, look);
    }
    addCaption(plot, look, 1, noteOf(findings, *pair));
}

}  // namespace

FigureKind bridgeFigure() {
    return {"bridge",
            QT_TRANSLATE_NOOP("Figures", "Digestion in vitro and response in people"),
            &available,
            QT_TRANSLATE_NOOP("Figures",
                              "No digestion in vitro of three foods or more with a response in people."),
            &draw,
            true};
}

}  // namespace aftercurve
