// The figure of insulin measures draws the findings, number by number.
#include <gtest/gtest.h>

#include "tests/support/figure_fixture.h"
#include "ui/figures/figure.h"
#include "ui/figures/plot_frame.h"

namespace aftercurve {
namespace {

QCPGraph* graphOf(QCustomPlot& plot, const QString& name) {
    for (int i = 0; i < plot.graphCount(); ++i) {
        if (plot.graph(i)->objectName() == name) {
            return plot.graph(i);
        }
    }
    return nullptr;
}

TEST(InsulinFigure, EachSubjectAndTheMeanStandAtTheirValues) {
    const auto input = fixture::analysedTrial();
    FigureChoice choice;
    choice.measure = "homa_ir";
    ASSERT_TRUE(figureKind("insulin_measures").available(input.study, input.findings, choice));
    QCustomPlot plot;
    plot.resize(661, 397);
    figureKind("insulin_measures").draw(plot, input.study, input.findings, choice, {});
    std::size_t foods = 0;
    for (const InsulinSummary& summary : input.findings.insulinSummaries) {
        if (summary.key != "homa_ir" || summary.n == 0) {
            continue;
        }
        ++foods;
        const QString food = QString::fromStdString(summary.food);
        QCPGraph* mean = graphOf(plot, QStringLiteral("mean:") + food);
        QCPGraph* subjects = graphOf(plot, QStringLiteral("subjects:") + food);
        ASSERT_NE(mean, nullptr);
        ASSERT_NE(subjects, nullptr);
        EXPECT_EQ(mean->data()->at(0)->value, *summary.mean);
        EXPECT_EQ(static_cast<std::size_t>(subjects->data()->size()), summary.n);
    }
    EXPECT_EQ(foods, 3U);
}

TEST(InsulinFigure, StandsWithInsulinAndIsEmptyWithoutValues) {
    auto input = fixture::analysedTrial();
    FigureChoice choice;
    choice.analyte = "insulin";
    const FigureKind& kind = figureKind("insulin_measures");
    EXPECT_TRUE(kind.available(input.study, input.findings, choice));
    choice.analyte = "glucose";
    EXPECT_FALSE(kind.available(input.study, input.findings, choice));
    choice.measure = "quicki";
    EXPECT_TRUE(kind.available(input.study, input.findings, choice));
    input.findings.insulinSummaries.clear();
    EXPECT_FALSE(kind.available(input.study, input.findings, choice));
    QCustomPlot plot;
    kind.draw(plot, input.study, input.findings, choice, {});
    EXPECT_EQ(plot.graphCount(), 0);
}

}  // namespace
}  // namespace aftercurve
