#include <algorithm>
#include <set>
#include <string>

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

/// The comparator where it has one arm: a dotted line across the doses.
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

double doseOf(const ToleranceFindings& tolerance, const ToleranceSummary& mean) {
    return tolerance.runs.arms[mean.arm].doseG.value_or(0.0);
}

/// The foods by dose, those with one dose too; none where there are not two doses in all.
std::vector<DoseLine> shownLines(const Findings& findings, const FigureChoice& choice) {
    const ToleranceFindings& tolerance = findings.tolerance;
    const auto quantity = shownQuantity(tolerance, choice);
    std::vector<DoseLine> lines;
    if (!quantity) {
        return lines;
    }
    const ToleranceSummary* comparator = comparatorMean(tolerance, *quantity);
    std::set<double> doses;
    for (const ToleranceSummary* mean : meansOf(tolerance, *quantity)) {
        const DiaryArm& arm = tolerance.runs.arms[mean->arm];
        if (!arm.doseG) {
            continue;
        }
        if (mean == comparator) {
            doses.insert(*arm.doseG);
            continue;
        }
        if (!choice.food.empty() && arm.food != choice.food) {
            continue;
        }
        doses.insert(*arm.doseG);
        if (lines.empty() || lines.back().food != arm.food) {
            lines.push_back({arm.food, {}});
        }
        lines.back().points.push_back(mean);
    }
    if (doses.size() < 2) {
        lines.clear();
    }
    return lines;
}

bool available(const Study& /*study*/, const Findings& findings, const FigureChoice& choice) {
    return !shownLines(findings, choice).empty();
}

/// How far points of this line stand beside a dose that other foods have too, in steps.
double stepsBeside(const ToleranceFindings& tolerance, const std::vector<DoseLine>& lines,
                   const DoseLine& line, double dose) {
    double place = 0.0;
    double count = 0.0;
    for (const DoseLine& other : lines) {
        const bool has =
            std::any_of(other.points.begin(), other.points.end(),
                        [&](const ToleranceSummary* point) { return doseOf(tolerance, *point) == dose; });
        if (&other == &line) {
            place = count;
        }
        count += has ? 1.0 : 0.0;
    }
    return place - 0.5 * (count - 1.0);
}

void addPoints(QCPAxisRect& panel, const Study& study, const std::string& id, const std::vector<double>& at,
               const std::vector<const ToleranceSummary*>& means, const QPen& pen, const FigureLook& look) {
    const FoodLook food = foodLook(study, id, look);
    std::vector<double> value;
    QVector<double> minus;
    QVector<double> plus;
    for (const ToleranceSummary* point : means) {
        const double mean = *point->mean.meanDifference;
        value.push_back(mean);
        minus.push_back(point->mean.ciLow ? mean - *point->mean.ciLow : qQNaN());
        plus.push_back(point->mean.ciHigh ? *point->mean.ciHigh - mean : qQNaN());
    }
    QCPGraph* graph = addCurve(panel, foodLabel(study, id), at, value, pen, food.mark);
    graph->setObjectName(QStringLiteral("dose:") + QString::fromStdString(id));
    addErrorBars(*graph, minus, plus, solidPen(food.colour, look.thin), 1.3 * look.mark,
                 QCPErrorBars::etValueError);
}

/// A food of one dose has no line, and its key names the dose.
bool isLine(const DoseLine& line) {
    return line.points.size() > 1;
}

std::vector<KeyEntry> keyOf(const Study& study, const ToleranceFindings& tolerance,
                            const std::vector<DoseLine>& lines, const ToleranceSummary* comparator,
                            const QPen& dotted, const FigureLook& look) {
    const auto armOf = [&](const ToleranceSummary& mean) {
        return plainLabel(armLabel(study, tolerance.runs.arms[mean.arm]));
    };
    std::vector<KeyEntry> entries;
    for (const DoseLine& line : lines) {
        const FoodLook food = foodLook(study, line.food, look);
        KeyEntry entry;
        entry.text = isLine(line) ? foodLabel(study, line.food) : armOf(*line.points.front());
        if (isLine(line)) {
            entry.pen = food.pen;
        }
        entry.mark = food.mark;
        entries.push_back(entry);
    }
    if (comparator != nullptr) {
        KeyEntry entry;
        entry.text = armOf(*comparator);
        entry.pen = dotted;
        if (tolerance.runs.arms[comparator->arm].doseG) {
            entry.mark = foodLook(study, tolerance.comparator, look).mark;
        }
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
            doses.take(doseOf(tolerance, *point));
            takeAll(*point, values);
        }
    }
    if (comparator != nullptr) {
        takeAll(*comparator, values);
        doses.take(doseOf(tolerance, *comparator));
    }
    QCPAxis* x = xAxisOf(*panel);
    QCPAxis* y = yAxisOf(*panel);
    const double length = 0.85 * std::max(1, plot.width());
    x->setRange(timeRange(doses, 2.0 * look.mark, length));
    y->setRange(values.padded(0.04, 0.08));
    setNumberTicks(*x, 6);
    setNumberTicks(*y, 6);
    x->setLabel(FigureText::tr("Dose (g per day)"));
    y->setLabel(
        broken(FigureText::tr("%1, mean of the days").arg(plainLabel(tolerance.quantities[quantity].label)),
               look.font, 0.8 * std::max(1, plot.height())));
    const double apart = 1.6 * look.mark / length * x->range().size();
    for (const DoseLine& line : lines) {
        std::vector<double> at;
        for (const ToleranceSummary* point : line.points) {
            const double dose = doseOf(tolerance, *point);
            at.push_back(dose + apart * stepsBeside(tolerance, lines, line, dose));
        }
        const QPen pen = isLine(line) ? foodLook(study, line.food, look).pen : QPen(Qt::NoPen);
        addPoints(*panel, study, line.food, at, line.points, pen, look);
    }
    if (comparator != nullptr) {
        addLine(*panel, QStringLiteral("comparator"), x->range().lower, *comparator->mean.meanDifference,
                x->range().upper, *comparator->mean.meanDifference, dotted)
            ->setObjectName(QStringLiteral("comparator"));
        if (tolerance.runs.arms[comparator->arm].doseG) {
            addPoints(*panel, study, tolerance.comparator, {doseOf(tolerance, *comparator)}, {comparator},
                      Qt::NoPen, look);
        }
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
            &available,      QT_TRANSLATE_NOOP("Figures", "No diary at two doses or more."),
            &draw,           true};
}

}  // namespace aftercurve
