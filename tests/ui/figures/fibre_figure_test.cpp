// The figure of fibre draws the findings, bar by bar.
#include <gtest/gtest.h>

#include "tests/support/figure_fixture.h"
#include "ui/figures/figure.h"
#include "ui/figures/plot_frame.h"

namespace aftercurve {
namespace {

QCPBars* barOf(QCustomPlot& plot, const QString& name) {
    for (int i = 0; i < plot.plottableCount(); ++i) {
        if (plot.plottable(i)->objectName() == name) {
            return qobject_cast<QCPBars*>(plot.plottable(i));
        }
    }
    return nullptr;
}

fixture::FigureInput withFibre() {
    fixture::FigureInput input = fixture::smallInput();
    FibreData& fibre = input.study.fibre;
    fibre.results = {{"bran", "2009.01", "total", 1, 40.0, false, {}, "", 2},
                     {"bran", "2009.01", "total", 2, 42.0, false, {}, "", 3},
                     {"bran", "985.29", "total", 1, 30.0, true, {}, "", 4},
                     {"bran", "2002.02", "resistant-starch", 1, {}, false, {}, "", 5}};
    Recipe loaf;
    loaf.id = "loaf";
    loaf.label = "Loaf";
    loaf.parts = {{"flour", 100.0, 4.0, {}, {}, {}, {}}, {"bran", 0.0, 40.0, {}, {}, {}, {}}};
    loaf.replaced = "flour";
    loaf.by = "bran";
    loaf.replacedShare = 0.5;
    fibre.recipes = {loaf};
    input.findings.fibre = fibreFindings(input.study, input.findings.plan);
    return input;
}

TEST(FibreBarsFigure, BarsAreThoseOfTheFindings) {
    const auto input = withFibre();
    QCustomPlot plot;
    plot.resize(661, 397);
    figureKind("fibre_bars").draw(plot, input.study, input.findings, {}, {});
    QCPBars* mean = barOf(plot, QStringLiteral("fibre:bran:2009.01:total:"));
    ASSERT_NE(mean, nullptr);
    EXPECT_EQ(mean->data()->at(0)->value, 41.0);
    // On dry matter, the moisture not given: drawn as such, and without an SD, for there is one
    // determination.
    QCPBars* dry = barOf(plot, QStringLiteral("fibre:bran:985.29:total:"));
    ASSERT_NE(dry, nullptr);
    EXPECT_EQ(dry->data()->at(0)->value, 30.0);
    // No value: no bar of height 0.
    EXPECT_EQ(barOf(plot, QStringLiteral("fibre:bran:2002.02:resistant-starch:")), nullptr);
    ASSERT_NE(barOf(plot, QStringLiteral("recipe:loaf:before")), nullptr);
    EXPECT_EQ(barOf(plot, QStringLiteral("recipe:loaf:before"))->data()->at(0)->value, 4.0);
    EXPECT_EQ(barOf(plot, QStringLiteral("recipe:loaf:after"))->data()->at(0)->value, 22.0);
    int errorBars = 0;
    for (int i = 0; i < plot.plottableCount(); ++i) {
        errorBars += qobject_cast<QCPErrorBars*>(plot.plottable(i)) != nullptr ? 1 : 0;
    }
    EXPECT_EQ(errorBars, 1);
    EXPECT_EQ(plot.axisRectCount(), 2);
}

TEST(FibreBarsFigure, NothingKnownIsNoFigure) {
    auto input = withFibre();
    for (FibreResult& result : input.study.fibre.results) {
        result.value.reset();
    }
    input.study.fibre.recipes.clear();
    input.findings.fibre = fibreFindings(input.study, input.findings.plan);
    EXPECT_FALSE(figureKind("fibre_bars").available(input.study, input.findings, {}));
}

TEST(FibreBarsFigure, MoreThanThereIsRoomForIsSaid) {
    auto input = withFibre();
    input.study.fibre.results.clear();
    for (int i = 0; i < 20; ++i) {
        input.study.fibre.results.push_back(
            {"bran " + std::to_string(i), "2009.01", "total", 1, 40.0, false, {}, "", 2});
    }
    input.findings.fibre = fibreFindings(input.study, input.findings.plan);
    QCustomPlot plot;
    plot.resize(661, 397);
    figureKind("fibre_bars").draw(plot, input.study, input.findings, {}, {});
    bool said = false;
    for (int i = 0; i < plot.itemCount(); ++i) {
        const auto* text = qobject_cast<QCPItemText*>(plot.item(i));
        said = said || (text != nullptr && text->text() == QStringLiteral("the first 16 of 20"));
    }
    EXPECT_TRUE(said);
}

}  // namespace
}  // namespace aftercurve
