#include "ui/figures/comparison_estimates.h"

#include <algorithm>
#include <limits>

#include "ui/figures/figure_text.h"
#include "ui/figures/plot_frame.h"

namespace aftercurve {

namespace {

std::vector<const ComparisonFinding*> shownComparisons(const Findings& findings, const ChosenKeys& keys,
                                                       const FigureChoice& choice) {
    std::vector<const ComparisonFinding*> shown;
    for (const ComparisonFinding& comparison : findings.comparisons) {
        if (comparison.analyte == keys.analyte && comparison.measure == keys.measure &&
            comparison.t.meanDifference && (choice.food.empty() || comparison.food == choice.food)) {
            shown.push_back(&comparison);
        }
    }
    return shown;
}

bool available(const Study& study, const Findings& findings, const FigureChoice& choice) {
    return !shownComparisons(findings, chosenKeys(study, findings, choice.analyte, choice.measure), choice)
                .empty();
}

QString pLine(const ComparisonFinding& comparison, const Plan& plan) {
    if (comparison.pAdjusted && plan.multiplicity != Multiplicity::none) {
        return FigureText::tr("adjusted %1").arg(pLabel(*comparison.pAdjusted));
    }
    if (comparison.t.p) {
        return pLabel(*comparison.t.p);
    }
    return FigureText::tr("no test: %1").arg(plainLabel(comparison.t.absentBecause));
}

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

void draw(QCustomPlot& plot, const Study& study, const Findings& findings, const FigureChoice& choice,
          const FigureStyle& style) {
    const FigureLook look = lookFor(plot, style);
    const ChosenKeys keys = chosenKeys(study, findings, choice.analyte, choice.measure);
    const auto shown = shownComparisons(findings, keys, choice);
    if (shown.empty()) {
        drawEmpty(plot, look, FigureText::tr(comparisonEstimatesFigure().emptyText.data()));
        return;
    }
    clearPlot(plot, look);
    QCPAxisRect* panel = newPanel(plot, look);
    plot.plotLayout()->addElement(0, 0, panel);
    QCPAxis* x = xAxisOf(*panel);
    QCPAxis* y = yAxisOf(*panel);
    QCPAxis* texts = addRightColumn(*panel, look);

    const double width = std::max(1, plot.width());
    const bool oneComparator = std::all_of(shown.begin(), shown.end(), [&](const ComparisonFinding* c) {
        return c->comparator == shown.front()->comparator;
    });
    Span values;
    values.take(0.0);
    std::vector<double> means;
    for (const ComparisonFinding* comparison : shown) {
        const PairedT& t = comparison->t;
        const double mean = *t.meanDifference;
        for (const double value : {mean, t.ciLow.value_or(mean), t.ciHigh.value_or(mean)}) {
            values.take(value);
        }
        means.push_back(mean);
    }
    const int decimals = decimalsFor(means);
    std::vector<QString> names;
    std::vector<QString> results;
    for (const ComparisonFinding* comparison : shown) {
        const PairedT& t = comparison->t;
        QString name = foodLabel(study, comparison->food);
        if (!oneComparator) {
            name += FigureText::tr(" against %1").arg(foodLabel(study, comparison->comparator));
        }
        names.push_back(wrapped(name, look.smallFont, 0.24 * width) + u'\n' +
                        FigureText::tr("n = %1").arg(t.n));
        QString result = numberText(*t.meanDifference, decimals);
        if (t.ciLow && t.ciHigh) {
            result += FigureText::tr(" (%1 to %2)")
                          .arg(numberText(*t.ciLow, decimals), numberText(*t.ciHigh, decimals));
        }
        results.push_back(result + u'\n' +
                          wrapped(pLine(*comparison, findings.plan), look.smallFont, 0.3 * width));
    }
    setCategories(*y, names);
    setCategories(*texts, results);
    // First comparison on top.
    const QCPRange rows(-0.6, static_cast<double>(shown.size()) - 0.4);
    for (QCPAxis* axis : {y, texts}) {
        axis->setRange(rows);
        axis->setRangeReversed(true);
    }
    y->setBasePen(Qt::NoPen);
    x->setRange(values.padded(0.06, 0.06));
    setNumberTicks(*x, width > 300.0 * look.px ? 6 : 4);
    QString title = FigureText::tr("Mean difference in %1 of %2")
                        .arg(measureInText(keys.measure), analyteName(keys.analyte).toLower());
    if (oneComparator) {
        title = FigureText::tr("%1 from %2").arg(title, foodLabel(study, shown.front()->comparator));
    }
    title = FigureText::tr("%1; bars: %2 CI")
                .arg(withUnit(title, plainLabel(shown.front()->unit)), confidenceText(findings.plan.alpha));
    auto* caption = new TextBlock(&plot, title, look.font, look.ink);
    caption->setMargins(QMargins(0, static_cast<int>(3.0 * look.px), 0, 0));
    plot.plotLayout()->addElement(1, 0, caption);
    plot.plotLayout()->setRowStretchFactor(1, 0.001);

    QPen zero = solidPen(look.mid, look.thin);
    zero.setDashPattern({3.0, 2.0});
    addLine(*panel, QStringLiteral("zero"), 0.0, rows.lower, 0.0, rows.upper, zero);
    for (std::size_t i = 0; i < shown.size(); ++i) {
        const ComparisonFinding& comparison = *shown[i];
        const PairedT& t = comparison.t;
        const FoodLook food = foodLook(study, comparison.food, look);
        const double at = static_cast<double>(i);
        if (t.ciLow && t.ciHigh) {
            addLine(*panel, QStringLiteral("interval"), *t.ciLow, at, *t.ciHigh, at,
                    solidPen(food.colour, look.line))
                ->setObjectName(QStringLiteral("interval:") + QString::fromStdString(comparison.food));
        }
        QCPGraph* mark = addMarks(*panel, foodLabel(study, comparison.food), {*t.meanDifference}, {at},
                                  scaledMark(food.mark, 1.5));
        mark->setObjectName(QStringLiteral("estimate:") + QString::fromStdString(comparison.food));
    }
}

}  // namespace

FigureKind comparisonEstimatesFigure() {
    return {"comparison_estimates", QT_TRANSLATE_NOOP("Figures", "Mean differences"), &available,
            QT_TRANSLATE_NOOP("Figures", "No comparison of this analyte and measure."), &draw};
}

}  // namespace aftercurve
