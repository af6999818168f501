#include "ui/figures/comparison_estimates.h"

#include <algorithm>

#include "ui/figures/figure_scope.h"
#include "ui/figures/figure_text.h"
#include "ui/figures/interval_rows.h"

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

void draw(QCustomPlot& plot, const Study& study, const Findings& findings, const FigureChoice& choice,
          const FigureStyle& style) {
    const FigureLook look = lookFor(plot, style);
    const ChosenKeys keys = chosenKeys(study, findings, choice.analyte, choice.measure);
    const auto shown = shownComparisons(findings, keys, choice);
    if (shown.empty()) {
        drawEmpty(plot, look, FigureText::tr(comparisonEstimatesFigure().emptyText.data()));
        return;
    }
    const bool oneComparator = std::all_of(shown.begin(), shown.end(), [&](const ComparisonFinding* c) {
        return c->comparator == shown.front()->comparator;
    });
    IntervalRows rows;
    for (const ComparisonFinding* comparison : shown) {
        const PairedT& t = comparison->t;
        QString name = foodLabel(study, comparison->food);
        if (!oneComparator) {
            name += FigureText::tr(" against %1").arg(foodLabel(study, comparison->comparator));
        }
        const FoodLook food = foodLook(study, comparison->food, look);
        rows.rows.push_back({name, FigureText::tr("n = %1").arg(t.n), *t.meanDifference, t.ciLow, t.ciHigh,
                             pLine(*comparison, findings.plan), food.colour, food.mark,
                             QString::fromStdString(comparison->food)});
    }
    QString title = FigureText::tr("Mean difference in %1 of %2")
                        .arg(measureInText(keys.measure), analyteName(keys.analyte).toLower());
    if (oneComparator) {
        title = FigureText::tr("%1 from %2").arg(title, foodLabel(study, shown.front()->comparator));
    }
    const ShownUnit unit = shownMeasureUnit(study, keys.analyte, keys.measure);
    rows.factor = unit.factor;
    rows.title = FigureText::tr("%1; bars: %2 CI")
                     .arg(withUnit(title, unit.factor == 1.0 ? plainLabel(shown.front()->unit) : unit.unit),
                          confidenceText(findings.plan.alpha));
    drawIntervalRows(plot, look, rows);
}

}  // namespace

FigureKind comparisonEstimatesFigure() {
    return {"comparison_estimates", QT_TRANSLATE_NOOP("Figures", "Mean differences"), &available,
            QT_TRANSLATE_NOOP("Figures", "No comparison of this analyte and measure."), &draw};
}

}  // namespace aftercurve
