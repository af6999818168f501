#include "ui/figures/portion_bars.h"

#include <algorithm>

#include "core/base/number_text.h"
#include "ui/figures/figure_text.h"
#include "ui/figures/plot_frame.h"

namespace aftercurve {

namespace {

constexpr double barWidth = 0.34;
constexpr double fromMiddle = 0.19;

std::optional<double> fibreOf(const PortionFinding& finding) {
    for (const PortionAmount& amount : finding.amounts) {
        if (amount.key == "fibre_g") {
            return amount.perPortion;
        }
    }
    return std::nullopt;
}

/// Foods with something to draw.
std::vector<const PortionFinding*> shownPortions(const Findings& findings, const FigureChoice& choice) {
    std::vector<const PortionFinding*> shown;
    for (const PortionFinding& finding : findings.portions) {
        const bool anything = finding.availableCarbohydrateG || fibreOf(finding);
        if (anything && (choice.food.empty() || finding.food == choice.food)) {
            shown.push_back(&finding);
        }
    }
    return shown;
}

bool available(const Study& /*study*/, const Findings& findings, const FigureChoice& choice) {
    return !shownPortions(findings, choice).empty();
}

/// A bar from 0, and its height as a number above it.
void addBar(QCPAxisRect& panel, const QString& id, double at, double height, const QBrush& fill,
            const QPen& edge, const FigureLook& look) {
    auto* bar = new QCPBars(xAxisOf(panel), yAxisOf(panel));
    bar->setObjectName(id);
    bar->setWidthType(QCPBars::wtPlotCoords);
    bar->setWidth(barWidth);
    bar->setBrush(fill);
    bar->setPen(edge);
    bar->addData(at, height);
    QCPItemText* number = addTextAt(panel, numberText(height, 1), look.smallFont, look.ink, at, height,
                                    Qt::AlignHCenter | Qt::AlignBottom);
    number->setPadding(QMargins(0, 0, 0, static_cast<int>(look.px)));
}

void addNotKnown(QCPAxisRect& panel, double at, const FigureLook& look) {
    QCPItemText* text = addTextAt(panel, FigureText::tr("not\ngiven"), look.smallFont, look.mid, at, 0.0,
                                  Qt::AlignHCenter | Qt::AlignBottom);
    text->setPadding(QMargins(0, 0, 0, static_cast<int>(2.0 * look.px)));
}

/// What stands under a food: its name, its portion, and whether it is matched.
QString nameUnder(const Study& study, const PortionFinding& finding, const FigureLook& look, double room) {
    QString text = wrapped(foodLabel(study, finding.food), look.smallFont, room);
    if (finding.portionG) {
        text += u'\n' + FigureText::tr("portion %1 g").arg(numberText(*finding.portionG, 0));
    }
    QString match = FigureText::tr("comparator");
    if (finding.toComparator) {
        match = finding.toComparator->status == MatchStatus::matched      ? FigureText::tr("matched")
                : finding.toComparator->status == MatchStatus::notMatched ? FigureText::tr("not matched")
                                                                          : FigureText::tr("match not known");
    } else if (finding.comparator.empty()) {
        match.clear();
    }
    return match.isEmpty() ? text : text + u'\n' + match;
}

std::vector<KeyEntry> keyOf(const Study& study, const Findings& findings,
                            const std::vector<const PortionFinding*>& shown, const FigureLook& look) {
    KeyEntry carbohydrate;
    carbohydrate.text = FigureText::tr("available carbohydrate");
    carbohydrate.mark = QCPScatterStyle(QCPScatterStyle::ssSquare, solidPen(look.ink, look.thin),
                                        QBrush(look.ink), 1.6 * look.mark);
    KeyEntry fibre;
    fibre.text = FigureText::tr("fibre");
    fibre.mark = QCPScatterStyle(QCPScatterStyle::ssSquare, solidPen(look.ink, look.line), QBrush(Qt::white),
                                 1.6 * look.mark);
    std::vector<KeyEntry> entries{carbohydrate, fibre};
    const PortionFinding& first = *shown.front();
    if (first.matchLowG && first.matchHighG) {
        KeyEntry band;
        band.text = FigureText::tr("within %1 % of %2")
                        .arg(plainLabel(plainNumber(findings.plan.indexPlan.matchTolerancePercent)),
                             foodLabel(study, first.comparator));
        band.patch = QBrush(QColor(0xE2, 0xE2, 0xE2));
        entries.push_back(band);
    }
    return entries;
}

void draw(QCustomPlot& plot, const Study& study, const Findings& findings, const FigureChoice& choice,
          const FigureStyle& style) {
    const FigureLook look = lookFor(plot, style);
    const auto shown = shownPortions(findings, choice);
    if (shown.empty()) {
        drawEmpty(plot, look, FigureText::tr(portionsFigure().emptyText.data()));
        return;
    }
    clearPlot(plot, look);
    plot.plotLayout()->addElement(0, 0, new FigureKey(&plot, look, keyOf(study, findings, shown, look)));
    plot.plotLayout()->setRowStretchFactor(0, 0.001);
    QCPAxisRect* panel = newPanel(plot, look);
    plot.plotLayout()->addElement(1, 0, panel);

    Span values;
    values.take(0.0);
    for (const PortionFinding* finding : shown) {
        values.take(finding->availableCarbohydrateG.value_or(0.0));
        values.take(fibreOf(*finding).value_or(0.0));
        values.take(finding->matchHighG.value_or(0.0));
    }
    const QCPRange across(-0.6, static_cast<double>(shown.size()) - 0.4);
    QCPAxis* x = xAxisOf(*panel);
    QCPAxis* y = yAxisOf(*panel);
    x->setRange(across);
    y->setRange(values.padded(0.0, 0.1));
    setNumberTicks(*y, 6);
    y->setLabel(FigureText::tr("In the portion (g)"));
    std::vector<QString> names;
    const double room = 0.7 * std::max(1, plot.width()) / static_cast<double>(shown.size());
    for (const PortionFinding* finding : shown) {
        names.push_back(nameUnder(study, *finding, look, room));
    }
    setCategories(*x, names);
    const PortionFinding& first = *shown.front();
    if (first.matchLowG && first.matchHighG) {
        addBand(*panel, across.lower, *first.matchLowG, across.upper, *first.matchHighG,
                QColor(0xE2, 0xE2, 0xE2));
    }
    for (std::size_t i = 0; i < shown.size(); ++i) {
        const PortionFinding& finding = *shown[i];
        const FoodLook food = foodLook(study, finding.food, look);
        const QString id = QString::fromStdString(finding.food);
        const double at = static_cast<double>(i);
        const QPen edge = solidPen(food.colour, look.thin);
        if (finding.availableCarbohydrateG) {
            addBar(*panel, QStringLiteral("available carbohydrate:") + id, at - fromMiddle,
                   *finding.availableCarbohydrateG, QBrush(food.colour), edge, look);
        } else {
            addNotKnown(*panel, at - fromMiddle, look);
        }
        if (const auto fibre = fibreOf(finding)) {
            addBar(*panel, QStringLiteral("fibre:") + id, at + fromMiddle, *fibre, QBrush(Qt::white),
                   solidPen(food.colour, look.line), look);
        } else {
            addNotKnown(*panel, at + fromMiddle, look);
        }
    }
}

}  // namespace

FigureKind portionsFigure() {
    return {"portions",
            QT_TRANSLATE_NOOP("Figures", "Portions"),
            &available,
            QT_TRANSLATE_NOOP("Figures", "No portion has its available carbohydrate or fibre in study.json."),
            &draw,
            true};
}

}  // namespace aftercurve
