#include "ui/figures/sub_windows_plot.h"

#include <algorithm>

#include "ui/figures/figure_text.h"
#include "ui/figures/plot_frame.h"

namespace aftercurve {

namespace {

std::vector<const CurvePartFinding*> shownParts(const Study& study, const Findings& findings,
                                                const FigureChoice& choice) {
    const ChosenKeys keys = chosenKeys(study, findings, choice.analyte, choice.measure);
    std::vector<const CurvePartFinding*> shown;
    for (const CurvePartFinding& part : findings.curvePartFindings) {
        if (part.analyte == keys.analyte && part.increment.meanDifference &&
            (choice.food.empty() || part.food == choice.food)) {
            shown.push_back(&part);
        }
    }
    return shown;
}

bool available(const Study& study, const Findings& findings, const FigureChoice& choice) {
    return !shownParts(study, findings, choice).empty();
}

/// Each once, in order of appearance.
template <class Value, class Get>
std::vector<Value> distinct(const std::vector<const CurvePartFinding*>& parts, Get get) {
    std::vector<Value> values;
    for (const CurvePartFinding* part : parts) {
        const Value value = get(*part);
        if (std::find(values.begin(), values.end(), value) == values.end()) {
            values.push_back(value);
        }
    }
    return values;
}

void drawFood(QCPAxisRect& panel, const std::vector<const CurvePartFinding*>& parts,
              const std::vector<double>& begins, const std::string& id, double offset, const FoodLook& food,
              const FigureLook& look) {
    std::vector<double> x, y;
    QVector<double> minus, plus;
    for (const CurvePartFinding* part : parts) {
        if (part->food != id) {
            continue;
        }
        const auto place = std::find(begins.begin(), begins.end(), part->fromMin) - begins.begin();
        const double mean = *part->increment.meanDifference;
        x.push_back(static_cast<double>(place) + offset);
        y.push_back(mean);
        const bool interval = part->increment.ciLow && part->increment.ciHigh;
        minus.push_back(interval ? mean - *part->increment.ciLow : qQNaN());
        plus.push_back(interval ? *part->increment.ciHigh - mean : qQNaN());
    }
    QCPGraph* marks = addMarks(panel, QStringLiteral("mean increment"), x, y, scaledMark(food.mark, 1.4));
    marks->setObjectName(QStringLiteral("part:") + QString::fromStdString(id));
    addErrorBars(*marks, minus, plus, solidPen(food.colour, look.line), 1.2 * look.mark,
                 QCPErrorBars::etValueError);
}

void draw(QCustomPlot& plot, const Study& study, const Findings& findings, const FigureChoice& choice,
          const FigureStyle& style) {
    const FigureLook look = lookFor(plot, style);
    const auto shown = shownParts(study, findings, choice);
    if (shown.empty()) {
        drawEmpty(plot, look, FigureText::tr(subWindowsFigure().emptyText.data()));
        return;
    }
    clearPlot(plot, look);
    const auto foods = distinct<std::string>(shown, [](const CurvePartFinding& part) { return part.food; });
    auto begins = distinct<double>(shown, [](const CurvePartFinding& part) { return part.fromMin; });
    std::sort(begins.begin(), begins.end());

    QCPAxisRect* panel = newPanel(plot, look);
    plot.plotLayout()->addElement(1, 0, panel);
    Span values;
    values.take(0.0);
    std::vector<QString> names(begins.size());
    for (const CurvePartFinding* part : shown) {
        values.take(part->increment.ciLow.value_or(*part->increment.meanDifference));
        values.take(part->increment.ciHigh.value_or(*part->increment.meanDifference));
        const auto place = std::find(begins.begin(), begins.end(), part->fromMin) - begins.begin();
        names[static_cast<std::size_t>(place)] =
            FigureText::tr("%1–%2\u00A0min").arg(part->fromMin).arg(part->toMin);
    }
    const QCPRange categories(-0.6, static_cast<double>(begins.size()) - 0.4);
    QCPAxis* y = yAxisOf(*panel);
    xAxisOf(*panel)->setRange(categories);
    y->setRange(values.padded(values.low < 0.0 ? 0.05 : 0.0, 0.05));
    setNumberTicks(*y, 6);
    setCategories(*xAxisOf(*panel), names);
    xAxisOf(*panel)->setLabel(FigureText::tr("Part of the window"));
    const std::string& analyte = shown.front()->analyte;
    y->setLabel(withUnit(FigureText::tr("Mean increment of %1").arg(analyteName(analyte).toLower()),
                         analyteUnit(study, analyte)));
    QPen zero = solidPen(look.mid, look.thin);
    zero.setDashPattern({3.0, 2.0});
    addLine(*panel, QStringLiteral("zero"), categories.lower, 0.0, categories.upper, 0.0, zero);

    std::vector<KeyEntry> key;
    const auto count = static_cast<double>(foods.size());
    for (std::size_t f = 0; f < foods.size(); ++f) {
        const FoodLook food = foodLook(study, foods[f], look);
        const double offset = 0.7 * ((static_cast<double>(f) + 0.5) / count - 0.5);
        drawFood(*panel, shown, begins, foods[f], offset, food, look);
        key.push_back({foodLabel(study, foods[f]), Qt::NoPen, food.mark, Qt::NoBrush, false});
    }
    key.push_back(
        {FigureText::tr("bars: %1 CI").arg(confidenceText(findings.plan.alpha)), Qt::NoPen, {}, {}, false});
    plot.plotLayout()->addElement(0, 0, new FigureKey(&plot, look, key));
    plot.plotLayout()->setRowStretchFactor(0, 0.001);
}

}  // namespace

FigureKind subWindowsFigure() {
    return {"sub_windows", QT_TRANSLATE_NOOP("Figures", "Parts of the window"), &available,
            QT_TRANSLATE_NOOP("Figures",
                              "No parts: no curve counts, or the plan names no limit inside the window."),
            &draw};
}

}  // namespace aftercurve
