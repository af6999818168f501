#include "ui/figures/model_rows.h"

#include <algorithm>

#include "ui/figures/figure_text.h"
#include "ui/figures/interval_rows.h"

namespace aftercurve {

namespace {

const ModelFinding* chosen(const Study& study, const Findings& findings, const FigureChoice& choice) {
    const ChosenKeys keys = chosenKeys(study, findings, choice.analyte, choice.measure);
    for (const ModelFinding& model : findings.models) {
        if (model.analyte == keys.analyte && model.measure == keys.measure) {
            return &model;
        }
    }
    return nullptr;
}

bool hasRow(const ModelFinding& model, const ModelComparison& comparison) {
    return model.fit.differences[comparison.difference].estimate.has_value();
}

bool available(const Study& study, const Findings& findings, const FigureChoice& choice) {
    const ModelFinding* model = chosen(study, findings, choice);
    return model != nullptr &&
           std::any_of(model->family.comparisons.begin(), model->family.comparisons.end(),
                       [&](const ModelComparison& comparison) { return hasRow(*model, comparison); });
}

void draw(QCustomPlot& plot, const Study& study, const Findings& findings, const FigureChoice& choice,
          const FigureStyle& style) {
    const FigureLook look = lookFor(plot, style);
    if (!available(study, findings, choice)) {
        drawEmpty(plot, look, FigureText::tr(modelDifferencesFigure().emptyText.data()));
        return;
    }
    const ModelFinding& model = *chosen(study, findings, choice);
    IntervalRows rows;
    bool simultaneous = true;
    for (const ModelComparison& comparison : model.family.comparisons) {
        if (!hasRow(model, comparison)) {
            continue;
        }
        const ModelDifference& d = model.fit.differences[comparison.difference];
        const bool family = comparison.ciLow.has_value() && comparison.ciHigh.has_value();
        simultaneous = simultaneous && family;
        const std::string& id = model.foods[d.level];
        const FoodLook food = foodLook(study, id, look);
        QString result;
        if (comparison.pAdjusted) {
            result = model.family.adjustment == ModelAdjustment::none
                         ? pLabel(*comparison.pAdjusted)
                         : FigureText::tr("adjusted %1").arg(pLabel(*comparison.pAdjusted));
        }
        rows.rows.push_back(
            {foodLabel(study, id), FigureText::tr("− %1").arg(foodLabel(study, model.foods[d.minus])),
             *d.estimate, family ? comparison.ciLow : d.ciLow, family ? comparison.ciHigh : d.ciHigh, result,
             food.colour, food.mark, QString::fromStdString(id + "/" + model.foods[d.minus])});
    }
    rows.title =
        withUnit(FigureText::tr("Difference of model means in %1 of %2")
                     .arg(measureInText(model.measure), analyteName(model.analyte).toLower()),
                 plainLabel(model.unit)) +
        (simultaneous && model.family.adjustment != ModelAdjustment::none
             ? FigureText::tr("; bars: %1 CI that hold together").arg(confidenceText(findings.plan.alpha))
             : FigureText::tr("; bars: %1 CI, each by itself").arg(confidenceText(findings.plan.alpha)));
    drawIntervalRows(plot, look, rows);
}

}  // namespace

FigureKind modelDifferencesFigure() {
    return {"model_differences", QT_TRANSLATE_NOOP("Figures", "Differences by the mixed model"), &available,
            QT_TRANSLATE_NOOP("Figures", "No model of this analyte and measure, or no food to compare with."),
            &draw};
}

}  // namespace aftercurve
