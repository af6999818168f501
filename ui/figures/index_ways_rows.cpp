#include "ui/figures/index_ways_rows.h"

#include <algorithm>
#include <set>

#include "ui/figures/figure_text.h"
#include "ui/figures/interval_rows.h"

namespace aftercurve {

namespace {

constexpr std::size_t mostFoods = 3;

bool isResampled(IndexWayKind way) {
    return way == IndexWayKind::meanOfRatiosBca || way == IndexWayKind::meanOfRatiosPercentile ||
           way == IndexWayKind::ratioOfMeansBca || way == IndexWayKind::ratioOfMeansPercentile;
}

/// All ways of one food; of two or three foods those without resampling; of more foods the first one alone.
std::vector<const IndexWay*> shownWays(const Study& study, const Findings& findings,
                                       const FigureChoice& choice) {
    const ChosenKeys keys = chosenKeys(study, findings, choice.analyte, choice.measure);
    std::vector<const IndexWay*> ways;
    std::set<std::string> foods;
    for (const IndexWay& way : findings.indexWays) {
        if (way.analyte == keys.analyte && way.estimate && (choice.food.empty() || way.food == choice.food)) {
            ways.push_back(&way);
            foods.insert(way.food);
        }
    }
    if (foods.size() > mostFoods) {
        const std::string first = ways.front()->food;
        std::erase_if(ways, [&first](const IndexWay* way) { return way->food != first; });
    } else if (foods.size() > 1) {
        std::erase_if(ways, [](const IndexWay* way) { return isResampled(way->way); });
    }
    return ways;
}

bool available(const Study& study, const Findings& findings, const FigureChoice& choice) {
    return !shownWays(study, findings, choice).empty();
}

QString wayName(IndexWayKind way) {
    switch (way) {
        case IndexWayKind::meanOfRatios:
            return FigureText::tr("mean of ratios, t");
        case IndexWayKind::meanOfRatiosBca:
            return FigureText::tr("mean of ratios, BCa");
        case IndexWayKind::meanOfRatiosPercentile:
            return FigureText::tr("mean of ratios, percentile");
        case IndexWayKind::ratioOfMeans:
            return FigureText::tr("ratio of means, Fieller");
        case IndexWayKind::ratioOfMeansBca:
            return FigureText::tr("ratio of means, BCa");
        case IndexWayKind::ratioOfMeansPercentile:
            return FigureText::tr("ratio of means, percentile");
        case IndexWayKind::geometricMean:
            return FigureText::tr("geometric mean, t of logs");
        case IndexWayKind::median:
            return FigureText::tr("median, order statistics");
    }
    return {};
}

void draw(QCustomPlot& plot, const Study& study, const Findings& findings, const FigureChoice& choice,
          const FigureStyle& style) {
    const FigureLook look = lookFor(plot, style);
    const auto ways = shownWays(study, findings, choice);
    if (ways.empty()) {
        drawEmpty(plot, look, FigureText::tr(indexWaysFigure().emptyText.data()));
        return;
    }
    const bool oneFood = ways.front()->food == ways.back()->food;
    IntervalRows figure;
    figure.reference = 100.0;
    for (const IndexWay* way : ways) {
        const FoodLook food = foodLook(study, way->food, look);
        const bool planned = way->way == IndexWayKind::meanOfRatios;
        const bool bounded = way->set.empty() || way->set == "bounded";
        IntervalRow row;
        // The food's name stands beside its first row alone.
        row.name = oneFood ? wayName(way->way) : (planned ? foodLabel(study, way->food) : wayName(way->way));
        row.under = !oneFood && planned ? wayName(way->way) : QString();
        row.estimate = *way->estimate;
        if (bounded) {
            row.low = way->ciLow;
            row.high = way->ciHigh;
        } else {
            row.result = FigureText::tr("set not bounded");
        }
        row.colour = planned ? food.colour : look.mid;
        row.mark = planned ? food.mark
                           : QCPScatterStyle(QCPScatterStyle::ssDisc, look.mid, look.mid, 0.8 * look.mark);
        row.id = QString::fromStdString(way->food + "/" + keyOf(way->way));
        figure.rows.push_back(std::move(row));
    }
    const QString confidence = confidenceText(findings.plan.alpha);
    const QString analyte = analyteName(ways.front()->analyte).toLower();
    figure.title =
        oneFood ? FigureText::tr("Index of %1 (%2), n\u00A0=\u00A0%3; bars: %4 CI; dashed: reference %5")
                      .arg(foodLabel(study, ways.front()->food), analyte)
                      .arg(ways.front()->n)
                      .arg(confidence, foodLabel(study, ways.front()->reference))
                : FigureText::tr("Index (%1); bars: %2 CI; dashed: reference %3")
                      .arg(analyte, confidence, foodLabel(study, ways.front()->reference));
    drawIntervalRows(plot, look, figure);
}

}  // namespace

FigureKind indexWaysFigure() {
    return {"index_ways", QT_TRANSLATE_NOOP("Figures", "Index in several ways"), &available,
            QT_TRANSLATE_NOOP("Figures", "No index to find in other ways."), &draw};
}

}  // namespace aftercurve
