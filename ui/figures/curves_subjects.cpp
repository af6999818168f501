#include "ui/figures/curves_subjects.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <string>
#include <string_view>

#include "ui/figures/figure_scope.h"
#include "ui/figures/figure_text.h"
#include "ui/figures/panel_grid.h"

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
    std::map<std::string_view, std::size_t> places;
    for (const CurveFinding& curve : findings.curves) {
        if (!isShown(curve, keys, choice)) {
            continue;
        }
        const auto [at, added] = places.emplace(curve.subject, subjects.size());
        if (added) {
            subjects.push_back({curve.subject, {}});
        }
        subjects[at->second].curves.push_back(&curve);
    }
    return subjects;
}

/// The subjects of one page, from `first` on.
struct SubjectPage {
    int page = 1;
    int pages = 1;
    std::size_t first = 0;
    std::vector<SubjectCurves> subjects;
};

int pagesFor(std::size_t subjects) {
    return std::max(1, static_cast<int>((subjects + mostSubjectPanels - 1) / mostSubjectPanels));
}

SubjectPage pageOf(const std::vector<SubjectCurves>& subjects, int wanted) {
    SubjectPage page;
    page.pages = pagesFor(subjects.size());
    page.page = std::clamp(wanted, 1, page.pages);
    page.first = static_cast<std::size_t>(page.page - 1) * mostSubjectPanels;
    const std::size_t last = std::min(subjects.size(), page.first + mostSubjectPanels);
    page.subjects.assign(subjects.begin() + static_cast<std::ptrdiff_t>(page.first),
                         subjects.begin() + static_cast<std::ptrdiff_t>(last));
    return page;
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
    const QString name =
        FigureText::tr("%1, %2, visit %3")
            .arg(plainLabel(curve.subject), foodLabel(study, curve.food), QString::number(curve.visit));
    QCPGraph* graph = addCurve(panel, name, curve.timeMin, curve.value, pen, mark);
    graph->setObjectName(QString::fromStdString("curve:" + curve.subject + ":" + curve.food + ":" +
                                                std::to_string(curve.visit)));
}

void drawPanel(PanelGrid& grid, const Study& study, const SubjectCurves& subject, std::size_t place,
               const QFont& titleFont, double crowding, const FigureLook& look) {
    QCPAxisRect* panel = addPanel(grid, place, 1.15 * QFontMetricsF(titleFont).height(), look);
    addNote(*panel, plainLabel(subject.subject), titleFont, look.ink, 0.0, -0.01,
            Qt::AlignBottom | Qt::AlignLeft);

    // What does not count lies underneath.
    for (const bool counted : {false, true}) {
        for (std::size_t i = 0; i < subject.curves.size(); ++i) {
            const CurveFinding& curve = *subject.curves[i];
            const bool replicate = i > 0 && subject.curves[i - 1]->food == curve.food;
            if (curve.counts() == counted) {
                drawCurve(*panel, study, curve, look, crowding, replicate);
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

/// Axes hold the curves of all subjects, so that the pages of a figure can be compared; `panels` of them are
/// on this one.
PanelGridPlan gridFor(const QCustomPlot& plot, const std::vector<SubjectCurves>& subjects, std::size_t panels,
                      const Findings& findings, const FigureLook& look) {
    PanelGridPlan plan;
    const double width = std::max(1, plot.width());
    const double height = 0.85 * std::max(1, plot.height());
    plan.topRow = 1;
    plan.count = panels;
    plan.columns = columnsFor(panels, width, height);
    plan.heightPt = height / look.px;
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
    plan.time = timeRange(times, 0.6 * look.mark, 0.85 * width / plan.columns);
    plan.value = values.padded(0.06, 0.06);
    return plan;
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
    plot.plotLayout()->addElement(0, 0, new FigureKey(&plot, look, keyOf(study, subjects, look)));
    plot.plotLayout()->setRowStretchFactor(0, 0.001);
    const SubjectPage page = pageOf(subjects, choice.page);
    PanelGridPlan plan = gridFor(plot, subjects, page.subjects.size(), findings, look);
    plan.xTitle = FigureText::tr("Time after first bite (min)");
    const ShownUnit unit = shownUnit(study, keys.analyte);
    plan.valueFactor = unit.factor;
    plan.yTitle = withUnit(analyteName(keys.analyte), unit.unit);
    PanelGrid grid = addPanelGrid(plot, look, plan);

    const double panelPt = std::min(grid.panelWidthPt, grid.panelHeightPt);
    const double crowding = std::clamp(panelPt / 90.0, 0.4, 1.0);
    QFont titleFont = look.smallFont;
    const double titlePixels = std::min<double>(titleFont.pixelSize(), 0.2 * panelPt * look.px);
    titleFont.setPixelSize(std::max(1, static_cast<int>(std::lround(titlePixels))));
    for (std::size_t i = 0; i < page.subjects.size(); ++i) {
        drawPanel(grid, study, page.subjects[i], i, titleFont, crowding, look);
    }
    if (page.pages > 1) {
        const QString words = FigureText::tr("Subjects %1 to %2 of %3 (page %4 of %5)")
                                  .arg(page.first + 1)
                                  .arg(page.first + page.subjects.size())
                                  .arg(subjects.size())
                                  .arg(page.page)
                                  .arg(page.pages);
        plot.plotLayout()->addElement(3, 0, new TextBlock(&plot, words, look.smallFont, look.mid));
        plot.plotLayout()->setRowStretchFactor(3, 0.001);
    }
}

}  // namespace

int pagesOfSubjects(const Study& study, const Findings& findings, const FigureChoice& choice) {
    const ChosenKeys keys = chosenKeys(study, findings, choice.analyte, choice.measure);
    return pagesFor(bySubject(findings, keys, choice).size());
}

FigureKind curvesSubjectsFigure() {
    return {"curves_subjects", QT_TRANSLATE_NOOP("Figures", "Curves of each subject"), &available,
            QT_TRANSLATE_NOOP("Figures", "No curve of this analyte."), &draw};
}

}  // namespace aftercurve
