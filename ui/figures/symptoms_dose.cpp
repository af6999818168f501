#include <algorithm>

#include "ui/figures/figure_text.h"
#include "ui/figures/plot_frame.h"
#include "ui/figures/symptoms_plot.h"

namespace aftercurve {

namespace {

/// Means of one food by dose.
struct DoseLine {
    std::string food;
    std::vector<const ToleranceSummary*> points;
};

std::optional<std::size_t> shownQuantity(const ToleranceFindings& tolerance, const FigureChoice& choice) {
    std::optional<std::size_t> composite;
    std::optional<std::size_t> firstItem;
    for (std::size_t q = 0; q < tolerance.quantities.size(); ++q) {
        const DiaryQuantity& one = tolerance.quantities[q];
        const bool scored = one.kind == DiaryQuantityKind::item || one.kind == DiaryQuantityKind::composite;
        if (scored && one.id == choice.measure) {
            return q;
        }
        if (one.kind == DiaryQuantityKind::composite) {
            composite = q;
        }
        if (one.kind == DiaryQuantityKind::item && !firstItem) {
            firstItem = q;
        }
    }
    return composite ? composite : firstItem;
}

std::vector<const ToleranceSummary*> meansOf(const ToleranceFindings& tolerance, std::size_t quantity) {
    std::vector<const ToleranceSummary*> means;
    for (const ToleranceSummary& one : tolerance.summaries) {
        if (one.quantity == quantity && one.measure == DiaryMeasure::mean && one.mean.meanDifference) {
            means.push_back(&one);
        }
    }
    return means;
}

std::vector<DoseLine> shownLines(const Findings& findings, const FigureChoice& choice) {
    const ToleranceFindings& tolerance = findings.tolerance;
    const auto quantity = shownQuantity(tolerance, choice);
    std::vector<DoseLine> lines;
    if (!quantity) {
        return lines;
    }
    for (const ToleranceSummary* mean : meansOf(tolerance, *quantity)) {
        const DiaryArm& arm = tolerance.runs.arms[mean->arm];
        if (!arm.doseG || (!choice.food.empty() && arm.food != choice.food)) {
            continue;
        }
        if (lines.empty() || lines.back().food != arm.food) {
            lines.push_back({arm.food, {}});
        }
        lines.back().points.push_back(mean);
    }
    std::erase_if(lines, [](const DoseLine& line) { return line.points.size() < 2; });
    return lines;
}

bool available(const Study& /*study*/, const Findings& findings, const FigureChoice& choice) {
    return !shownLines(findings, choice).empty();
}

void drawLine(QCPAxisRect& panel, const Study& study, const ToleranceFindings& tolerance,
              const DoseLine& line, const FigureLook& look) {
    const FoodLook food = foodLook(study, line.food, look);
    std::vector<double> dose;
    std::vector<double> mean;
    QVector<double> minus;
    QVector<double> plus;
    for (const ToleranceSummary* point : line.points) {
        const double value = *point->mean.meanDifference;
        dose.push_back(*tolerance.runs.arms[point->arm].doseG);
        mean.push_back(value);
        minus.push_back(point->mean.ciLow ? value - *point->mean.ciLow : qQNaN());
        plus.push_back(point->mean.ciHigh ? *point->mean.ciHigh - value : qQNaN());
    }
    QCPGraph* graph = addCurve(panel, foodLabel(study, line.food), dose, mean, food.pen, food.mark);
    graph->setObjectName(QStringLiteral("dose:") + QString::fromStdString(line.food));
    addErrorBars(*graph, minus, plus, solidPen(food.colour, look.thin), 1.3 * look.mark,
                 QCPErrorBars::etValueError);
}

/// The comparator where it has one arm and stands in no line.
const ToleranceSummary* comparatorMean(const ToleranceFindings& tolerance, std::size_t quantity) {
    const ToleranceSummary* found = nullptr;
    for (const ToleranceSummary* mean : meansOf(tolerance, quantity)) {
        if (tolerance.runs.arms[mean->arm].food == tolerance.comparator) {
            if (found != nullptr) {
                return nullptr;
            }
            found = mean;
        }
    }
    return found;
}

std::vector<KeyEntry> keyOf(const Study& study, const ToleranceFindings& tolerance,
                            const std::vector<DoseLine>& lines, const ToleranceSummary* comparator,
                            const QPen& dotted, const FigureLook& look) {
    std::vector<KeyEntry> entries;
    for (const DoseLine& line : lines) {
        const FoodLook food = foodLook(study, line.food, look);
        KeyEntry entry;
        entry.text = foodLabel(study, line.food);
        entry.pen = food.pen;
        entry.mark = food.mark;
        entries.push_back(entry);
    }
    if (comparator != nullptr) {
        KeyEntry entry;
        entry.text = plainLabel(armLabel(study, tolerance.runs.arms[comparator->arm]));
        entry.pen = dotted;
        entries.push_back(entry);
    }
    return entries;
}

void takeAll(const ToleranceSummary& mean, Span& values) {
    for (const auto& value : {mean.mean.meanDifference, mean.mean.ciLow, mean.mean.ciHigh}) {
        if (value) {
            values.take(*value);
        }
    }
}

void draw(QCustomPlot& plot, const Study& study, const Findings& findings, const FigureChoice& choice,
          const FigureStyle& style) {
    const FigureLook look = lookFor(plot, style);
    const ToleranceFindings& tolerance = findings.tolerance;
    const std::vector<DoseLine> lines = shownLines(findings, choice);
    if (lines.empty()) {
        drawEmpty(plot, look, FigureText::tr(symptomsDoseFigure().emptyText.data()));
        return;
    }
    const std::size_t quantity = *shownQuantity(tolerance, choice);
    const ToleranceSummary* comparator = comparatorMean(tolerance, quantity);
    QPen dotted = solidPen(look.mid, look.line);
    dotted.setDashPattern({1.0, 2.5});
    clearPlot(plot, look);
    plot.plotLayout()->addElement(
        0, 0, new FigureKey(&plot, look, keyOf(study, tolerance, lines, comparator, dotted, look)));
    plot.plotLayout()->setRowStretchFactor(0, 0.001);
    QCPAxisRect* panel = newPanel(plot, look);
    plot.plotLayout()->addElement(1, 0, panel);
    Span doses;
    Span values;
    doses.take(0.0);
    values.take(tolerance.quantities[quantity].least);
    for (const DoseLine& line : lines) {
        for (const ToleranceSummary* point : line.points) {
            doses.take(*tolerance.runs.arms[point->arm].doseG);
            takeAll(*point, values);
        }
    }
    if (comparator != nullptr) {
        takeAll(*comparator, values);
    }
    QCPAxis* x = xAxisOf(*panel);
    QCPAxis* y = yAxisOf(*panel);
    x->setRange(doses.padded(0.0, 0.08));
    y->setRange(values.padded(0.04, 0.08));
    setNumberTicks(*x, 6);
    setNumberTicks(*y, 6);
    x->setLabel(FigureText::tr("Dose (g per day)"));
    y->setLabel(
        broken(FigureText::tr("%1, mean of the days").arg(plainLabel(tolerance.quantities[quantity].label)),
               look.font, 0.8 * std::max(1, plot.height())));
    for (const DoseLine& line : lines) {
        drawLine(*panel, study, tolerance, line, look);
    }
    if (comparator != nullptr) {
        addLine(*panel, QStringLiteral("comparator"), x->range().lower, *comparator->mean.meanDifference,
                x->range().upper, *comparator->mean.meanDifference, dotted)
            ->setObjectName(QStringLiteral("comparator"));
    }
    addCaption(
        plot, look, 2,
        FigureText::tr(
            "Means over subjects with %1 CI by t; scores are ordinal, so the interval is a rough guide.")
            .arg(confidenceText(findings.plan.alpha)));
}

}  // namespace

FigureKind symptomsDoseFigure() {
    return {"symptoms_dose", QT_TRANSLATE_NOOP("Figures", "Symptoms over doses"),
            &available,      QT_TRANSLATE_NOOP("Figures", "No food has a diary at two doses or more."),
            &draw,           true};
}

}  // namespace aftercurve
