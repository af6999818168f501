#include "ui/figures/index_pairs_rows.h"

#include "ui/figures/figure_text.h"
#include "ui/figures/interval_rows.h"

namespace aftercurve {

namespace {

constexpr std::size_t mostPairs = 15;

/// Pairs of the chosen food; where none is chosen and there are too many, those with the reference.
std::vector<const IndexPair*> shownPairs(const Study& study, const Findings& findings,
                                         const FigureChoice& choice) {
    const ChosenKeys keys = chosenKeys(study, findings, choice.analyte, choice.measure);
    std::vector<const IndexPair*> pairs;
    for (const IndexPair& pair : findings.indexPairs) {
        if (pair.analyte == keys.analyte && pair.t.meanDifference &&
            (choice.food.empty() || pair.food == choice.food || pair.comparator == choice.food)) {
            pairs.push_back(&pair);
        }
    }
    if (choice.food.empty() && pairs.size() > mostPairs) {
        std::erase_if(pairs, [](const IndexPair* pair) { return !pair->withReference; });
    }
    return pairs;
}

bool available(const Study& study, const Findings& findings, const FigureChoice& choice) {
    return !shownPairs(study, findings, choice).empty();
}

void draw(QCustomPlot& plot, const Study& study, const Findings& findings, const FigureChoice& choice,
          const FigureStyle& style) {
    const FigureLook look = lookFor(plot, style);
    const auto pairs = shownPairs(study, findings, choice);
    if (pairs.empty()) {
        drawEmpty(plot, look, FigureText::tr(indexPairsFigure().emptyText.data()));
        return;
    }
    IntervalRows figure;
    bool adjusted = false;
    for (const IndexPair* pair : pairs) {
        const FoodLook food = foodLook(study, pair->food, look);
        QString result = FigureText::tr("n = %1").arg(pair->t.n);
        if (pair->pAdjusted) {
            result = pLabel(*pair->pAdjusted) + QStringLiteral(", ") + result;
            adjusted = findings.plan.multiplicity != Multiplicity::none;
        }
        figure.rows.push_back({foodLabel(study, pair->food),
                               FigureText::tr("minus %1").arg(foodLabel(study, pair->comparator)),
                               *pair->t.meanDifference, pair->t.ciLow, pair->t.ciHigh, result, food.colour,
                               food.mark, QString::fromStdString(pair->food + "/" + pair->comparator)});
    }
    figure.title =
        FigureText::tr("Mean difference of the indices (%1) within subjects; bars: %2 CI")
            .arg(analyteName(pairs.front()->analyte).toLower(), confidenceText(findings.plan.alpha));
    if (adjusted) {
        figure.title += FigureText::tr("; p adjusted over the pairs");
    }
    drawIntervalRows(plot, look, figure);
}

}  // namespace

FigureKind indexPairsFigure() {
    return {"index_pairs", QT_TRANSLATE_NOOP("Figures", "Indices compared"), &available,
            QT_TRANSLATE_NOOP("Figures", "No indices to compare."), &draw};
}

}  // namespace aftercurve
