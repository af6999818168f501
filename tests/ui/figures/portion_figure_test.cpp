// The figure of the portions draws the findings, bar by bar.
#include <gtest/gtest.h>

#include "tests/support/figure_fixture.h"
#include "ui/figures/figure.h"
#include "ui/figures/plot_frame.h"

namespace aftercurve {
namespace {

fixture::FigureInput withPortions() {
    fixture::FigureInput input = fixture::smallInput();
    Study& study = input.study;
    study.foods[0].availableCarbohydrateG = 50.0;
    study.foods[1].availableCarbohydrateG = 40.0;
    study.foods[1].portionG = 120.0;
    study.foods[1].composition.fibreG = 6.5;
    input.findings.plan.comparator = study.foods[0].id;
    input.findings.portions = portionFindings(study, input.findings.plan);
    return input;
}

QCPBars* barOf(QCustomPlot& plot, const QString& name) {
    for (int i = 0; i < plot.plottableCount(); ++i) {
        if (plot.plottable(i)->objectName() == name) {
            return qobject_cast<QCPBars*>(plot.plottable(i));
        }
    }
    return nullptr;
}

QStringList textsOf(QCustomPlot& plot) {
    QStringList texts;
    for (int i = 0; i < plot.itemCount(); ++i) {
        if (auto* text = qobject_cast<QCPItemText*>(plot.item(i)); text != nullptr) {
            texts << text->text();
        }
    }
    return texts;
}

TEST(PortionsFigure, BarsAndBandAreThoseOfTheFindings) {
    const auto input = withPortions();
    QCustomPlot plot;
    plot.resize(661, 397);
    figureKind("portions").draw(plot, input.study, input.findings, {}, {});
    const QString second = QString::fromStdString(input.study.foods[1].id);
    QCPBars* carbohydrate = barOf(plot, QStringLiteral("available carbohydrate:") + second);
    ASSERT_NE(carbohydrate, nullptr);
    EXPECT_EQ(carbohydrate->data()->at(0)->value, 40.0);
    QCPBars* fibre = barOf(plot, QStringLiteral("fibre:") + second);
    ASSERT_NE(fibre, nullptr);
    EXPECT_EQ(fibre->data()->at(0)->value, 6.5);
    // The first food's fibre is not given: no bar of height 0 stands for it.
    EXPECT_EQ(barOf(plot, QStringLiteral("fibre:") + QString::fromStdString(input.study.foods[0].id)),
              nullptr);
    EXPECT_EQ(textsOf(plot).count(QStringLiteral("not\ngiven")), 1);
    QCPItemRect* band = nullptr;
    for (int i = 0; i < plot.itemCount(); ++i) {
        if (auto* rect = qobject_cast<QCPItemRect*>(plot.item(i)); rect != nullptr) {
            band = rect;
        }
    }
    ASSERT_NE(band, nullptr);
    EXPECT_DOUBLE_EQ(band->bottomRight->coords().y(), 45.0);
    EXPECT_DOUBLE_EQ(band->topLeft->coords().y(), 55.0);
}

TEST(PortionsFigure, NothingGivenIsNoFigure) {
    auto input = fixture::smallInput();
    for (Food& food : input.study.foods) {
        food.availableCarbohydrateG.reset();
        food.composition = {};
    }
    input.findings.portions = portionFindings(input.study, input.findings.plan);
    EXPECT_FALSE(figureKind("portions").available(input.study, input.findings, {}));
    QCustomPlot plot;
    plot.resize(661, 397);
    figureKind("portions").draw(plot, input.study, input.findings, {}, {});
    EXPECT_EQ(plot.plottableCount(), 0);
}

}  // namespace
}  // namespace aftercurve
