#include "ui/figures/meals_plot.h"

#include <algorithm>

#include "ui/figures/figure_text.h"
#include "ui/figures/plot_frame.h"

namespace aftercurve {

namespace {

constexpr double barAt = -0.16;      ///< of the parts, beside the meal's place
constexpr double halfBar = 0.15;     ///< half of the bar's height
constexpr double observedAt = 0.22;  ///< of the observed mean

std::vector<const MealFinding*> shownMeals(const Findings& findings, const FigureChoice& choice) {
    std::vector<const MealFinding*> meals;
    // A meal's index is one of glucose.
    if (!choice.analyte.empty() && choice.analyte != "glucose") {
        return meals;
    }
    for (const MealFinding& meal : findings.meals) {
        if (meal.predicted.index && (choice.food.empty() || meal.food == choice.food)) {
            meals.push_back(&meal);
        }
    }
    return meals;
}

bool available(const Study&, const Findings& findings, const FigureChoice& choice) {
    return !shownMeals(findings, choice).empty();
}

void addPartName(QCPAxisRect& panel, const QString& text, const FigureLook& look, double x, double y) {
    auto* name = new QCPItemText(xAxisOf(panel)->parentPlot());
    name->position->setAxisRect(&panel);
    name->position->setAxes(xAxisOf(panel), yAxisOf(panel));
    name->position->setType(QCPItemPosition::ptPlotCoords);
    name->position->setCoords(x, y);
    name->setPositionAlignment(Qt::AlignCenter);
    name->setText(text);
    name->setFont(look.smallFont);
    name->setColor(look.ink);
    name->setPadding(QMargins());
}

/// The parts' contributions end to end; a name where there is room, else its number in the caption's list.
void drawParts(QCPAxisRect& panel, const MealFinding& meal, double at, double unitsPerPixel,
               const FigureLook& look) {
    const QColor shades[] = {QColor(0xDD, 0xDD, 0xDD), QColor(0xC4, 0xC4, 0xC4)};
    const QFontMetricsF metrics(look.smallFont);
    double begin = 0.0;
    for (std::size_t i = 0; i < meal.predicted.parts.size(); ++i) {
        const double end = begin + meal.predicted.parts[i].contribution;
        addBand(panel, begin, at + barAt - halfBar, end, at + barAt + halfBar, shades[i % 2]);
        const QString name = plainLabel(meal.parts[i].label);
        const double room = (end - begin) / unitsPerPixel - 2.0 * look.px;
        const QString number = QString::number(i + 1);
        if (metrics.horizontalAdvance(name) <= room) {
            addPartName(panel, name, look, (begin + end) / 2.0, at + barAt);
        } else if (metrics.horizontalAdvance(number) <= room) {
            addPartName(panel, number, look, (begin + end) / 2.0, at + barAt);
        }
        begin = end;
    }
}

void drawValues(QCPAxisRect& panel, const MealFinding& meal, const FoodLook& food, double at,
                const FigureLook& look) {
    const QString id = QString::fromStdString(meal.food);
    addLine(panel, QStringLiteral("predicted line"), *meal.predicted.index, at + barAt - halfBar - 0.04,
            *meal.predicted.index, at + observedAt + 0.14, solidPen(look.ink, look.thin));
    const QCPScatterStyle diamond(QCPScatterStyle::ssDiamond, solidPen(look.ink, look.line),
                                  QBrush(Qt::white), 1.5 * look.mark);
    addMarks(panel, QStringLiteral("predicted"), {*meal.predicted.index}, {at + barAt}, diamond)
        ->setObjectName(QStringLiteral("predicted:") + id);
    if (!meal.observed.estimate) {
        return;
    }
    if (meal.observed.low && meal.observed.high) {
        addLine(panel, QStringLiteral("interval"), *meal.observed.low, at + observedAt, *meal.observed.high,
                at + observedAt, solidPen(food.colour, look.line))
            ->setObjectName(QStringLiteral("interval:") + id);
    }
    addMarks(panel, QStringLiteral("observed"), {*meal.observed.estimate}, {at + observedAt},
             scaledMark(food.mark, 1.5))
        ->setObjectName(QStringLiteral("observed:") + id);
}

QString partsText(const Study& study, const std::vector<const MealFinding*>& meals) {
    QString text;
    for (const MealFinding* meal : meals) {
        text += (text.isEmpty() ? QString() : QStringLiteral(". ")) + foodLabel(study, meal->food) +
                QStringLiteral(": ");
        for (std::size_t i = 0; i < meal->parts.size(); ++i) {
            text += (i == 0 ? QString() : QStringLiteral(", ")) + QString::number(i + 1) +
                    QStringLiteral("\u00A0") + plainLabel(meal->parts[i].label);
        }
    }
    return text;
}

void draw(QCustomPlot& plot, const Study& study, const Findings& findings, const FigureChoice& choice,
          const FigureStyle& style) {
    const FigureLook look = lookFor(plot, style);
    const auto meals = shownMeals(findings, choice);
    if (meals.empty()) {
        drawEmpty(plot, look, FigureText::tr(mealsFigure().emptyText.data()));
        return;
    }
    clearPlot(plot, look);
    QCPAxisRect* panel = newPanel(plot, look);
    plot.plotLayout()->addElement(0, 0, panel);
    Span span;
    span.take(0.0);
    std::vector<QString> names;
    const double width = std::max(1, plot.width());
    for (const MealFinding* meal : meals) {
        span.take(*meal->predicted.index);
        span.take(meal->observed.high.value_or(meal->observed.estimate.value_or(0.0)));
        span.take(meal->observed.low.value_or(0.0));
        QString numbers = FigureText::tr("predicted %1").arg(numberText(*meal->predicted.index, 1));
        if (meal->observed.estimate) {
            numbers += u'\n' + FigureText::tr("observed %1, n\u00A0=\u00A0%2")
                                   .arg(numberText(*meal->observed.estimate, 1))
                                   .arg(meal->n);
        }
        names.push_back(wrapped(foodLabel(study, meal->food), look.smallFont, 0.24 * width) + u'\n' +
                        numbers);
    }
    QCPAxis* x = xAxisOf(*panel);
    QCPAxis* y = yAxisOf(*panel);
    setCategories(*y, names);
    y->setRange(-0.6, static_cast<double>(meals.size()) - 0.4);
    y->setRangeReversed(true);
    y->setBasePen(Qt::NoPen);
    const QCPRange range = span.padded(span.low < 0.0 ? 0.05 : 0.0, 0.06);
    x->setRange(range);
    setNumberTicks(*x, width > 300.0 * look.px ? 8 : 4);
    x->setLabel(FigureText::tr("Glycaemic index, glucose scale"));
    for (std::size_t i = 0; i < meals.size(); ++i) {
        const double at = static_cast<double>(i);
        drawParts(*panel, *meals[i], at, range.size() / (0.7 * width), look);
        drawValues(*panel, *meals[i], foodLook(study, meals[i]->food, look), at, look);
    }
    QString note = FigureText::tr(
                       "Open diamond: predicted from the parts, whose contributions are the grey "
                       "bar; filled: mean observed with %1 CI. %2")
                       .arg(confidenceText(findings.plan.alpha), partsText(study, meals));
    addCaption(plot, look, 1, note);
}

}  // namespace

FigureKind mealsFigure() {
    return {"meals", QT_TRANSLATE_NOOP("Figures", "Mixed meals"), &available,
            QT_TRANSLATE_NOOP("Figures", "No mixed meal: no food names its parts, or there is no index."),
            &draw};
}

}  // namespace aftercurve
