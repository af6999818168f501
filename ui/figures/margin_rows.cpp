#include "ui/figures/margin_rows.h"

#include <set>

#include "core/base/number_text.h"
#include "ui/figures/figure_text.h"
#include "ui/figures/interval_rows.h"

namespace aftercurve {

namespace {

/// One row, whichever question it answers.
struct MarginRow {
    std::string food;
    std::string comparator;
    QString question;
    std::optional<double> estimate;
    std::optional<double> low;
    std::optional<double> high;
    std::vector<double> margins;
    QString verdict;
    std::string unit;
    std::string measure;
};

bool isRatio(MarginScale scale) {
    return scale != MarginScale::meanDifference;
}

std::vector<MarginRow> rowsOf(const Study& study, const Findings& findings, const FigureChoice& choice,
                              bool ratios) {
    const ChosenKeys keys = chosenKeys(study, findings, choice.analyte, choice.measure);
    const auto wanted = [&](const auto& m) {
        return m.analyte == keys.analyte && m.result.estimate &&
               (choice.food.empty() || m.food == choice.food);
    };
    const QString ninety = confidenceText(2.0 * findings.plan.alpha);
    std::vector<MarginRow> rows;
    for (const MarginFinding& m : findings.companions.margins) {
        if (isRatio(m.scale) == ratios && wanted(m)) {
            const QString what = m.scale == MarginScale::geometricMeanRatio
                                     ? FigureText::tr("geometric means")
                                 : m.scale == MarginScale::ratioOfMeans ? FigureText::tr("means")
                                                                        : FigureText::tr("equivalence");
            const std::string_view verdict = verdictWords(m.result.verdict);
            rows.push_back({m.food,
                            m.comparator,
                            FigureText::tr("%1, %2 CI").arg(what, ninety),
                            m.result.estimate,
                            m.result.ciLow,
                            m.result.ciHigh,
                            {m.low, m.high},
                            plainLabel(verdict),
                            m.unit,
                            m.measure});
        }
    }
    for (const NonInferiorityFinding& m : findings.companions.nonInferiority) {
        if (!ratios && wanted(m) && m.result.limit) {
            rows.push_back({m.food,
                            m.comparator,
                            FigureText::tr("non-inferiority, %1 CI").arg(confidenceText(findings.plan.alpha)),
                            m.result.estimate,
                            m.result.ciLow,
                            m.result.ciHigh,
                            {*m.result.limit},
                            plainLabel(verdictWords(m.result.verdict, MarginClaim::nonInferiority)),
                            m.unit,
                            m.measure});
        }
    }
    return rows;
}

void drawRows(QCustomPlot& plot, const Study& study, const Findings& findings, const FigureChoice& choice,
              const FigureStyle& style, bool ratios, const char* emptyText) {
    const FigureLook look = lookFor(plot, style);
    const std::vector<MarginRow> rows = rowsOf(study, findings, choice, ratios);
    if (rows.empty()) {
        drawEmpty(plot, look, FigureText::tr(emptyText));
        return;
    }
    IntervalRows figure;
    figure.reference = ratios ? 1.0 : 0.0;
    std::set<double> margins;
    for (const MarginRow& row : rows) {
        const FoodLook food = foodLook(study, row.food, look);
        margins.insert(row.margins.begin(), row.margins.end());
        figure.rows.push_back({foodLabel(study, row.food), row.question, *row.estimate, row.low, row.high,
                               row.verdict, food.colour, food.mark,
                               QString::fromStdString(row.food) + u'/' + row.question});
    }
    figure.margins.assign(margins.begin(), margins.end());
    const QString analyte =
        analyteName(chosenKeys(study, findings, choice.analyte, choice.measure).analyte).toLower();
    const QString measure = measureInText(rows.front().measure);
    const QString comparator = foodLabel(study, rows.front().comparator);
    figure.title =
        ratios ? FigureText::tr("Ratio to %1 in %2 of %3; dotted: margins of the plan")
                     .arg(comparator, measure, analyte)
               : withUnit(
                     FigureText::tr("Mean difference in %1 of %2 from %3").arg(measure, analyte, comparator),
                     plainLabel(rows.front().unit)) +
                     FigureText::tr("; dotted: margins of the plan");
    drawIntervalRows(plot, look, figure);
}

template <bool ratios>
bool available(const Study& study, const Findings& findings, const FigureChoice& choice) {
    return !rowsOf(study, findings, choice, ratios).empty();
}

template <bool ratios>
void draw(QCustomPlot& plot, const Study& study, const Findings& findings, const FigureChoice& choice,
          const FigureStyle& style) {
    const FigureKind kind = ratios ? marginRatiosFigure() : marginDifferencesFigure();
    drawRows(plot, study, findings, choice, style, ratios, kind.emptyText.data());
}

}  // namespace

FigureKind marginDifferencesFigure() {
    return {"margins", QT_TRANSLATE_NOOP("Figures", "Differences against margins"), &available<false>,
            QT_TRANSLATE_NOOP("Figures", "The plan names no margins of a difference."), &draw<false>};
}

FigureKind marginRatiosFigure() {
    return {"margins_ratio", QT_TRANSLATE_NOOP("Figures", "Ratios against margins"), &available<true>,
            QT_TRANSLATE_NOOP("Figures", "The plan names no margins of a ratio."), &draw<true>};
}

}  // namespace aftercurve
