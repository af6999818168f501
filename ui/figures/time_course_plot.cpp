#include "ui/figures/time_course_plot.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "core/findings/adjusted_p.h"
#include "ui/figures/figure_scope.h"
#include "ui/figures/figure_text.h"
#include "ui/figures/plot_frame.h"

namespace aftercurve {

namespace {

const TimeCourseFinding* chosen(const Study& study, const Findings& findings, const FigureChoice& choice) {
    const ChosenKeys keys = chosenKeys(study, findings, choice.analyte, choice.measure);
    for (const TimeCourseFinding& finding : findings.timeCourses) {
        if (finding.analyte == keys.analyte) {
            return &finding;
        }
    }
    return nullptr;
}

bool isShown(const TimeCourseDifference& d, const TimeCourseFinding& finding, const FigureChoice& choice) {
    return d.estimate &&
           (choice.food.empty() || choice.food == finding.comparator || choice.food == finding.foods[d.food]);
}

bool available(const Study& study, const Findings& findings, const FigureChoice& choice) {
    const TimeCourseFinding* finding = chosen(study, findings, choice);
    return finding != nullptr &&
           std::any_of(finding->fit.differences.begin(), finding->fit.differences.end(),
                       [&](const TimeCourseDifference& d) { return isShown(d, *finding, choice); });
}

/// The points of one food: those below the level, and the others.
struct Points {
    std::vector<double> time;
    std::vector<double> estimate;
    QVector<double> minus;
    QVector<double> plus;
    std::vector<double> belowTime;
    std::vector<double> belowEstimate;
};

void draw(QCustomPlot& plot, const Study& study, const Findings& findings, const FigureChoice& choice,
          const FigureStyle& style) {
    const FigureLook look = lookFor(plot, style);
    if (!available(study, findings, choice)) {
        drawEmpty(plot, look, FigureText::tr(timeCourseFigure().emptyText.data()));
        return;
    }
    const TimeCourseFinding& finding = *chosen(study, findings, choice);
    clearPlot(plot, look);
    QCPAxisRect* panel = newPanel(plot, look);
    QCPAxis* x = xAxisOf(*panel);
    QCPAxis* y = yAxisOf(*panel);
    std::vector<KeyEntry> entries;
    std::vector<std::size_t> foods;
    Span up;
    up.take(0.0);
    for (const TimeCourseDifference& d : finding.fit.differences) {
        if (!isShown(d, finding, choice)) {
            continue;
        }
        for (const double value :
             {*d.estimate, d.ciLow.value_or(*d.estimate), d.ciHigh.value_or(*d.estimate)}) {
            up.take(value);
        }
        if (std::find(foods.begin(), foods.end(), d.food) == foods.end()) {
            foods.push_back(d.food);
        }
    }
    const double first = finding.timesMin.front();
    const double last = finding.timesMin.back();
    const double step = (last - first) / 80.0;
    const double farthest = 0.5 * step * static_cast<double>(foods.size());
    Span times;
    times.take(first - farthest);
    times.take(last + farthest);
    x->setRange(timeRange(times, 0.6 * look.mark, 0.85 * std::max(1, plot.width())));
    y->setRange(up.padded(0.06, 0.06));
    QPen zero = solidPen(look.mid, look.thin);
    zero.setDashPattern({3.0, 2.0});
    addLine(*panel, QStringLiteral("zero"), x->range().lower, 0.0, x->range().upper, 0.0, zero);
    for (std::size_t f = 0; f < foods.size(); ++f) {
        Points points;
        // Side by side, so that intervals at one time do not hide each other.
        const double aside =
            step * (static_cast<double>(f) - (static_cast<double>(foods.size()) - 1.0) / 2.0);
        for (const TimeCourseDifference& d : finding.fit.differences) {
            if (d.food != foods[f] || !isShown(d, finding, choice)) {
                continue;
            }
            const double none = std::numeric_limits<double>::quiet_NaN();
            points.time.push_back(finding.timesMin[d.time] + aside);
            points.estimate.push_back(*d.estimate);
            points.minus.push_back(d.ciLow ? *d.estimate - *d.ciLow : none);
            points.plus.push_back(d.ciHigh ? *d.ciHigh - *d.estimate : none);
            if (d.pAdjusted && *d.pAdjusted < findings.plan.alpha) {
                points.belowTime.push_back(points.time.back());
                points.belowEstimate.push_back(*d.estimate);
            }
        }
        const std::string& id = finding.foods[foods[f]];
        const FoodLook food = foodLook(study, id, look);
        QCPScatterStyle open = food.mark;
        open.setBrush(Qt::white);
        open.setPen(solidPen(food.colour, look.line));
        QCPGraph* graph =
            addCurve(*panel, foodLabel(study, id), points.time, points.estimate, food.pen, open);
        graph->setObjectName(QStringLiteral("difference:") + QString::fromStdString(id));
        addErrorBars(*graph, points.minus, points.plus, solidPen(food.colour, look.thin), 2.0 * look.px,
                     QCPErrorBars::etValueError);
        QCPScatterStyle full = food.mark;
        full.setBrush(food.colour);
        full.setPen(solidPen(food.colour, look.line));
        addMarks(*panel, foodLabel(study, id), points.belowTime, points.belowEstimate, full)
            ->setObjectName(QStringLiteral("below:") + QString::fromStdString(id));
        entries.push_back({foodLabel(study, id), food.pen, full, Qt::NoBrush, false});
    }
    setMinuteTicks(*x, 12);
    setNumberTicks(*y, 6);
    const ShownUnit unit = shownUnit(study, finding.analyte);
    showScaled(*y, unit.factor);
    x->setLabel(FigureText::tr("Time after first bite (min)"));
    y->setLabel(broken(
        withUnit(FigureText::tr("Difference in %1").arg(analyteName(finding.analyte).toLower()), unit.unit),
        look.font, 0.8 * plot.height()));
    plot.plotLayout()->addElement(0, 0, new FigureKey(&plot, look, entries));
    plot.plotLayout()->setRowStretchFactor(0, 0.001);
    plot.plotLayout()->addElement(1, 0, panel);
    addCaption(
        plot, look, 2,
        FigureText::tr("%1, difference from %2. Bars: %3 CI of the model, not adjusted. Full marks: p below "
                       "%4, %5 over the "
                       "times of a food.")
            .arg(finding.value == "increment" ? FigureText::tr("Increments")
                                              : FigureText::tr("Concentrations"),
                 foodLabel(study, finding.comparator), confidenceText(findings.plan.alpha),
                 localised(QString::number(findings.plan.alpha)),
                 findings.plan.multiplicity == Multiplicity::none
                     ? FigureText::tr("not adjusted")
                     : FigureText::tr("adjusted by %1")
                           .arg(QString::fromStdString(adjustmentLabel(findings.plan.multiplicity)))));
}

}  // namespace

FigureKind timeCourseFigure() {
    return {"time_course", QT_TRANSLATE_NOOP("Figures", "Differences at each time"), &available,
            QT_TRANSLATE_NOOP("Figures", "No model of the time course, or no food to compare with."), &draw};
}

}  // namespace aftercurve
