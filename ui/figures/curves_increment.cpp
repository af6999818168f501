#include "ui/figures/curves_increment.h"

#include <algorithm>
#include <optional>

#include "core/curve/counted_area.h"
#include "core/curve/measures.h"
#include "core/curve/peak.h"
#include "ui/figures/figure_scope.h"
#include "ui/figures/figure_text.h"
#include "ui/figures/panel_grid.h"

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

IncrementPanel visitPanel(const Study& study, const CurveFinding& curve, const ChosenKeys& keys) {
    IncrementPanel panel;
    panel.food = curve.food;
    panel.title =
        FigureText::tr("%1, visit\u00A0%2").arg(foodLabel(study, curve.food), QString::number(curve.visit));
    panel.window = &curve.window;
    const auto index = measureIndex(keys.measure);
    if (index && *index < curve.measures.size()) {
        panel.value = curve.measures[*index];
    }
    panel.result = FigureText::tr("none");
    if (panel.value) {
        const ShownUnit unit = shownMeasureUnit(study, keys.analyte, keys.measure);
        const double shown = *panel.value * unit.factor;
        panel.result = numberText(shown, decimalsFor({&shown, 1})) + u' ' + unit.unit;
    }
    if (curve.excluded) {
        panel.result += FigureText::tr(" (excluded)");
    }
    return panel;
}

