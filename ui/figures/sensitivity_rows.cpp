#include "ui/figures/sensitivity_rows.h"

#include "ui/figures/figure_text.h"
#include "ui/figures/interval_rows.h"

namespace aftercurve {

namespace {

const SensitivityFinding* chosen(const Study& study, const Findings& findings, const FigureChoice& choice) {
    const ChosenKeys keys = chosenKeys(study, findings, choice.analyte, choice.measure);
    for (const SensitivityFinding& finding : findings.sensitivity) {
        if (finding.analyte == keys.analyte && (choice.food.empty() || finding.food == choice.food)) {
            return &finding;
        }
    }
    return nullptr;
}

bool available(const Study& study, const Findings& findings, const FigureChoice& choice) {
    const SensitivityFinding* finding = chosen(study, findings, choice);
    return finding != nullptr && !finding->rows.empty() && finding->rows.front().standardised.has_value();
}

/// What one way does otherwise.
QString nameOf(const SensitivityRow& way, const SensitivityRow& planned) {
    if (way.changes == 0) {
        return FigureText::tr("As planned");
    }
    if (way.measure != planned.measure) {
        return measureName(way.measure);
    }
    if (way.baseline != planned.baseline) {
        return way.baseline == BaselineRule::timeZero ? FigureText::tr("Baseline: value at time 0")
                                                      : FigureText::tr("Baseline: fasting mean");
    }
    if (way.windowEndMin != planned.windowEndMin) {
        return FigureText::tr("Window to %1 min").arg(QString::number(way.windowEndMin));
    }
    return FigureText::tr("Exclusions ignored");
}

void draw(QCustomPlot& plot, const Study& study, const Findings& findings, const FigureChoice& choice,
          const FigureStyle& style) {
    const FigureLook look = lookFor(plot, style);
    if (!available(study, findings, choice)) {
        drawEmpty(plot, look, FigureText::tr(sensitivityFigure().emptyText.data()));
        return;
    }
    const SensitivityFinding& finding = *chosen(study, findings, choice);
    const FoodLook food = foodLook(study, finding.food, look);
    IntervalRows rows;
    for (const SensitivityRow& way : finding.rows) {
        if (way.changes > 1 || !way.standardised) {
            continue;
        }
        rows.rows.push_back({nameOf(way, finding.rows.front()), QString(), *way.standardised,
                             way.standardisedLow, way.standardisedHigh,
                             FigureText::tr("n = %1, %2").arg(way.n).arg(way.p ? pLabel(*way.p) : QString()),
                             way.changes == 0 ? food.colour : look.mid,
                             way.changes == 0
                                 ? food.mark
                                 : QCPScatterStyle(QCPScatterStyle::ssDisc, look.mid, look.mid, look.mark),
                             QString::number(rows.rows.size())});
    }
    rows.numbers = false;
    rows.title = FigureText::tr(
                     "Mean difference of %1 from %2 in %3, in SD of the differences; bars: %4 CI; one "
                     "choice altered at a time")
                     .arg(foodLabel(study, finding.food), foodLabel(study, finding.comparator),
                          analyteName(finding.analyte).toLower(), confidenceText(findings.plan.alpha));
    drawIntervalRows(plot, look, rows);
}

}  // namespace

FigureKind sensitivityFigure() {
    return {"sensitivity", QT_TRANSLATE_NOOP("Figures", "Other choices"), &available,
            QT_TRANSLATE_NOOP("Figures", "No comparison to try in other ways."), &draw};
}

}  // namespace aftercurve
