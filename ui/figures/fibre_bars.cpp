#include "ui/figures/fibre_bars.h"

#include <algorithm>

#include "ui/figures/figure_text.h"
#include "ui/figures/plot_frame.h"

namespace aftercurve {

namespace {

constexpr double barWidth = 0.62;
constexpr double leastRecipeShare = 0.27;
/// More would leave no room for their names; the note says how many there are.
constexpr std::size_t mostBars = 16;

struct Bar {
    QString id;    ///< of the plottable
    QString name;  ///< under it
    double height = 0.0;
    std::optional<double> sd;
    bool hollow = false;
};

/// A result as it is where that is known, else on dry matter, which its name says.
std::vector<Bar> resultBars(const Findings& findings) {
    std::vector<Bar> bars;
    for (const FibreResultFinding& result : findings.fibre.results) {
        const bool dry = !result.asIsPer100g.value;
        const auto& value = dry ? result.dryPer100g.value : result.asIsPer100g.value;
        if (!value) {
            continue;
        }
        Bar bar;
        bar.id = QStringLiteral("fibre:%1:%2:%3:%4")
                     .arg(QString::fromStdString(result.material), QString::fromStdString(result.method),
                          QString::fromStdString(result.fraction), QString::fromStdString(result.laboratory));
        bar.name = plainLabel(result.material) + u'\n' + plainLabel(result.method) + u'\n' +
                   plainLabel(result.fraction).replace(u'-', u' ');
        if (!result.laboratory.empty()) {
            bar.name += u'\n' + plainLabel(result.laboratory);
        }
        if (dry) {
            bar.name += u'\n' + FigureText::tr("dry matter");
        }
        bar.height = *value;
        if (result.spreadOnDry == dry) {
            bar.sd = result.spread.sd.value;
        }
        bar.hollow = result.fraction != "total";
        bars.push_back(std::move(bar));
    }
    return bars;
}

std::vector<Bar> recipeBars(const Findings& findings) {
    std::vector<Bar> bars;
    for (const RecipeFinding& recipe : findings.fibre.recipes) {
        const auto add = [&](const RecipeContents& contents, const QString& when, const QString& state) {
            if (contents.fibre.per100g.value) {
                bars.push_back({QStringLiteral("recipe:%1:%2").arg(QString::fromStdString(recipe.id), when),
                                plainLabel(recipe.label) + u'\n' + state, *contents.fibre.per100g.value,
                                std::nullopt, when == QStringLiteral("before")});
            }
        };
        add(recipe.before, QStringLiteral("before"), FigureText::tr("as it is made"));
        if (recipe.after) {
            add(*recipe.after, QStringLiteral("after"), plainLabel(recipe.replacement));
        }
    }
    return bars;
}

bool available(const Study& /*study*/, const Findings& findings, const FigureChoice& /*choice*/) {
    return !resultBars(findings).empty() || !recipeBars(findings).empty();
}

void addNumber(QCPAxisRect& panel, double at, double top, double height, const FigureLook& look) {
    QCPItemText* number = addTextAt(panel, numberText(height, 1), look.smallFont, look.ink, at, top,
                                    Qt::AlignHCenter | Qt::AlignBottom);
    number->setPadding(QMargins(0, 0, 0, static_cast<int>(look.px)));
}

void addBar(QCPAxisRect& panel, const Bar& bar, double at, const FigureLook& look) {
    auto* drawn = new QCPBars(xAxisOf(panel), yAxisOf(panel));
    drawn->setObjectName(bar.id);
    drawn->setWidthType(QCPBars::wtPlotCoords);
    drawn->setWidth(barWidth);
    drawn->setBrush(QBrush(bar.hollow ? QColor(Qt::white) : look.light));
    drawn->setPen(solidPen(look.ink, look.thin));
    drawn->addData(at, bar.height);
    if (bar.sd) {
        QCPGraph* top = addMarks(panel, QStringLiteral("sd of ") + bar.id, {at}, {bar.height},
                                 QCPScatterStyle(QCPScatterStyle::ssNone));
        addErrorBars(*top, {*bar.sd}, {*bar.sd}, solidPen(look.ink, look.thin), look.mark,
                     QCPErrorBars::etValueError);
    }
    addNumber(panel, at, bar.height + bar.sd.value_or(0.0), bar.height, look);
}

/// One panel of bars, `share` of the figure's width for it.
void addPanel(QCustomPlot& plot, const std::vector<Bar>& bars, int column, double share, const QString& title,
              const FigureLook& look) {
    QCPAxisRect* panel = newPanel(plot, look);
    plot.plotLayout()->addElement(0, column, panel);
    plot.plotLayout()->setColumnStretchFactor(column, share);
    const std::size_t count = std::min(bars.size(), mostBars);
    Span values;
    values.take(0.0);
    std::vector<QString> names;
    const double beside = 4.5 * QFontMetricsF(look.font).height();  // the axis and its title
    const double room = 0.95 * (share * std::max(1, plot.width()) - beside) / static_cast<double>(count);
    for (std::size_t i = 0; i < count; ++i) {
        values.take(bars[i].height + bars[i].sd.value_or(0.0));
        names.push_back(wrapped(bars[i].name, look.smallFont, room));
    }
    xAxisOf(*panel)->setRange(-0.6, static_cast<double>(count) - 0.4);
    yAxisOf(*panel)->setRange(values.padded(0.0, 0.14));
    setNumberTicks(*yAxisOf(*panel), 6);
    yAxisOf(*panel)->setLabel(title);
    setCategories(*xAxisOf(*panel), names);
    for (std::size_t i = 0; i < count; ++i) {
        addBar(*panel, bars[i], static_cast<double>(i), look);
    }
    if (bars.size() > count) {
        addNote(*panel, FigureText::tr("the first %1 of %2").arg(count).arg(bars.size()), look.smallFont,
                look.mid, 0.99, 0.01, Qt::AlignRight | Qt::AlignTop);
    }
}

void draw(QCustomPlot& plot, const Study& /*study*/, const Findings& findings, const FigureChoice& /*choice*/,
          const FigureStyle& style) {
    const FigureLook look = lookFor(plot, style);
    const std::vector<Bar> results = resultBars(findings);
    const std::vector<Bar> recipes = recipeBars(findings);
    if (results.empty() && recipes.empty()) {
        drawEmpty(plot, look, FigureText::tr(fibreBarsFigure().emptyText.data()));
        return;
    }
    clearPlot(plot, look);
    const auto shown = [](const std::vector<Bar>& bars) {
        return static_cast<double>(std::min(bars.size(), mostBars));
    };
    // The names of recipes are long: at least a quarter of the width is theirs.
    const double bars = shown(results) + shown(recipes);
    const double ofRecipes = recipes.empty() ? 0.0 : std::max(leastRecipeShare, shown(recipes) / bars);
    int column = 0;
    if (!results.empty()) {
        addPanel(plot, results, column++, 1.0 - ofRecipes, FigureText::tr("Fibre in 100 g (g), mean ± SD"),
                 look);
    }
    if (!recipes.empty()) {
        addPanel(plot, recipes, column, results.empty() ? 1.0 : ofRecipes,
                 FigureText::tr("Fibre in 100 g of the product (g)"), look);
    }
}

}  // namespace

FigureKind fibreBarsFigure() {
    return {
        "fibre_bars",
        QT_TRANSLATE_NOOP("Figures", "Fibre by method and recipe"),
        &available,
        QT_TRANSLATE_NOOP("Figures", "The study has no fibre results and no recipe whose fibre is known."),
        &draw,
        true};
}

}  // namespace aftercurve
