#include "ui/figures/insulin_values.h"

#include <algorithm>

#include "ui/figures/figure_text.h"
#include "ui/figures/plot_frame.h"

namespace aftercurve {

namespace {

using Summaries = std::vector<const InsulinSummary*>;

/// The foods that have values of one measure, in the order of the study.
Summaries foodsWith(const Findings& findings, std::string_view key, const FigureChoice& choice) {
    Summaries shown;
    for (const InsulinSummary& summary : findings.insulinSummaries) {
        if (summary.key == key && summary.n > 0 && (choice.food.empty() || summary.food == choice.food)) {
            shown.push_back(&summary);
        }
    }
    return shown;
}

/// The analyte whose figures this one stands with.
std::string_view homeAnalyte(const Study& study) {
    return findAnalyte(study, "insulin") ? "insulin" : "c-peptide";
}

Summaries shownSummaries(const Study& study, const Findings& findings, const FigureChoice& choice) {
    if (insulinMeasureIndex(choice.measure)) {
        return foodsWith(findings, choice.measure, choice);
    }
    if (!choice.analyte.empty() && choice.analyte != homeAnalyte(study)) {
        return {};
    }
    for (const InsulinSummary& summary : findings.insulinSummaries) {
        Summaries shown = foodsWith(findings, summary.key, choice);
        if (!shown.empty()) {
            return shown;
        }
    }
    return {};
}

bool available(const Study& study, const Findings& findings, const FigureChoice& choice) {
    return !shownSummaries(study, findings, choice).empty();
}

QString labelOfMeasure(const InsulinMeasureKind& kind) {
    return withUnit(plainLabel(kind.label), plainLabel(kind.unit));
}

/// One thin line a subject, broken where a food has no value of it.
void joinSubjects(QCPAxisRect& panel, const Summaries& shown, const FigureLook& look) {
    for (std::size_t s = 0; s < shown.front()->subjects.size(); ++s) {
        const QString id = QString::fromStdString(shown.front()->subjects[s].subject);
        for (std::size_t f = 0; f + 1 < shown.size(); ++f) {
            const auto& here = shown[f]->subjects[s].value;
            const auto& next = shown[f + 1]->subjects[s].value;
            if (!here || !next) {
                continue;
            }
            QCPCurve* line =
                addLine(panel, plainLabel(shown.front()->subjects[s].subject), static_cast<double>(f), *here,
                        static_cast<double>(f + 1), *next, solidPen(look.light, look.thin));
            line->setObjectName(QStringLiteral("subject:%1:%2").arg(id).arg(f));
        }
    }
}

void drawFood(QCPAxisRect& panel, const InsulinSummary& summary, const FoodLook& food, double at,
              const FigureLook& look) {
    std::vector<double> value;
    for (const InsulinSubject& subject : summary.subjects) {
        if (subject.value) {
            value.push_back(*subject.value);
        }
    }
    const QString id = QString::fromStdString(summary.food);
    QCPScatterStyle dot = scaledMark(food.mark, 0.85);
    dot.setBrush(QBrush(Qt::white));
    addMarks(panel, QStringLiteral("subjects"), std::vector<double>(value.size(), at), value, dot)
        ->setObjectName(QStringLiteral("subjects:") + id);
    if (!summary.mean) {
        return;
    }
    QCPGraph* mean =
        addMarks(panel, QStringLiteral("mean"), {at + 0.18}, {*summary.mean}, scaledMark(food.mark, 1.5));
    mean->setObjectName(QStringLiteral("mean:") + id);
    if (summary.ciLow && summary.ciHigh) {
        addErrorBars(*mean, {*summary.mean - *summary.ciLow}, {*summary.ciHigh - *summary.mean},
                     solidPen(food.colour, look.line), 1.3 * look.mark, QCPErrorBars::etValueError);
    }
}

std::vector<QString> foodNames(const Study& study, const Summaries& shown, const FigureLook& look,
                               double width) {
    std::vector<QString> names;
    const double room = 0.7 * width / static_cast<double>(shown.size());
    for (const InsulinSummary* summary : shown) {
        names.push_back(wrapped(foodLabel(study, summary->food), look.smallFont, room) + u'\n' +
                        FigureText::tr("n\u00A0=\u00A0%1").arg(summary->n));
    }
    return names;
}

QString captionText(const Findings& findings, const InsulinMeasureKind& kind) {
    QString text =
        FigureText::tr("Small marks: subjects, joined by lines; large: mean with %1 CI. %2: %3.")
            .arg(confidenceText(findings.plan.alpha), plainLabel(kind.label),
                 QString::fromUtf8(kind.formula.data(), static_cast<qsizetype>(kind.formula.size())));
    if (kind.fasting) {
        text += FigureText::tr(" Read before the meal: a difference between foods is no effect of the food.");
    }
    return text;
}

void draw(QCustomPlot& plot, const Study& study, const Findings& findings, const FigureChoice& choice,
          const FigureStyle& style) {
    const FigureLook look = lookFor(plot, style);
    const Summaries shown = shownSummaries(study, findings, choice);
    if (shown.empty()) {
        drawEmpty(plot, look, FigureText::tr(insulinFigure().emptyText.data()));
        return;
    }
    const InsulinMeasureKind& kind = insulinMeasureList()[*insulinMeasureIndex(shown.front()->key)];
    clearPlot(plot, look);
    QCPAxisRect* panel = newPanel(plot, look);
    plot.plotLayout()->addElement(0, 0, panel);

    Span values;
    for (const InsulinSummary* summary : shown) {
        for (const InsulinSubject& subject : summary->subjects) {
            if (subject.value) {
                values.take(*subject.value);
            }
        }
        for (const auto& value : {summary->mean, summary->ciLow, summary->ciHigh}) {
            if (value) {
                values.take(*value);
            }
        }
    }
    QCPAxis* x = xAxisOf(*panel);
    QCPAxis* y = yAxisOf(*panel);
    x->setRange(-0.5, static_cast<double>(shown.size()) - 0.4);
    y->setRange(values.padded(0.06, 0.06));
    setNumberTicks(*y, 7);
    setCategories(*x, foodNames(study, shown, look, std::max(1, plot.width())));
    y->setLabel(broken(labelOfMeasure(kind), look.font, 0.7 * std::max(1, plot.height())));
    joinSubjects(*panel, shown, look);
    for (std::size_t i = 0; i < shown.size(); ++i) {
        drawFood(*panel, *shown[i], foodLook(study, shown[i]->food, look), static_cast<double>(i), look);
    }
    addCaption(plot, look, 1, captionText(findings, kind));
}

}  // namespace

FigureKind insulinFigure() {
    return {"insulin_measures", QT_TRANSLATE_NOOP("Figures", "Insulin measures"), &available,
            QT_TRANSLATE_NOOP("Figures",
                              "No measure of insulin: the study needs glucose with insulin or C-peptide."),
            &draw};
}

}  // namespace aftercurve
