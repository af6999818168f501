#include "ui/figures/curves_subjects.h"

#include <algorithm>
#include <cmath>
#include <string>

#include "ui/figures/figure_text.h"
#include "ui/figures/plot_frame.h"

namespace aftercurve {

namespace {

bool isShown(const CurveFinding& curve, const ChosenKeys& keys, const FigureChoice& choice) {
    return curve.analyte == keys.analyte && !curve.timeMin.empty() &&
           (choice.food.empty() || curve.food == choice.food) &&
           (choice.subject.empty() || curve.subject == choice.subject) &&
           (choice.visit == 0 || curve.visit == choice.visit);
}

struct SubjectCurves {
    std::string subject;
    std::vector<const CurveFinding*> curves;
};

std::vector<SubjectCurves> bySubject(const Findings& findings, const ChosenKeys& keys,
                                     const FigureChoice& choice) {
    std::vector<SubjectCurves> subjects;
    for (const CurveFinding& curve : findings.curves) {
        if (!isShown(curve, keys, choice)) {
            continue;
        }
        auto at = std::find_if(subjects.begin(), subjects.end(),
                               [&](const SubjectCurves& s) { return s.subject == curve.subject; });
        if (at == subjects.end()) {
            at = subjects.insert(at, SubjectCurves{curve.subject, {}});
        }
        at->curves.push_back(&curve);
    }
    return subjects;
}

bool available(const Study& study, const Findings& findings, const FigureChoice& choice) {
    return !bySubject(findings, chosenKeys(study, findings, choice.analyte, choice.measure), choice).empty();
}

/// Columns of a grid whose panels come out about 1.25 times as wide as high.
int columnsFor(std::size_t panels, double width, double height) {
    const double n = static_cast<double>(panels);
    const double best = std::sqrt(n * width / (1.25 * height));
    return std::clamp(static_cast<int>(std::lround(best)), 1, static_cast<int>(panels));
}

/// What the panels share.
struct Grid {
    int columns = 1;
    int rows = 1;
    bool ticks = true;  ///< tick labels on the outer panels
    QCPRange time;
    QCPRange value;
    QFont titleFont;
    double crowding = 1.0;  ///< lines and marks shrink with the panels
};

void drawCurve(QCPAxisRect& panel, const Study& study, const CurveFinding& curve, const FigureLook& look,
               double crowding, bool replicate) {
    const FoodLook food = foodLook(study, curve.food, look);
    QPen pen = food.pen;
    QCPScatterStyle mark = scaledMark(food.mark, 0.7 * crowding);
    pen.setWidthF(pen.widthF() * crowding * (replicate ? 0.55 : 1.0));
    if (replicate) {
        mark.setSize(mark.size() * 0.8);
    }
    if (!curve.counts()) {
        pen = solidPen(look.light, look.thin);
        pen.setDashPattern({4.0, 3.0});
        mark.setPen(solidPen(look.light, look.thin));
        mark.setBrush(look.light);
    }
    QPen edge = mark.pen();
    edge.setWidthF(edge.widthF() * crowding);
    mark.setPen(edge);
    const QString name = FigureText::tr("%1, %2, visit %3")
                             .arg(plainLabel(curve.subject), foodLabel(study, curve.food))
                             .arg(curve.visit);
    QCPGraph* graph = addCurve(panel, name, curve.timeMin, curve.value, pen, mark);
    graph->setObjectName(QString::fromStdString("curve:" + curve.subject + ":" + curve.food + ":" +
                                                std::to_string(curve.visit)));
}

void drawPanel(QCustomPlot& plot, QCPLayoutGrid& layout, const Study& study, const SubjectCurves& subject,
               int place, std::size_t panels, const Grid& grid, const FigureLook& look) {
    const int row = place / grid.columns;
    const int column = place % grid.columns;
    QCPAxisRect* panel = newPanel(plot, look);
    layout.addElement(row, column, panel);
    const int gap = static_cast<int>(std::lround((grid.ticks ? 5.0 : 2.5) * look.px));
    const int top = static_cast<int>(std::ceil(1.15 * QFontMetricsF(grid.titleFont).height()));
    panel->setAutoMargins(QCP::msNone);
    panel->setMargins(QMargins(0, top, gap, 0));
    QCPAxis* x = xAxisOf(*panel);
    QCPAxis* y = yAxisOf(*panel);
    x->setRange(grid.time);
    y->setRange(grid.value);
    setMinuteTicks(*x, grid.columns > 4 ? 3 : 5);
    setNumberTicks(*y, grid.rows > 3 ? 3 : 5);
    const bool lowest = static_cast<std::size_t>(place + grid.columns) >= panels;
    x->setTickLabels(grid.ticks && lowest);
    y->setTickLabels(grid.ticks && column == 0);
    if (!grid.ticks) {
        x->setTicks(false);
        y->setTicks(false);
    }
    addNote(*panel, plainLabel(subject.subject), grid.titleFont, look.ink, 0.0, -0.01,
            Qt::AlignBottom | Qt::AlignLeft);

    // What does not count lies underneath.
    for (const bool counted : {false, true}) {
        for (std::size_t i = 0; i < subject.curves.size(); ++i) {
            const CurveFinding& curve = *subject.curves[i];
            const bool replicate = i > 0 && subject.curves[i - 1]->food == curve.food;
            if (curve.counts() == counted) {
                drawCurve(*panel, study, curve, look, grid.crowding, replicate);
            }
        }
    }
}

std::vector<KeyEntry> keyOf(const Study& study, const std::vector<SubjectCurves>& subjects,
                            const FigureLook& look) {
    std::vector<std::string> foods;
    bool leftOut = false;
    bool replicates = false;
    for (const SubjectCurves& subject : subjects) {
        for (std::size_t i = 0; i < subject.curves.size(); ++i) {
            const CurveFinding& curve = *subject.curves[i];
            if (std::find(foods.begin(), foods.end(), curve.food) == foods.end()) {
                foods.push_back(curve.food);
            }
            leftOut = leftOut || !curve.counts();
            replicates = replicates || (i > 0 && subject.curves[i - 1]->food == curve.food);
        }
    }
    std::vector<KeyEntry> key;
    for (const std::string& id : foods) {
        const FoodLook food = foodLook(study, id, look);
        key.push_back({foodLabel(study, id), food.pen, scaledMark(food.mark, 0.8), {}, false});
    }
    if (leftOut) {
        QPen pen = solidPen(look.light, look.thin);
        pen.setDashPattern({4.0, 3.0});
        key.push_back({FigureText::tr("excluded or not estimable"), pen, {}, {}, false});
    }
    if (replicates) {
        key.push_back({FigureText::tr("further visits: thinner"), Qt::NoPen, {}, {}, false});
    }
    return key;
}

Grid gridFor(const QCustomPlot& plot, const std::vector<SubjectCurves>& subjects, const Findings& findings,
             const FigureLook& look) {
    Grid grid;
    const double width = std::max(1, plot.width());
    const double height = std::max(1, plot.height());
    grid.columns = columnsFor(subjects.size(), width, 0.85 * height);
    grid.rows = (static_cast<int>(subjects.size()) + grid.columns - 1) / grid.columns;
    const double panelPt = std::min(width / grid.columns, 0.85 * height / grid.rows) / look.px;
    grid.ticks = panelPt > 26.0;
    grid.crowding = std::clamp(panelPt / 90.0, 0.4, 1.0);
    grid.titleFont = look.smallFont;
    const double titlePixels = std::min<double>(look.smallFont.pixelSize(), 0.2 * panelPt * look.px);
    grid.titleFont.setPixelSize(std::max(1, static_cast<int>(std::lround(titlePixels))));

    Span times;
    Span values;
    times.take(0.0);
    times.take(findings.plan.windowEndMin);
    for (const SubjectCurves& subject : subjects) {
        for (const CurveFinding* curve : subject.curves) {
            std::for_each(curve->timeMin.begin(), curve->timeMin.end(), [&](double t) { times.take(t); });
            std::for_each(curve->value.begin(), curve->value.end(), [&](double v) { values.take(v); });
        }
    }
    grid.time = times.padded(0.04, 0.04);
    grid.value = values.padded(0.06, 0.06);
    return grid;
}

void draw(QCustomPlot& plot, const Study& study, const Findings& findings, const FigureChoice& choice,
          const FigureStyle& style) {
    const FigureLook look = lookFor(plot, style);
    const ChosenKeys keys = chosenKeys(study, findings, choice.analyte, choice.measure);
    const auto subjects = bySubject(findings, keys, choice);
    if (subjects.empty()) {
        drawEmpty(plot, look, FigureText::tr(curvesSubjectsFigure().emptyText.data()));
        return;
    }
    clearPlot(plot, look);
    const Grid grid = gridFor(plot, subjects, findings, look);

    QCPLayoutGrid* outer = plot.plotLayout();
    outer->addElement(0, 0, new FigureKey(&plot, look, keyOf(study, subjects, look)));
    auto* body = new QCPLayoutGrid;
    outer->addElement(1, 0, body);
    outer->setRowStretchFactor(0, 0.001);
    body->setRowSpacing(0);
    body->setColumnSpacing(0);
    auto* panels = new QCPLayoutGrid;
    panels->setRowSpacing(static_cast<int>(std::lround(3.0 * look.px)));
    panels->setColumnSpacing(0);
    auto* yTitle = new TextBlock(&plot, withUnit(analyteName(keys.analyte), analyteUnit(study, keys.analyte)),
                                 look.font, look.ink, TextBlock::Turn::upright);
    body->addElement(0, 0, yTitle);
    body->addElement(0, 1, panels);
    body->setColumnStretchFactor(0, 0.001);
    for (std::size_t i = 0; i < subjects.size(); ++i) {
        drawPanel(plot, *panels, study, subjects[i], static_cast<int>(i), subjects.size(), grid, look);
    }

    // Tick labels of the outer panels reach into the room that the titles keep for them.
    const QFontMetricsF metrics(look.smallFont);
    const double decimals = grid.value.size() < 5.0 ? 1 : 0;
    const double widest = std::max(
        metrics.horizontalAdvance(QString::number(grid.value.upper, 'f', static_cast<int>(decimals))),
        metrics.horizontalAdvance(QString::number(grid.value.lower, 'f', static_cast<int>(decimals))));
    yTitle->setRoomAfter(static_cast<int>(std::lround(grid.ticks ? widest + 7.0 * look.px : 3.0 * look.px)));
    auto* xTitle = new TextBlock(&plot, FigureText::tr("Time after first bite (min)"), look.font, look.ink);
    const double tickRoom = grid.ticks ? metrics.height() + 5.0 * look.px : 2.0 * look.px;
    xTitle->setMargins(QMargins(0, static_cast<int>(std::lround(tickRoom)), 0, 0));
    outer->addElement(2, 0, xTitle);
    outer->setRowStretchFactor(2, 0.001);
}

}  // namespace

FigureKind curvesSubjectsFigure() {
    return {"curves_subjects", QT_TRANSLATE_NOOP("Figures", "Curves of each subject"), &available,
            QT_TRANSLATE_NOOP("Figures", "No curve of this analyte."), &draw};
}

}  // namespace aftercurve
