#include "ui/figures/curves_increment.h"

#include <algorithm>
#include <optional>

#include "core/curve/counted_area.h"
#include "core/curve/measures.h"
#include "core/curve/peak.h"
#include "ui/figures/figure_text.h"
#include "ui/figures/plot_frame.h"

namespace aftercurve {

namespace {

/// One panel: a curve of one visit, or the mean curve of a food.
struct IncrementPanel {
    std::string food;
    QString title;
    const WindowPoints* window = nullptr;
    QString result;
    std::optional<double> value;  ///< of the measure, where the panel shows one visit
};

QString resultText(const QString& measure, std::optional<double> value, const QString& unit) {
    if (!value) {
        return FigureText::tr("%1: none").arg(measure);
    }
    return FigureText::tr("%1: %2 %3").arg(measure, numberText(*value, decimalsFor({&*value, 1})), unit);
}

IncrementPanel visitPanel(const Study& study, const CurveFinding& curve, const ChosenKeys& keys) {
    IncrementPanel panel;
    panel.food = curve.food;
    panel.title = FigureText::tr("%1, subject %2, visit %3")
                      .arg(foodLabel(study, curve.food), plainLabel(curve.subject))
                      .arg(curve.visit);
    if (curve.excluded) {
        panel.title += FigureText::tr(" (excluded)");
    }
    panel.window = &curve.window;
    const auto index = measureIndex(keys.measure);
    if (index && *index < curve.measures.size()) {
        panel.value = curve.measures[*index];
    }
    panel.result =
        resultText(measureName(keys.measure), panel.value, measureUnit(study, keys.analyte, keys.measure));
    return panel;
}

IncrementPanel meanPanel(const Study& study, const Findings& findings, const MeanCurve& curve,
                         const ChosenKeys& keys) {
    IncrementPanel panel;
    panel.food = curve.food;
    panel.title = FigureText::tr("%1, mean curve").arg(foodLabel(study, curve.food));
    panel.window = &curve.window;
    // The measure of the mean curve is not the mean of the measures; the findings hold the latter, and it is
    // the one that is compared.
    for (const FoodSummary& summary : findings.summaries) {
        if (summary.food == curve.food && summary.analyte == keys.analyte &&
            summary.measure == keys.measure && summary.mean) {
            const int decimals = decimalsFor({&*summary.mean, 1});
            const QString mean = numberText(*summary.mean, decimals);
            const QString unit = measureUnit(study, keys.analyte, keys.measure);
            panel.result = summary.sem
                               ? FigureText::tr("%1: %2\u00A0±\u00A0%3 %4 (mean ± SEM of\u00A0%5)")
                                     .arg(measureName(keys.measure), mean, numberText(*summary.sem, decimals), unit)
                                     .arg(summary.n)
                               : FigureText::tr("%1: %2 %3 (n\u00A0=\u00A0%4)")
                                     .arg(measureName(keys.measure), mean, unit)
                                     .arg(summary.n);
        }
    }
    return panel;
}

std::vector<IncrementPanel> panelsFor(const Study& study, const Findings& findings, const ChosenKeys& keys,
                                      const FigureChoice& choice) {
    std::vector<IncrementPanel> panels;
    if (choice.subject.empty()) {
        for (const MeanCurve& curve : findings.meanCurves) {
            if (curve.analyte == keys.analyte && curve.window.usable() && !curve.window.timeMin.empty() &&
                (choice.food.empty() || curve.food == choice.food)) {
                panels.push_back(meanPanel(study, findings, curve, keys));
            }
        }
        return panels;
    }
    for (const CurveFinding& curve : findings.curves) {
        const bool wanted = curve.analyte == keys.analyte && curve.subject == choice.subject &&
                            (choice.food.empty() || curve.food == choice.food) &&
                            !curve.window.timeMin.empty();
        if (!wanted) {
            continue;
        }
        const bool firstOfFood = panels.empty() || panels.back().food != curve.food;
        if (choice.visit == 0 ? firstOfFood : curve.visit == choice.visit) {
            panels.push_back(visitPanel(study, curve, keys));
        }
    }
    return panels;
}

bool available(const Study& study, const Findings& findings, const FigureChoice& choice) {
    return !panelsFor(study, findings, chosenKeys(study, findings, choice.analyte, choice.measure), choice)
                .empty();
}

/// What the curve is drawn over.
struct Level {
    double value = 0.0;
    QString label;  ///< of the line at it
    QString axis;   ///< of the values over it
};

Level levelFor(const WindowPoints& window, const ChosenKeys& keys) {
    const QString analyte = analyteName(keys.analyte);
    if (keys.measure == "area_total") {
        return {0.0, FigureText::tr("zero"), analyte};
    }
    if (keys.measure == "area_above_minimum") {
        return {*std::min_element(window.value.begin(), window.value.end()), FigureText::tr("lowest value"),
                FigureText::tr("%1 above lowest value").arg(analyte)};
    }
    return {window.baseline, FigureText::tr("baseline"), FigureText::tr("%1 increment").arg(analyte)};
}

/// A measure that is no area: its point, its height or its time.
void markMeasure(QCPAxisRect& panel, const IncrementPanel& content, const Level& level,
                 const ChosenKeys& keys, const FigureLook& look) {
    const WindowPoints& window = *content.window;
    QPen guide = solidPen(look.mid, look.thin);
    guide.setDashPattern({3.0, 2.0});
    const double bottom = yAxisOf(panel)->range().lower;
    if (keys.measure == "time_to_return_min") {
        if (content.value) {
            addLine(panel, QStringLiteral("measure"), *content.value, bottom, *content.value,
                    window.baseline - level.value, guide);
        }
        return;
    }
    const std::size_t at = peakIndex(window.value);
    const double time = window.timeMin[at];
    const double height = window.value[at] - level.value;
    if (keys.measure == "time_to_peak_min") {
        addLine(panel, QStringLiteral("measure"), time, bottom, time, height, guide);
    } else {
        addLine(panel, QStringLiteral("measure"), time, window.baseline - level.value, time, height, guide);
    }
    QCPScatterStyle ring(QCPScatterStyle::ssCircle, solidPen(look.ink, 1.4 * look.thin), Qt::NoBrush,
                         2.1 * look.mark);
    addMarks(panel, QStringLiteral("peak"), {time}, {height}, ring);
}

struct Ranges {
    QCPRange time;
    QCPRange value;
};

Ranges rangesFor(const std::vector<IncrementPanel>& panels, const ChosenKeys& keys) {
    Span times;
    Span values;
    values.take(0.0);
    for (const IncrementPanel& panel : panels) {
        const Level level = levelFor(*panel.window, keys);
        for (std::size_t i = 0; i < panel.window->timeMin.size(); ++i) {
            times.take(panel.window->timeMin[i]);
            values.take(panel.window->value[i] - level.value);
        }
    }
    const double below = keys.measure == "area_total" ? 0.0 : 0.10;
    return {times.padded(0.03, 0.03), values.padded(below, 0.08)};
}

void drawPanel(QCustomPlot& plot, QCPLayoutGrid& cell, const Study& study, const IncrementPanel& content,
               const Ranges& ranges, const ChosenKeys& keys, const FigureLook& look, double cellWidth,
               bool first) {
    const FoodLook food = foodLook(study, content.food, look);
    const Level level = levelFor(*content.window, keys);
    QCPAxisRect* panel = newPanel(plot, look);
    cell.addElement(0, 0, panel);
    QCPAxis* x = xAxisOf(*panel);
    QCPAxis* y = yAxisOf(*panel);
    x->setRange(ranges.time);
    y->setRange(ranges.value);
    setMinuteTicks(*x, cellWidth > 200.0 * look.px ? 8 : 4);
    setNumberTicks(*y, 5);
    x->setLabel(wrapped(FigureText::tr("Time after first bite (min)"), look.font, 0.75 * cellWidth));
    if (first) {
        y->setLabel(
            broken(withUnit(level.axis, analyteUnit(study, keys.analyte)), look.font, 0.6 * plot.height()));
    }
    const QString heading = wrapped(content.title, look.font, 0.8 * cellWidth);
    const QString result = wrapped(content.result, look.smallFont, 0.8 * cellWidth);
    const double headingHeight =
        QFontMetricsF(look.font).height() * (1 + static_cast<double>(heading.count(u'\n')));
    const double resultHeight =
        QFontMetricsF(look.smallFont).height() * (1 + static_cast<double>(result.count(u'\n')));
    panel->setMinimumMargins(QMargins(panel->minimumMargins().left(),
                                      static_cast<int>(headingHeight + resultHeight + 5.0 * look.px),
                                      panel->minimumMargins().right(), panel->minimumMargins().bottom()));
    QCPItemText* title =
        addNote(*panel, heading, look.font, look.ink, 0.0, 0.0, Qt::AlignBottom | Qt::AlignLeft);
    title->setPadding(QMargins(0, 0, 0, static_cast<int>(resultHeight + 4.0 * look.px)));
    QCPItemText* note =
        addNote(*panel, result, look.smallFont, look.ink, 0.0, 0.0, Qt::AlignBottom | Qt::AlignLeft);
    note->setPadding(QMargins(0, 0, 0, static_cast<int>(3.0 * look.px)));

    const auto regions = countedRegions(*content.window, keys.measure);
    for (const CountedRegion& region : regions) {
        addRegion(*panel, region, level.value, food.fill, solidPen(food.colour, 0.5 * look.thin));
    }
    QPen levelPen = solidPen(look.mid, look.thin);
    addLine(*panel, QStringLiteral("level"), ranges.time.lower, 0.0, ranges.time.upper, 0.0, levelPen);
    auto* label = new QCPItemText(&plot);
    label->position->setAxisRect(panel);
    label->position->setAxes(x, y);
    label->position->setTypeX(QCPItemPosition::ptAxisRectRatio);
    label->position->setTypeY(QCPItemPosition::ptPlotCoords);
    label->position->setCoords(0.0, 0.0);
    label->setPositionAlignment(Qt::AlignLeft | Qt::AlignTop);
    label->setClipToAxisRect(false);
    label->setFont(look.smallFont);
    label->setColor(look.mid);
    label->setPadding(QMargins(static_cast<int>(4.0 * look.px), static_cast<int>(1.0 * look.px), 0, 0));
    label->setText(level.label);

    std::vector<double> increments = content.window->value;
    for (double& value : increments) {
        value -= level.value;
    }
    QPen pen = solidPen(food.colour, look.line);
    QCPGraph* graph = addCurve(*panel, content.title, content.window->timeMin, increments, pen, food.mark);
    graph->setObjectName(QStringLiteral("increment:") + QString::fromStdString(content.food));
    if (regions.empty()) {
        markMeasure(*panel, content, level, keys, look);
    }
}

void draw(QCustomPlot& plot, const Study& study, const Findings& findings, const FigureChoice& choice,
          const FigureStyle& style) {
    const FigureLook look = lookFor(plot, style);
    const ChosenKeys keys = chosenKeys(study, findings, choice.analyte, choice.measure);
    const auto panels = panelsFor(study, findings, keys, choice);
    if (panels.empty()) {
        drawEmpty(plot, look, FigureText::tr(curvesIncrementFigure().emptyText.data()));
        return;
    }
    clearPlot(plot, look);
    const Ranges ranges = rangesFor(panels, keys);

    const double width = std::max(1, plot.width());
    const int fitting = std::max(1, static_cast<int>(width / (115.0 * look.px)));
    const int columns = std::min(static_cast<int>(panels.size()), fitting);
    auto* group = new QCPMarginGroup(&plot);
    for (std::size_t i = 0; i < panels.size(); ++i) {
        const int row = static_cast<int>(i) / columns;
        const int column = static_cast<int>(i) % columns;
        auto* cell = new QCPLayoutGrid;
        plot.plotLayout()->addElement(row, column, cell);
        drawPanel(plot, *cell, study, panels[i], ranges, keys, look, width / columns, column == 0);
        if (auto* panel = qobject_cast<QCPAxisRect*>(cell->element(0, 0))) {
            panel->setMarginGroup(QCP::msTop | QCP::msLeft, group);
        }
    }
}

}  // namespace

FigureKind curvesIncrementFigure() {
    return {"curves_increment", QT_TRANSLATE_NOOP("Figures", "What the area counts"), &available,
            QT_TRANSLATE_NOOP("Figures", "No curve with a baseline and a full window."), &draw};
}

}  // namespace aftercurve
