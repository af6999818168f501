#include "ui/figures/index_values.h"

#include <algorithm>
#include <limits>

#include "core/index/index_standards.h"
#include "ui/figures/figure_text.h"
#include "ui/figures/plot_frame.h"

namespace aftercurve {

namespace {

std::vector<const IndexFinding*> shownIndices(const Findings& findings, const ChosenKeys& keys,
                                              const FigureChoice& choice) {
    std::vector<const IndexFinding*> shown;
    for (const IndexFinding& index : findings.index) {
        const bool anyValue =
            std::any_of(index.index.subjects.begin(), index.index.subjects.end(),
                        [](const SubjectIndex& subject) { return subject.value.has_value(); });
        if (index.analyte == keys.analyte && anyValue && (choice.food.empty() || index.food == choice.food)) {
            shown.push_back(&index);
        }
    }
    return shown;
}

bool available(const Study& study, const Findings& findings, const FigureChoice& choice) {
    return !shownIndices(findings, chosenKeys(study, findings, choice.analyte, choice.measure), choice)
                .empty();
}

void drawClasses(QCPAxisRect& panel, const FigureLook& look, const QCPRange& x, double top,
                 const ClassLimitsAsked& limits) {
    // Classes of the rounded value: their limits lie half a unit further.
    const double half = limits.wholeNumber ? 0.5 : 0.0;
    const double lowEnds = limits.lowTo + half;
    const double mediumEnds = limits.mediumTo + half;
    const QColor low(0xF8, 0xF8, 0xF8);
    const QColor middle(0xF0, 0xF0, 0xF0);
    const QColor high(0xE7, 0xE7, 0xE7);
    addBand(panel, x.lower, 0.0, x.upper, lowEnds, low);
    addBand(panel, x.lower, lowEnds, x.upper, mediumEnds, middle);
    addBand(panel, x.lower, mediumEnds, x.upper, top, high);
    QCPAxis* words = panel.addAxis(QCPAxis::atRight);
    words->grid()->setVisible(false);
    words->setBasePen(Qt::NoPen);
    words->setTickPen(Qt::NoPen);
    words->setTickLength(0, 0);
    words->setSubTicks(false);
    words->setTickLabelFont(look.smallFont);
    words->setTickLabelColor(look.mid);
    words->setTickLabelPadding(static_cast<int>(3.0 * look.px));
    words->setNumberFormat(QStringLiteral("g"));
    words->setRange(0.0, top);
    const QString medium = limits.wholeNumber
                               ? FigureText::tr("medium (%1–%2)")
                                     .arg(numberText(limits.lowTo + 1.0, 0), numberText(limits.mediumTo, 0))
                               : FigureText::tr("medium (≤ %1)").arg(numberText(limits.mediumTo, 0));
    setLabels(*words,
              {{limits.lowTo - 7.0, FigureText::tr("low (≤ %1)").arg(numberText(limits.lowTo, 0))},
               {(lowEnds + mediumEnds) / 2.0, medium},
               {limits.mediumTo + 8.0, FigureText::tr("high (> %1)").arg(numberText(limits.mediumTo, 0))},
               {100.0, FigureText::tr("reference")}});
}

/// Dots of one food's subjects, kept and left out ones apart.
void drawDots(QCPAxisRect& panel, const IndexFinding& finding, const FoodLook& food, double at,
              double dotHeight, const FigureLook& look) {
    std::vector<double> all;
    std::vector<bool> leftOut;
    for (const SubjectIndex& subject : finding.index.subjects) {
        if (subject.value) {
            all.push_back(*subject.value);
            leftOut.push_back(subject.leftOut);
        }
    }
    const std::vector<double> across = sideways(all, dotHeight);
    std::vector<double> keptX, keptY, outX, outY;
    for (std::size_t i = 0; i < all.size(); ++i) {
        (leftOut[i] ? outX : keptX).push_back(at - 0.12 + 0.22 * across[i]);
        (leftOut[i] ? outY : keptY).push_back(all[i]);
    }
    QCPScatterStyle dot = scaledMark(food.mark, 0.85);
    dot.setBrush(QBrush(Qt::white));
    const QString id = QString::fromStdString(finding.food);
    addMarks(panel, QStringLiteral("subjects"), keptX, keptY, dot)
        ->setObjectName(QStringLiteral("subjects:") + id);
    if (!outX.empty()) {
        const QCPScatterStyle cross(QCPScatterStyle::ssCross, solidPen(look.mid, look.thin), Qt::NoBrush,
                                    0.85 * look.mark);
        addMarks(panel, QStringLiteral("left out"), outX, outY, cross)
            ->setObjectName(QStringLiteral("left out:") + id);
    }
}

void drawMean(QCPAxisRect& panel, const IndexFinding& finding, const FoodLook& food, double at,
              const FigureLook& look) {
    const FoodIndex& index = finding.index;
    if (!index.mean) {
        return;
    }
    QCPGraph* mean =
        addMarks(panel, QStringLiteral("mean"), {at + 0.25}, {*index.mean}, scaledMark(food.mark, 1.5));
    mean->setObjectName(QStringLiteral("mean:") + QString::fromStdString(finding.food));
    if (index.ciLow && index.ciHigh) {
        addErrorBars(*mean, {*index.mean - *index.ciLow}, {*index.ciHigh - *index.mean},
                     solidPen(food.colour, look.line), 1.3 * look.mark, QCPErrorBars::etValueError);
    }
}

void draw(QCustomPlot& plot, const Study& study, const Findings& findings, const FigureChoice& choice,
          const FigureStyle& style) {
    const FigureLook look = lookFor(plot, style);
    const ChosenKeys keys = chosenKeys(study, findings, choice.analyte, choice.measure);
    const auto shown = shownIndices(findings, keys, choice);
    if (shown.empty()) {
        drawEmpty(plot, look, FigureText::tr(indexFigure().emptyText.data()));
        return;
    }
    clearPlot(plot, look);
    QCPAxisRect* panel = newPanel(plot, look);
    plot.plotLayout()->addElement(0, 0, panel);

    Span values;
    values.take(0.0);
    values.take(110.0);
    bool leftOut = false;
    for (const IndexFinding* finding : shown) {
        for (const SubjectIndex& subject : finding->index.subjects) {
            values.take(subject.value.value_or(0.0));
            leftOut = leftOut || (subject.value && subject.leftOut);
        }
        values.take(finding->index.ciHigh.value_or(0.0));
        values.take(finding->index.ciLow.value_or(0.0));
    }
    QCPAxis* x = xAxisOf(*panel);
    QCPAxis* y = yAxisOf(*panel);
    const QCPRange categories(-0.6, static_cast<double>(shown.size()) - 0.4);
    QCPRange range = values.padded(values.low < 0.0 ? 0.05 : 0.0, 0.05);
    x->setRange(categories);
    y->setRange(range);
    setNumberTicks(*y, 7);
    std::vector<QString> means;
    // All break where one has to, so that their lines stand level.
    bool fit = true;
    const double room = 0.7 * std::max(1, plot.width()) / static_cast<double>(shown.size());
    for (const IndexFinding* finding : shown) {
        QString mean = FigureText::tr("no mean");
        if (finding->index.mean) {
            mean = FigureText::tr("mean %1, n\u00A0=\u00A0%2")
                       .arg(numberText(*finding->index.mean, 0))
                       .arg(finding->index.n);
        }
        fit = fit && QFontMetricsF(look.smallFont).horizontalAdvance(mean) <= room;
        means.push_back(mean);
    }
    std::vector<QString> names;
    for (std::size_t i = 0; i < shown.size(); ++i) {
        names.push_back(wrapped(foodLabel(study, shown[i]->food), look.smallFont, room) + u'\n' +
                        (fit ? means[i] : brokenAtComma(means[i], look.smallFont, 0.0)));
    }
    setCategories(*x, names);
    const bool classes = keys.analyte == "glucose" && rulesOf(findings.plan.indexPlan.standard).classes &&
                         std::any_of(shown.begin(), shown.end(),
                                     [](const IndexFinding* f) { return f->indexClass.has_value(); });
    y->setLabel(keys.analyte == "glucose" ? FigureText::tr("Glycaemic index")
                : keys.analyte == "insulin"
                    ? FigureText::tr("Insulinaemic index")
                    : FigureText::tr("Index of %1").arg(analyteName(keys.analyte).toLower()));
    if (classes) {
        drawClasses(*panel, look, categories, range.upper,
                    rulesOf(findings.plan.indexPlan.standard).classes->value);
        panel->axis(QCPAxis::atRight)->setRange(range);
    }
    QPen reference = solidPen(look.mid, look.thin);
    reference.setDashPattern({3.0, 2.0});
    addLine(*panel, QStringLiteral("reference"), categories.lower, 100.0, categories.upper, 100.0, reference);
    for (std::size_t i = 0; i < shown.size(); ++i) {
        const FoodLook food = foodLook(study, shown[i]->food, look);
        drawDots(*panel, *shown[i], food, static_cast<double>(i), range.size() / 30.0, look);
        drawMean(*panel, *shown[i], food, static_cast<double>(i), look);
    }
    QString note = FigureText::tr("Small marks: subjects; large: mean with %1 CI; reference: %2 = 100")
                       .arg(confidenceText(findings.plan.alpha), foodLabel(study, shown.front()->reference));
    if (leftOut) {
        note += FigureText::tr("; crosses: left out by the outlier rule");
    }
    addCaption(plot, look, 1, note);
}

}  // namespace

FigureKind indexFigure() {
    return {"index", QT_TRANSLATE_NOOP("Figures", "Index"), &available,
            QT_TRANSLATE_NOOP("Figures", "No index: the plan asks for none, or no subject has a reference."),
            &draw};
}

}  // namespace aftercurve
