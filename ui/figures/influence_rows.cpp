#include "ui/figures/influence_rows.h"

#include <algorithm>

#include "ui/figures/figure_text.h"
#include "ui/figures/interval_rows.h"

namespace aftercurve {

namespace {

constexpr std::size_t mostRows = 60;

struct Chosen {
    const CompanionFinding* companion = nullptr;
    const ComparisonFinding* comparison = nullptr;
};

Chosen chosen(const Study& study, const Findings& findings, const FigureChoice& choice) {
    const ChosenKeys keys = chosenKeys(study, findings, choice.analyte, choice.measure);
    for (std::size_t i = 0; i < findings.companions.comparisons.size(); ++i) {
        const CompanionFinding& c = findings.companions.comparisons[i];
        if (c.analyte == keys.analyte && c.measure == keys.measure &&
            (choice.food.empty() || c.food == choice.food)) {
            return {&c, &findings.comparisons[i]};
        }
    }
    return {};
}

bool available(const Study& study, const Findings& findings, const FigureChoice& choice) {
    const Chosen found = chosen(study, findings, choice);
    return found.companion != nullptr && !found.companion->influence.subjects.empty();
}

bool turns(const LeftOutSubject& left) {
    return left.crossesAlpha || left.turnsSign || left.movesInterval;
}

void draw(QCustomPlot& plot, const Study& study, const Findings& findings, const FigureChoice& choice,
          const FigureStyle& style) {
    const FigureLook look = lookFor(plot, style);
    if (!available(study, findings, choice)) {
        drawEmpty(plot, look, FigureText::tr(influenceFigure().emptyText.data()));
        return;
    }
    const auto [companion, comparison] = chosen(study, findings, choice);
    const FoodLook food = foodLook(study, companion->food, look);
    IntervalRows rows;
    const PairedT& t = comparison->t;
    rows.rows.push_back({FigureText::tr("All subjects"), QString(), *t.meanDifference, t.ciLow, t.ciHigh,
                         t.p ? pLabel(*t.p) : QString(), food.colour, food.mark, QStringLiteral("all")});
    // The largest changes first, where there are more subjects than rows.
    std::vector<const LeftOutSubject*> order;
    for (const LeftOutSubject& left : companion->influence.subjects) {
        if (left.meanDifference) {
            order.push_back(&left);
        }
    }
    const bool cut = order.size() > mostRows;
    if (cut) {
        std::stable_sort(order.begin(), order.end(), [](const auto* a, const auto* b) {
            return std::abs(a->change.value_or(0.0)) > std::abs(b->change.value_or(0.0));
        });
        order.resize(mostRows);
    }
    const QCPScatterStyle dot(QCPScatterStyle::ssDisc, look.mid, look.mid, look.mark);
    for (const LeftOutSubject* left : order) {
        const bool marked = turns(*left);
        rows.rows.push_back(
            {FigureText::tr("without %1").arg(plainLabel(companion->subjects[left->index])), QString(),
             *left->meanDifference, left->ciLow, left->ciHigh,
             (left->p ? pLabel(*left->p) : QString()) + (marked ? FigureText::tr(", turns") : QString()),
             marked ? food.colour : look.mid, marked ? food.mark : dot,
             QString::fromStdString(companion->subjects[left->index])});
    }
    rows.numbers = false;
    rows.title =
        withUnit(FigureText::tr("Mean difference in %1 of %2, %3 from %4")
                     .arg(measureInText(companion->measure), analyteName(companion->analyte).toLower(),
                          foodLabel(study, companion->food), foodLabel(study, companion->comparator)),
                 plainLabel(companion->unit)) +
        FigureText::tr("; bars: %1 CI").arg(confidenceText(findings.plan.alpha)) +
        (cut ? FigureText::tr("; the %1 largest changes").arg(mostRows) : QString());
    drawIntervalRows(plot, look, rows);
}

}  // namespace

FigureKind influenceFigure() {
    return {
        "influence", QT_TRANSLATE_NOOP("Figures", "Without one subject"), &available,
        QT_TRANSLATE_NOOP("Figures", "Leaving subjects out needs a comparison of three subjects or more."),
        &draw};
}

}  // namespace aftercurve
