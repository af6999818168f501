#include "ui/figures/comparison_paired.h"

#include <algorithm>
#include <limits>
#include <optional>

#include "core/findings/adjusted_p.h"
#include "ui/figures/figure_scope.h"
#include "ui/figures/figure_text.h"
#include "ui/figures/plot_frame.h"

namespace aftercurve {

namespace {

const ComparisonFinding* chosenComparison(const Findings& findings, const ChosenKeys& keys,
                                          const FigureChoice& choice) {
    for (const ComparisonFinding& comparison : findings.comparisons) {
        if (comparison.analyte == keys.analyte && comparison.measure == keys.measure &&
            (choice.food.empty() || comparison.food == choice.food) && !comparison.pairs.empty()) {
            return &comparison;
        }
    }
    return nullptr;
}

bool available(const Study& study, const Findings& findings, const FigureChoice& choice) {
    const ChosenKeys keys = chosenKeys(study, findings, choice.analyte, choice.measure);
    return chosenComparison(findings, keys, choice) != nullptr;
}

/// The values that the figure shows, in the unit that it shows them in.
ComparisonFinding inShownUnit(const Study& study, const ComparisonFinding& comparison) {
    ComparisonFinding shown = comparison;
    const ShownUnit unit = shownMeasureUnit(study, comparison.analyte, comparison.measure);
    if (unit.factor == 1.0) {
        return shown;
    }
    shown.unit = unit.unit.toStdString();
    for (PairFinding& pair : shown.pairs) {
        for (double* value : {&pair.food, &pair.comparator, &pair.difference}) {
            *value *= unit.factor;
        }
    }
    for (std::optional<double>* value :
         {&shown.foodMean, &shown.comparatorMean, &shown.t.meanDifference, &shown.t.ciLow, &shown.t.ciHigh}) {
        if (*value) {
            **value *= unit.factor;
        }
    }
    return shown;
}

QString testText(const ComparisonFinding& comparison, const Plan& plan) {
    const PairedT& t = comparison.t;
    QString text =
        FigureText::tr("Mean difference %1").arg(estimateText(t, plainLabel(comparison.unit), plan.alpha));
    if (t.t && t.df && t.p) {
        text += FigureText::tr(", paired t(%1) = %2, %3")
                    .arg(localised(QString::number(*t.df, 'g', 6)), numberText(*t.t, 2), pLabel(*t.p));
        if (comparison.pAdjusted && plan.multiplicity != Multiplicity::none) {
            text += FigureText::tr(", adjusted %1 (%2)")
                        .arg(pLabel(*comparison.pAdjusted),
                             QString::fromStdString(adjustmentLabel(plan.multiplicity)));
        }
    } else if (!t.absentBecause.empty()) {
        text += FigureText::tr("; no test: %1").arg(plainLabel(t.absentBecause));
    }
    if (comparison.foodMean && comparison.comparatorMean) {
        text += FigureText::tr("; bars beside the marks: means");
    }
    return text + u'.';
}

/// Short bar across a category.
void addMeanBar(QCPAxisRect& panel, const QString& name, double at, double mean, const QColor& colour,
                const FigureLook& look) {
    QCPCurve* bar = addLine(panel, name, at - 0.12, mean, at + 0.12, mean, solidPen(colour, 2.4 * look.line));
    bar->setObjectName(name);
}

void drawPairs(QCPAxisRect& panel, const Study& study, const ComparisonFinding& comparison,
               const FigureLook& look, double width, double height) {
    const FoodLook before = foodLook(study, comparison.comparator, look);
    const FoodLook after = foodLook(study, comparison.food, look);
    Span values;
    std::vector<double> comparator;
    std::vector<double> food;
    for (const PairFinding& pair : comparison.pairs) {
        values.take(pair.comparator);
        values.take(pair.food);
        comparator.push_back(pair.comparator);
        food.push_back(pair.food);
    }
    QCPAxis* x = xAxisOf(panel);
    QCPAxis* y = yAxisOf(panel);
    x->setRange(-0.4, 1.4);
    y->setRange(values.padded(0.07, 0.07));
    setNumberTicks(*y, 6);
    setCategories(*x, {wrapped(foodLabel(study, comparison.comparator), look.smallFont, 0.35 * width),
                       wrapped(foodLabel(study, comparison.food), look.smallFont, 0.35 * width)});
    x->setTickLabelFont(look.font);
    y->setLabel(broken(FigureText::tr("%1, %2 (%3)")
                           .arg(measureName(comparison.measure), analyteName(comparison.analyte).toLower(),
                                plainLabel(comparison.unit)),
                       look.font, height));
    for (const PairFinding& pair : comparison.pairs) {
        QCPGraph* line = addCurve(panel, plainLabel(pair.subject), {0.0, 1.0}, {pair.comparator, pair.food},
                                  solidPen(look.light, look.thin), QCPScatterStyle());
        line->setObjectName(QStringLiteral("pair:") + QString::fromStdString(pair.subject));
    }
    addMarks(panel, QStringLiteral("comparator"), std::vector<double>(comparator.size(), 0.0), comparator,
             before.mark);
    addMarks(panel, QStringLiteral("food"), std::vector<double>(food.size(), 1.0), food, after.mark);
    if (comparison.comparatorMean && comparison.foodMean) {
        addMeanBar(panel, QStringLiteral("mean:comparator"), -0.2, *comparison.comparatorMean, before.colour,
                   look);
        addMeanBar(panel, QStringLiteral("mean:food"), 1.2, *comparison.foodMean, after.colour, look);
    }
}

void drawDifferences(QCPAxisRect& panel, const ComparisonFinding& comparison, const QString& categories,
                     const FigureLook& look, double height) {
    Span values;
    values.take(0.0);
    std::vector<double> differences;
    for (const PairFinding& pair : comparison.pairs) {
        values.take(pair.difference);
        differences.push_back(pair.difference);
    }
    const PairedT& t = comparison.t;
    for (const auto& value : {t.ciLow, t.ciHigh, t.meanDifference}) {
        if (value) {
            values.take(*value);
        }
    }
    QCPAxis* x = xAxisOf(panel);
    QCPAxis* y = yAxisOf(panel);
    x->setRange(-0.7, 1.0);
    y->setRange(values.padded(0.07, 0.07));
    setNumberTicks(*y, 6);
    setCategories(*x, {categories});
    x->setTickLabelFont(look.font);
    y->setLabel(
        broken(FigureText::tr("Difference (%1)").arg(plainLabel(comparison.unit)), look.font, height));

    QPen zero = solidPen(look.mid, look.thin);
    zero.setDashPattern({3.0, 2.0});
    addLine(panel, QStringLiteral("zero"), -0.7, 0.0, 1.0, 0.0, zero);
    std::vector<double> across = sideways(differences, y->range().size() / 28.0);
    for (double& offset : across) {
        offset = -0.15 + 0.4 * offset;
    }
    QCPScatterStyle dot(QCPScatterStyle::ssCircle, solidPen(look.mid, look.thin), QBrush(Qt::white),
                        look.mark);
    addMarks(panel, QStringLiteral("differences"), across, differences, dot)
        ->setObjectName(QStringLiteral("differences"));
    if (t.meanDifference) {
        QCPScatterStyle mark(QCPScatterStyle::ssCircle, solidPen(look.ink, look.thin), QBrush(look.ink),
                             1.4 * look.mark);
        QCPGraph* mean = addMarks(panel, QStringLiteral("mean difference"), {0.6}, {*t.meanDifference}, mark);
        mean->setObjectName(QStringLiteral("mean difference"));
        if (t.ciLow && t.ciHigh) {
            addErrorBars(*mean, {*t.meanDifference - *t.ciLow}, {*t.ciHigh - *t.meanDifference},
                         solidPen(look.ink, look.line), 1.4 * look.mark, QCPErrorBars::etValueError);
        }
    }
}

void draw(QCustomPlot& plot, const Study& study, const Findings& findings, const FigureChoice& choice,
          const FigureStyle& style) {
    const FigureLook look = lookFor(plot, style);
    const ChosenKeys keys = chosenKeys(study, findings, choice.analyte, choice.measure);
    const ComparisonFinding* found = chosenComparison(findings, keys, choice);
    if (found == nullptr) {
        drawEmpty(plot, look, FigureText::tr(comparisonPairedFigure().emptyText.data()));
        return;
    }
    const ComparisonFinding shown = inShownUnit(study, *found);
    const ComparisonFinding* comparison = &shown;
    clearPlot(plot, look);
    auto* panels = new QCPLayoutGrid;
    plot.plotLayout()->addElement(0, 0, panels);
    const double width = std::max(1, plot.width());
    const double height = 0.6 * std::max(1, plot.height());
    panels->setColumnSpacing(static_cast<int>(8.0 * look.px));
    QCPAxisRect* left = newPanel(plot, look);
    QCPAxisRect* right = newPanel(plot, look);
    panels->addElement(0, 0, left);
    panels->addElement(0, 1, right);
    panels->setColumnStretchFactor(0, 1.35);
    auto* group = new QCPMarginGroup(&plot);
    left->setMarginGroup(QCP::msBottom | QCP::msTop, group);
    right->setMarginGroup(QCP::msBottom | QCP::msTop, group);
    drawPairs(*left, study, *comparison, look, 0.5 * width, height);
    const QString food = foodLabel(study, comparison->food);
    const QString minus = QChar(0x2212) + QStringLiteral("\u00A0") + foodLabel(study, comparison->comparator);
    const double room = 0.3 * width;
    const bool oneLine = QFontMetricsF(look.font).horizontalAdvance(food + u' ' + minus) <= room;
    const QString label = oneLine ? food + u' ' + minus
                                  : wrapped(food, look.font, room) + u'\n' + wrapped(minus, look.font, room);
    drawDifferences(*right, *comparison, label, look, height);

    auto* text = new TextBlock(&plot, testText(*comparison, findings.plan), look.smallFont, look.ink,
                               TextBlock::Turn::level, Qt::AlignLeft);
    text->setMargins(QMargins(0, static_cast<int>(6.0 * look.px), 0, 0));
    plot.plotLayout()->addElement(1, 0, text);
    plot.plotLayout()->setRowStretchFactor(1, 0.001);
}

}  // namespace

FigureKind comparisonPairedFigure() {
    return {"comparison_paired", QT_TRANSLATE_NOOP("Figures", "Paired comparison"), &available,
            QT_TRANSLATE_NOOP("Figures", "No comparison: no subject has both foods."), &draw};
}

}  // namespace aftercurve