IncrementPanel meanPanel(const Study& study, const Findings& findings, const MeanCurve& curve,
                         const ChosenKeys& keys) {
    IncrementPanel panel;
    panel.food = curve.food;
    panel.title = foodLabel(study, curve.food);
    panel.window = &curve.window;
    // The measure of the mean curve is not the mean of the measures; the findings hold the latter, and it is
    // the one that is compared.
    for (const FoodSummary& summary : findings.summaries) {
        if (summary.food == curve.food && summary.analyte == keys.analyte &&
            summary.measure == keys.measure && summary.mean) {
            const ShownUnit unit = shownMeasureUnit(study, keys.analyte, keys.measure);
            const double shown = *summary.mean * unit.factor;
            const int decimals = decimalsFor({&shown, 1});
            panel.result = numberText(shown, decimals);
            if (summary.sem) {
                panel.result +=
                    QStringLiteral("\u00A0±\u00A0") + numberText(*summary.sem * unit.factor, decimals);
            }
            panel.result = FigureText::tr("%1 %2, n\u00A0=\u00A0%3")
                               .arg(panel.result, unit.unit, QString::number(summary.n));
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
    QString label;  ///< of the line at it; none where that is the axis
    QString axis;   ///< of the values over it
};

Level levelFor(const WindowPoints& window, const ChosenKeys& keys) {
    const QString analyte = analyteName(keys.analyte);
    if (keys.measure == "area_total") {
        return {0.0, {}, analyte};
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
        if (const auto time = timeToReturn(window.timeMin, window.value, window.baseline)) {
            addLine(panel, QStringLiteral("measure"), *time, bottom, *time, window.baseline - level.value,
                    guide);
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

Ranges rangesFor(const std::vector<IncrementPanel>& panels, const ChosenKeys& keys, double panelPixels,
                 const FigureLook& look) {
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
    return {timeRange(times, 0.6 * look.mark, panelPixels), values.padded(below, 0.08)};
}

/// Heading of a panel, wrapped to its width.
struct Heading {
    QString title;
    QString result;
    double titlePixels = 0.0;
    double resultPixels = 0.0;
};

Heading headingFor(const IncrementPanel& content, double width, const FigureLook& look) {
    const auto height = [](const QString& text, const QFont& font) {
        return text.isEmpty()
                   ? 0.0
                   : QFontMetricsF(font).lineSpacing() * (1.0 + static_cast<double>(text.count(u'\n')));
    };
    Heading heading;
    heading.title = wrapped(content.title, look.font, width);
    heading.result = wrapped(brokenAtComma(content.result, look.smallFont, width), look.smallFont, width);
    heading.titlePixels = height(heading.title, look.font);
    heading.resultPixels = height(heading.result, look.smallFont);
    return heading;
}

/// The line that the area is counted from, with its name under it.
void drawLevel(QCPAxisRect& panel, const Level& level, const FigureLook& look) {
    const QCPRange time = xAxisOf(panel)->range();
    addLine(panel, QStringLiteral("level"), time.lower, 0.0, time.upper, 0.0, solidPen(look.mid, look.thin));
    if (level.label.isEmpty()) {
        return;
    }
    auto* label = new QCPItemText(xAxisOf(panel)->parentPlot());
    label->position->setAxisRect(&panel);
    label->position->setAxes(xAxisOf(panel), yAxisOf(panel));
    label->position->setTypeX(QCPItemPosition::ptAxisRectRatio);
    label->position->setTypeY(QCPItemPosition::ptPlotCoords);
    label->position->setCoords(0.0, 0.0);
    label->setPositionAlignment(Qt::AlignLeft | Qt::AlignTop);
    label->setClipToAxisRect(false);
    label->setFont(look.smallFont);
    label->setColor(look.mid);
    label->setPadding(QMargins(static_cast<int>(4.0 * look.px), static_cast<int>(look.px), 0, 0));
    label->setText(level.label);
}

void drawPanel(QCPAxisRect& panel, const Study& study, const IncrementPanel& content, const Heading& heading,
               const ChosenKeys& keys, const FigureLook& look) {
    const FoodLook food = foodLook(study, content.food, look);
    const Level level = levelFor(*content.window, keys);
    const int under = static_cast<int>(3.0 * look.px);
    QCPItemText* title =
        addNote(panel, heading.title, look.font, look.ink, 0.0, 0.0, Qt::AlignBottom | Qt::AlignLeft);
    title->setPadding(QMargins(0, 0, 0, static_cast<int>(heading.resultPixels) + under));
    QCPItemText* note =
        addNote(panel, heading.result, look.smallFont, look.ink, 0.0, 0.0, Qt::AlignBottom | Qt::AlignLeft);
    note->setPadding(QMargins(0, 0, 0, under));

    const auto regions = countedRegions(*content.window, keys.measure);
    for (const CountedRegion& region : regions) {
        addRegion(panel, region, level.value, food.fill, solidPen(food.colour, 0.7 * look.thin));
    }
    drawLevel(panel, level, look);
    std::vector<double> increments = content.window->value;
    for (double& value : increments) {
        value -= level.value;
    }
    QCPGraph* graph = addCurve(panel, content.title, content.window->timeMin, increments,
                               solidPen(food.colour, look.line), food.mark);
    graph->setObjectName(QStringLiteral("increment:") + QString::fromStdString(content.food));
    if (regions.empty()) {
        markMeasure(panel, content, level, keys, look);
    }
}

/// Says what is shown, and of whom.
QString captionFor(const std::vector<IncrementPanel>& panels, const ChosenKeys& keys,
                   const FigureChoice& choice) {
    bool counted = false;
    bool subtracted = false;
    for (const IncrementPanel& panel : panels) {
        for (const CountedRegion& region : countedRegions(*panel.window, keys.measure)) {
            (region.sign > 0 ? counted : subtracted) = true;
        }
    }
    QString caption = choice.subject.empty() ? FigureText::tr("Mean curves")
                                             : FigureText::tr("Subject %1").arg(plainLabel(choice.subject));
    QString what = counted ? FigureText::tr("shaded: %1") : FigureText::tr("marked: %1");
    what = what.arg(measureInText(keys.measure));
    if (subtracted) {
        what += FigureText::tr(", hatched: subtracted");
    }
    caption += QStringLiteral("; ") + what;
    if (choice.subject.empty()) {
        caption += FigureText::tr("; numbers: mean ± SEM of the subjects' own values");
    }
    return caption;
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
    const double width = std::max(1, plot.width());
    PanelGridPlan plan;
    plan.count = panels.size();
    plan.columns =
        std::clamp(static_cast<int>(width / (105.0 * look.px)), 1, static_cast<int>(panels.size()));
    const Ranges ranges = rangesFor(panels, keys, 0.85 * width / plan.columns, look);
    plan.heightPt = 0.7 * plot.height() / look.px;
    plan.time = ranges.time;
    plan.value = ranges.value;
    plan.xTitle = FigureText::tr("Time after first bite (min)");
    const ShownUnit unit = shownUnit(study, keys.analyte);
    plan.valueFactor = unit.factor;
    const QString axis = withUnit(levelFor(*panels.front().window, keys).axis, unit.unit);
    plan.yTitle = broken(axis, look.font, 0.8 * plot.height());
    PanelGrid grid = addPanelGrid(plot, look, plan);

    std::vector<Heading> headings;
    double head = 0.0;
    for (const IncrementPanel& panel : panels) {
        headings.push_back(headingFor(panel, 0.92 * grid.panelWidthPt * look.px, look));
        head = std::max(head, headings.back().titlePixels + headings.back().resultPixels + 4.0 * look.px);
    }
    for (std::size_t i = 0; i < panels.size(); ++i) {
        drawPanel(*addPanel(grid, i, head, look), study, panels[i], headings[i], keys, look);
    }
    addCaption(plot, look, 2, captionFor(panels, keys, choice));
}

}  // namespace

FigureKind curvesIncrementFigure() {
    return {"curves_increment", QT_TRANSLATE_NOOP("Figures", "What the area counts"), &available,
            QT_TRANSLATE_NOOP("Figures", "No curve with a baseline and a full window."), &draw};
}

}  // namespace aftercurve
