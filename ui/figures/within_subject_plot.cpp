#include "ui/figures/within_subject_plot.h"

#include <algorithm>

#include "ui/figures/figure_text.h"
#include "ui/figures/plot_frame.h"

namespace aftercurve {

namespace {

std::vector<const WithinSubjectFinding*> shownSpreads(const Study& study, const Findings& findings,
                                                      const FigureChoice& choice) {
    const ChosenKeys keys = chosenKeys(study, findings, choice.analyte, choice.measure);
    std::vector<const WithinSubjectFinding*> shown;
    for (const WithinSubjectFinding& finding : findings.withinSubject) {
        if (finding.analyte == keys.analyte && finding.measure == keys.measure && !finding.visits.empty() &&
            (choice.food.empty() || finding.food == choice.food)) {
            shown.push_back(&finding);
        }
    }
    return shown;
}

bool available(const Study& study, const Findings& findings, const FigureChoice& choice) {
    return !shownSpreads(study, findings, choice).empty();
}

/// Visits by subject, subjects with repeats in order of their means.
std::vector<std::vector<const SubjectVisit*>> orderedSubjects(const WithinSubjectFinding& finding) {
    std::vector<std::vector<const SubjectVisit*>> subjects;
    for (const SubjectVisit& visit : finding.visits) {
        if (!visit.repeated) {
            continue;
        }
        if (subjects.empty() || subjects.back().front()->subject != visit.subject) {
            subjects.emplace_back();
        }
        subjects.back().push_back(&visit);
    }
    std::stable_sort(subjects.begin(), subjects.end(), [](const auto& a, const auto& b) {
        return a.front()->subjectMean < b.front()->subjectMean;
    });
    return subjects;
}

void drawFood(QCPAxisRect& panel, const WithinSubjectFinding& finding,
              const std::vector<std::vector<const SubjectVisit*>>& subjects, double first,
              const FoodLook& food, const FigureLook& look) {
    std::vector<double> x, y;
    for (std::size_t s = 0; s < subjects.size(); ++s) {
        const double at = first + static_cast<double>(s);
        double low = subjects[s].front()->value;
        double high = low;
        for (const SubjectVisit* visit : subjects[s]) {
            x.push_back(at);
            y.push_back(visit->value);
            low = std::min(low, visit->value);
            high = std::max(high, visit->value);
        }
        addLine(panel, QStringLiteral("subject"), at, low, at, high, solidPen(food.colour, look.thin));
    }
    QCPScatterStyle mark = food.mark;
    mark.setBrush(QBrush(Qt::white));
    addMarks(panel, QStringLiteral("visits"), x, y, mark)
        ->setObjectName(QStringLiteral("visits:") + QString::fromStdString(finding.food));
}

QString nameOf(const Study& study, const WithinSubjectFinding& finding, double room, const FigureLook& look) {
    QString spread;
    if (finding.result.sd) {
        spread = FigureText::tr("SD within\u00A0%1")
                     .arg(numberText(*finding.result.sd, decimalsFor(std::vector{*finding.result.sd})));
        if (finding.result.cvRmsPercent) {
            spread += FigureText::tr(", CV\u00A0%1\u00A0%").arg(numberText(*finding.result.cvRmsPercent, 1));
        }
    }
    return wrapped(foodLabel(study, finding.food), look.smallFont, room) + u'\n' +
           wrapped(spread, look.smallFont, room);
}

void draw(QCustomPlot& plot, const Study& study, const Findings& findings, const FigureChoice& choice,
          const FigureStyle& style) {
    const FigureLook look = lookFor(plot, style);
    const auto shown = shownSpreads(study, findings, choice);
    if (shown.empty()) {
        drawEmpty(plot, look, FigureText::tr(withinSubjectFigure().emptyText.data()));
        return;
    }
    clearPlot(plot, look);
    QCPAxisRect* panel = newPanel(plot, look);
    plot.plotLayout()->addElement(0, 0, panel);
    constexpr double gap = 1.5;
    const double room = 0.7 * std::max(1, plot.width()) / static_cast<double>(shown.size());
    Span values;
    double next = 0.0;
    std::vector<PlacedLabel> names;
    for (const WithinSubjectFinding* finding : shown) {
        const auto subjects = orderedSubjects(*finding);
        for (const SubjectVisit& visit : finding->visits) {
            if (visit.repeated) {
                values.take(visit.value);
            }
        }
        drawFood(*panel, *finding, subjects, next, foodLook(study, finding->food, look), look);
        const auto count = static_cast<double>(subjects.size());
        names.push_back({next + 0.5 * (count - 1.0), nameOf(study, *finding, room, look)});
        next += count + gap;
    }
    xAxisOf(*panel)->setRange(-gap, next - 1.0);
    setLabels(*xAxisOf(*panel), names);
    xAxisOf(*panel)->setTickLength(0, 0);
    QCPAxis* y = yAxisOf(*panel);
    y->setRange(values.padded(0.05, 0.05));
    setNumberTicks(*y, 6);
    const WithinSubjectFinding& any = *shown.front();
    y->setLabel(
        withUnit(FigureText::tr("%1 of %2").arg(measureName(any.measure), analyteName(any.analyte).toLower()),
                 measureUnit(study, any.analyte, any.measure)));
    addCaption(
        plot, look, 1,
        FigureText::tr("Marks: visits; each line one subject with two visits or more, in order of their "
                       "means; CV: root mean square over the subjects"));
}

}  // namespace

FigureKind withinSubjectFigure() {
    return {"within_subject", QT_TRANSLATE_NOOP("Figures", "Spread within a subject"), &available,
            QT_TRANSLATE_NOOP("Figures", "No subject with two visits of one food for this measure."), &draw};
}

}  // namespace aftercurve
