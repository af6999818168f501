#include "ui/figures/normal_quantile_plot.h"

#include "ui/figures/figure_text.h"
#include "ui/figures/plot_frame.h"

namespace aftercurve {

namespace {

const CompanionFinding* chosen(const Study& study, const Findings& findings, const FigureChoice& choice) {
    const ChosenKeys keys = chosenKeys(study, findings, choice.analyte, choice.measure);
    for (const CompanionFinding& c : findings.companions.comparisons) {
        if (c.analyte == keys.analyte && c.measure == keys.measure &&
            (choice.food.empty() || c.food == choice.food)) {
            return &c;
        }
    }
    return nullptr;
}

bool available(const Study& study, const Findings& findings, const FigureChoice& choice) {
    const CompanionFinding* found = chosen(study, findings, choice);
    return found != nullptr && found->quantiles.points.size() > 1;
}

void draw(QCustomPlot& plot, const Study& study, const Findings& findings, const FigureChoice& choice,
          const FigureStyle& style) {
    const FigureLook look = lookFor(plot, style);
    if (!available(study, findings, choice)) {
        drawEmpty(plot, look, FigureText::tr(normalQuantilesFigure().emptyText.data()));
        return;
    }
    const CompanionFinding& c = *chosen(study, findings, choice);
    clearPlot(plot, look);
    QCPAxisRect* panel = newPanel(plot, look);
    plot.plotLayout()->addElement(0, 0, panel);
    QCPAxis* x = xAxisOf(*panel);
    QCPAxis* y = yAxisOf(*panel);
    Span across;
    Span up;
    std::vector<double> normal;
    std::vector<double> value;
    std::vector<double> farNormal;
    std::vector<double> farValue;
    for (const QuantilePoint& point : c.quantiles.points) {
        across.take(point.normal);
        up.take(point.value);
        const bool flagged =
            point.index < c.influence.subjects.size() && c.influence.subjects[point.index].flagged;
        (flagged ? farNormal : normal).push_back(point.normal);
        (flagged ? farValue : value).push_back(point.value);
    }
    x->setRange(across.padded(0.08, 0.08));
    if (c.quantiles.intercept && c.quantiles.slope) {
        for (const double z : {x->range().lower, x->range().upper}) {
            up.take(*c.quantiles.intercept + *c.quantiles.slope * z);
        }
    }
    y->setRange(up.padded(0.06, 0.06));
    setNumberTicks(*x, 6);
    setNumberTicks(*y, 6);
    x->setLabel(FigureText::tr("Standard normal quantile"));
    y->setLabel(broken(withUnit(FigureText::tr("Difference in %1 of %2, %3 − %4")
                                    .arg(measureInText(c.measure), analyteName(c.analyte).toLower(),
                                         foodLabel(study, c.food), foodLabel(study, c.comparator)),
                                plainLabel(c.unit)),
                       look.font, 0.8 * plot.height()));
    if (c.quantiles.intercept && c.quantiles.slope) {
        QPen dashed = solidPen(look.mid, look.thin);
        dashed.setDashPattern({3.0, 2.0});
        const double from = x->range().lower;
        const double to = x->range().upper;
        addLine(*panel, QStringLiteral("line"), from, *c.quantiles.intercept + *c.quantiles.slope * from, to,
                *c.quantiles.intercept + *c.quantiles.slope * to, dashed);
    }
    const FoodLook food = foodLook(study, c.food, look);
    addMarks(*panel, FigureText::tr("Subjects"), normal, value, food.mark)
        ->setObjectName(QStringLiteral("quantiles"));
    if (!farValue.empty()) {
        addMarks(*panel, FigureText::tr("Flagged"), farNormal, farValue, scaledMark(food.mark, 1.8))
            ->setObjectName(QStringLiteral("flagged"));
    }
    QString note = FigureText::tr("n = %1").arg(c.quantiles.points.size());
    if (!farValue.empty()) {
        note += FigureText::tr("; large marks: flagged by studentised residual");
    }
    addNote(*panel, note, look.smallFont, look.ink, 0.02, 0.02, Qt::AlignLeft | Qt::AlignTop);
}

}  // namespace

FigureKind normalQuantilesFigure() {
    return {"normal_quantiles", QT_TRANSLATE_NOOP("Figures", "Differences over normal quantiles"), &available,
            QT_TRANSLATE_NOOP("Figures", "Normal quantiles need a comparison of two subjects or more."),
            &draw};
}

}  // namespace aftercurve
