#include "ui/figures/agreement_plot.h"

#include "ui/figures/figure_scope.h"
#include "ui/figures/figure_text.h"
#include "ui/figures/plot_frame.h"

namespace aftercurve {

namespace {

const AgreementFinding* chosen(const Study& study, const Findings& findings, const FigureChoice& choice) {
    const ChosenKeys keys = chosenKeys(study, findings, choice.analyte, choice.measure);
    for (const AgreementFinding& finding : findings.agreement) {
        if (finding.analyte == keys.analyte && finding.measure == keys.measure && !finding.points.empty() &&
            (choice.food.empty() || finding.food == choice.food)) {
            return &finding;
        }
    }
    return nullptr;
}

bool available(const Study& study, const Findings& findings, const FigureChoice& choice) {
    return chosen(study, findings, choice) != nullptr;
}

/// A horizontal line from edge to edge, the band of its interval, and its name and value at the right.
struct Level {
    QString id;
    QString name;
    std::optional<double> at;
    std::optional<double> low;
    std::optional<double> high;
    bool dashed = false;
};

void drawLevel(QCPAxisRect& panel, const Level& level, const FigureLook& look) {
    if (!level.at) {
        return;
    }
    const QCPRange x = xAxisOf(panel)->range();
    if (level.low && level.high) {
        addBand(panel, x.lower, *level.low, x.upper, *level.high, look.wash);
    }
    QPen pen = solidPen(look.ink, look.line);
    if (level.dashed) {
        pen.setDashPattern({7.0, 2.5});
    }
    addLine(panel, level.id, x.lower, *level.at, x.upper, *level.at, pen)->setObjectName(level.id);
}

QCPAxis* addNames(QCPAxisRect& panel, const std::vector<Level>& levels, double factor,
                  const FigureLook& look) {
    QCPAxis* names = panel.addAxis(QCPAxis::atRight);
    names->grid()->setVisible(false);
    names->setBasePen(Qt::NoPen);
    names->setTickPen(Qt::NoPen);
    names->setTickLength(0, 0);
    names->setSubTicks(false);
    names->setTickLabelFont(look.smallFont);
    names->setTickLabelColor(look.ink);
    names->setTickLabelPadding(static_cast<int>(3.0 * look.px));
    names->setNumberFormat(QStringLiteral("g"));
    std::vector<double> shown;
    for (const Level& level : levels) {
        shown.push_back(level.at.value_or(0.0) * factor);
    }
    const int decimals = decimalsFor(shown);
    std::vector<PlacedLabel> labels;
    for (const Level& level : levels) {
        if (level.at) {
            labels.push_back({*level.at, level.name + u'\n' + numberText(*level.at * factor, decimals)});
        }
    }
    setLabels(*names, labels);
    return names;
}

void draw(QCustomPlot& plot, const Study& study, const Findings& findings, const FigureChoice& choice,
          const FigureStyle& style) {
    const FigureLook look = lookFor(plot, style);
    const AgreementFinding* finding = chosen(study, findings, choice);
    if (finding == nullptr) {
        drawEmpty(plot, look, FigureText::tr(agreementFigure().emptyText.data()));
        return;
    }
    clearPlot(plot, look);
    QCPAxisRect* panel = newPanel(plot, look);
    plot.plotLayout()->addElement(0, 0, panel);
    const Agreement& limits = finding->limits;
    const std::vector<Level> levels{{QStringLiteral("upper limit"), FigureText::tr("Mean + 1.96 SD"),
                                     limits.upperLimit, limits.upperLimitLow, limits.upperLimitHigh, true},
                                    {QStringLiteral("mean difference"), FigureText::tr("Mean"),
                                     limits.meanDifference, limits.meanLow, limits.meanHigh, false},
                                    {QStringLiteral("lower limit"), FigureText::tr("Mean − 1.96 SD"),
                                     limits.lowerLimit, limits.lowerLimitLow, limits.lowerLimitHigh, true}};
    Span means;
    Span differences;
    differences.take(0.0);
    std::vector<double> mean;
    std::vector<double> difference;
    for (const AgreementPoint& point : finding->points) {
        means.take(point.mean);
        differences.take(point.difference);
        mean.push_back(point.mean);
        difference.push_back(point.difference);
    }
    for (const Level& level : levels) {
        for (const auto& value : {level.at, level.low, level.high}) {
            if (value) {
                differences.take(*value);
            }
        }
    }
    const ShownUnit unit = shownMeasureUnit(study, finding->analyte, finding->measure);
    const QString unitText = unit.factor == 1.0 ? plainLabel(finding->unit) : unit.unit;
    QCPAxis* x = xAxisOf(*panel);
    QCPAxis* y = yAxisOf(*panel);
    x->setRange(means.padded(0.06, 0.06));
    y->setRange(differences.padded(0.07, 0.07));
    for (QCPAxis* axis : {x, y}) {
        setNumberTicks(*axis, 6);
        showScaled(*axis, unit.factor);
    }
    const QString food = foodLabel(study, finding->food);
    const QString comparator = foodLabel(study, finding->comparator);
    x->setLabel(
        wrapped(withUnit(FigureText::tr("Mean of the two: %1 of %2")
                             .arg(measureInText(finding->measure), analyteName(finding->analyte).toLower()),
                         unitText),
                look.font, 0.8 * plot.width()));
    y->setLabel(broken(withUnit(FigureText::tr("%1 − %2").arg(food, comparator), unitText), look.font,
                       0.7 * plot.height()));
    for (const Level& level : levels) {
        drawLevel(*panel, level, look);
    }
    QPen zero = solidPen(look.mid, look.thin);
    zero.setDashPattern({1.5, 2.0});
    addLine(*panel, QStringLiteral("zero"), x->range().lower, 0.0, x->range().upper, 0.0, zero);
    addNames(*panel, levels, unit.factor, look)->setRange(y->range());
    addMarks(*panel, QStringLiteral("subjects"), mean, difference, foodLook(study, finding->food, look).mark)
        ->setObjectName(QStringLiteral("subjects"));

    QString note = FigureText::tr("Marks: subjects, n = %1; bands: %2 CI of the mean and of the limits")
                       .arg(QString::number(limits.n), confidenceText(findings.plan.alpha));
    if (!limits.absentBecause.empty()) {
        note += FigureText::tr("; not all can be given: %1").arg(plainLabel(limits.absentBecause));
    }
    addCaption(plot, look, 1, note);
}

}  // namespace

FigureKind agreementFigure() {
    return {"agreement", QT_TRANSLATE_NOOP("Figures", "Difference against mean"), &available,
            QT_TRANSLATE_NOOP("Figures", "No comparison: no subject has both foods."), &draw};
}

}  // namespace aftercurve
