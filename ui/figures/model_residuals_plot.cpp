#include "ui/figures/model_residuals_plot.h"

#include <map>

#include "ui/figures/figure_text.h"
#include "ui/figures/plot_frame.h"

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

bool available(const Study& study, const Findings& findings, const FigureChoice& choice) {
    const ModelFinding* model = chosen(study, findings, choice);
    return model != nullptr && !model->residuals.residuals.empty();
}

/// Marks of one food in both panels.
struct OfFood {
    std::vector<double> fitted;
    std::vector<double> residual;
    std::vector<double> normal;
    std::vector<double> sorted;
};

void dashed(QCPAxisRect& panel, const QString& name, double x1, double y1, double x2, double y2,
            const FigureLook& look) {
    QPen pen = solidPen(look.mid, look.thin);
    pen.setDashPattern({3.0, 2.0});
    addLine(panel, name, x1, y1, x2, y2, pen);
}

void draw(QCustomPlot& plot, const Study& study, const Findings& findings, const FigureChoice& choice,
          const FigureStyle& style) {
    const FigureLook look = lookFor(plot, style);
    if (!available(study, findings, choice)) {
        drawEmpty(plot, look, FigureText::tr(modelResidualsFigure().emptyText.data()));
        return;
    }
    const ModelFinding& model = *chosen(study, findings, choice);
    const ModelResiduals& found = model.residuals;
    clearPlot(plot, look);
    std::map<std::string, OfFood> byFood;
    Span across;
    Span up;
    Span quantile;
    up.take(0.0);
    for (const ModelResidual& residual : found.residuals) {
        OfFood& food = byFood[model.rows[residual.row].food];
        food.fitted.push_back(residual.fitted);
        food.residual.push_back(residual.residual);
        across.take(residual.fitted);
        up.take(residual.residual);
    }
    for (const QuantilePoint& point : found.residualQuantiles.points) {
        OfFood& food = byFood[model.rows[found.residuals[point.index].row].food];
        food.normal.push_back(point.normal);
        food.sorted.push_back(point.value);
        quantile.take(point.normal);
    }
    QCPAxisRect* left = newPanel(plot, look);
    QCPAxisRect* right = newPanel(plot, look);
    xAxisOf(*left)->setRange(across.padded(0.06, 0.06));
    xAxisOf(*right)->setRange(quantile.padded(0.08, 0.08));
    const auto& line = found.residualQuantiles;
    if (line.intercept && line.slope) {
        for (const double z : {xAxisOf(*right)->range().lower, xAxisOf(*right)->range().upper}) {
            up.take(*line.intercept + *line.slope * z);
        }
    }
    for (QCPAxisRect* panel : {left, right}) {
        yAxisOf(*panel)->setRange(up.padded(0.06, 0.06));
        setNumberTicks(*yAxisOf(*panel), 6);
        setNumberTicks(*xAxisOf(*panel), 5);
    }
    dashed(*left, QStringLiteral("zero"), xAxisOf(*left)->range().lower, 0.0, xAxisOf(*left)->range().upper,
           0.0, look);
    if (line.intercept && line.slope) {
        const QCPRange range = xAxisOf(*right)->range();
        dashed(*right, QStringLiteral("line"), range.lower, *line.intercept + *line.slope * range.lower,
               range.upper, *line.intercept + *line.slope * range.upper, look);
    }
    std::vector<KeyEntry> entries;
    for (const Food& food : study.foods) {
        const auto of = byFood.find(food.id);
        if (of == byFood.end()) {
            continue;
        }
        const FoodLook foodStyle = foodLook(study, food.id, look);
        addMarks(*left, foodLabel(study, food.id), of->second.fitted, of->second.residual, foodStyle.mark)
            ->setObjectName(QStringLiteral("residuals:") + QString::fromStdString(food.id));
        addMarks(*right, foodLabel(study, food.id), of->second.normal, of->second.sorted, foodStyle.mark)
            ->setObjectName(QStringLiteral("quantiles:") + QString::fromStdString(food.id));
        entries.push_back({foodLabel(study, food.id), Qt::NoPen, foodStyle.mark, Qt::NoBrush, false});
    }
    const QString unit = plainLabel(model.unit);
    xAxisOf(*left)->setLabel(withUnit(FigureText::tr("Fitted %1").arg(measureInText(model.measure)), unit));
    xAxisOf(*right)->setLabel(FigureText::tr("Standard normal quantile"));
    yAxisOf(*left)->setLabel(
        withUnit(FigureText::tr("Residual, %1").arg(analyteName(model.analyte).toLower()), unit));
    plot.plotLayout()->addElement(0, 0, new FigureKey(&plot, look, entries));
    plot.plotLayout()->setRowStretchFactor(0, 0.001);
    auto* both = new QCPLayoutGrid;
    plot.plotLayout()->addElement(1, 0, both);
    both->addElement(0, 0, left);
    both->addElement(0, 1, right);
    both->setColumnSpacing(static_cast<int>(12.0 * look.px));
}

}  // namespace

FigureKind modelResidualsFigure() {
    return {"model_residuals", QT_TRANSLATE_NOOP("Figures", "Residuals of the mixed model"), &available,
            QT_TRANSLATE_NOOP("Figures", "No model of this analyte and measure, so there are no residuals."),
            &draw};
}

}  // namespace aftercurve
