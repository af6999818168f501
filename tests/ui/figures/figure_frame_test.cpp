// What a style asks of one panel: axes, unit, spread, key, looks of foods, language.
#include "ui/figures/figure_frame.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/figure/figure_words.h"
#include "tests/support/figure_fixture.h"
#include "ui/figures/figure_language.h"
#include "ui/figures/figure_scope.h"
#include "ui/figures/figure_text.h"
#include "ui/figures/plot_frame.h"

namespace aftercurve {
namespace {

struct Drawn {
    QCustomPlot plot;

    Drawn(std::string_view key, const fixture::FigureInput& input, const FigureStyle& style,
          const FigureChoice& choice = {}) {
        plot.setProperty(pixelsPerPointProperty, 1.0);
        plot.setViewport(QRect(0, 0, 496, 298));
        figureKind(key).draw(plot, input.study, input.findings, choice, style);
        plot.toPixmap(496, 298);  // lays it out
    }

    QCPAxisRect& panel() { return *plot.axisRects().first(); }

    template <class Element>
    Element* find() {
        for (QCPLayoutElement* element : plot.findChildren<QCPLayoutElement*>()) {
            if (auto* found = dynamic_cast<Element*>(element)) {
                return found;
            }
        }
        return nullptr;
    }
};

TEST(FigureFrame, TheListOfTheCoreIsThatOfTheFigures) {
    for (const FigureKind& kind : figureList()) {
        EXPECT_TRUE(isFigureKind(kind.key)) << kind.key;
    }
    EXPECT_FALSE(isFigureKind("pie"));
}

TEST(FigureFrame, AxesRunAsAskedAndBandsAndLinesRunWithThem) {
    FigureStyle style;
    style.frame.x = {-30.0, 150.0, "Minutes"};
    style.frame.y = {2.0, 12.0, "Plasma glucose"};
    Drawn drawn("curves_mean", fixture::smallInput(), style);
    EXPECT_EQ(xAxisOf(drawn.panel())->range(), QCPRange(-30.0, 150.0));
    EXPECT_EQ(yAxisOf(drawn.panel())->range(), QCPRange(2.0, 12.0));
    EXPECT_EQ(xAxisOf(drawn.panel())->label(), QStringLiteral("Minutes"));
    EXPECT_EQ(yAxisOf(drawn.panel())->label(), QStringLiteral("Plasma glucose"));
    bool band = false;
    for (int i = 0; i < drawn.plot.itemCount(); ++i) {
        if (const auto* rect = qobject_cast<QCPItemRect*>(drawn.plot.item(i))) {
            band = true;
            EXPECT_EQ(rect->topLeft->value(), 12.0);
            EXPECT_EQ(rect->bottomRight->value(), 2.0);
            EXPECT_EQ(rect->bottomRight->key(), 120.0) << "the window's end is no edge";
        }
    }
    EXPECT_TRUE(band);
}

TEST(FigureFrame, OneEndAloneKeepsTheOtherAndSharedAxesFollow) {
    FigureStyle style;
    style.frame.y.high = 20.0;
    const Drawn plain("curves_subjects", fixture::smallInput(), {});
    Drawn drawn("curves_subjects", fixture::smallInput(), style);
    ASSERT_EQ(drawn.plot.axisRects().size(), 3);
    for (QCPAxisRect* panel : drawn.plot.axisRects()) {
        EXPECT_EQ(yAxisOf(*panel)->range().upper, 20.0);
        EXPECT_EQ(yAxisOf(*panel)->range().lower, yAxisOf(*plain.plot.axisRects().first())->range().lower);
    }
}

TEST(FigureFrame, AnotherUnitScalesTheAxisAndNotTheData) {
    FigureStyle style;
    style.frame.unit = "mg/dL";
    style.frame.y = {0.0, 180.16, ""};
    Drawn drawn("curves_mean", fixture::smallInput(), style);
    // 18.016 mg/dL a mmol/L (core/study/units.h), so 180.16 mg/dL are 10 mmol/L.
    EXPECT_NEAR(yAxisOf(drawn.panel())->range().upper, 10.0, 1e-12);
    EXPECT_EQ(yAxisOf(drawn.panel())->label(), QStringLiteral("Glucose (mg/dL)"));
    const QVector<QString> labels = yAxisOf(drawn.panel())->tickVectorLabels();
    ASSERT_GT(labels.size(), 2);
    EXPECT_TRUE(labels.contains(QStringLiteral("100"))) << labels.join(u' ').toStdString();
    const auto* graph = drawn.plot.findChild<QCPGraph*>(QStringLiteral("mean:drink"));
    ASSERT_NE(graph, nullptr);
    EXPECT_EQ(graph->data()->at(1)->value, 8.25);
}

TEST(FigureFrame, AUnitThatTheAnalyteDoesNotHaveIsNotUsed) {
    FigureStyle style;
    style.frame.unit = "furlongs";
    Drawn drawn("curves_mean", fixture::smallInput(), style);
    EXPECT_EQ(yAxisOf(drawn.panel())->label(), QStringLiteral("Glucose (mmol/L)"));
}

TEST(FigureFrame, BarsAreThoseOfTheSpread) {
    for (const auto& [spread, half] : {std::pair{FigureSpread::standardError, 0.25},
                                       {FigureSpread::standardDeviation, 0.5},
                                       {FigureSpread::confidenceInterval, 0.75}}) {
        FigureStyle style;
        style.frame.spread = spread;
        Drawn drawn("curves_mean", fixture::smallInput(), style);
        const auto* bars = drawn.plot.findChild<QCPErrorBars*>(QStringLiteral("sem:drink"));
        ASSERT_NE(bars, nullptr);
        EXPECT_EQ(bars->data()->at(1).errorPlus, half);
        EXPECT_EQ(bars->data()->at(1).errorMinus, half);
    }
}

TEST(FigureFrame, TheKeyStandsInThePanelOrNowhere) {
    FigureStyle style;
    style.frame.key = KeyPlace{0.6, 0.1};
    Drawn inside("curves_mean", fixture::smallInput(), style);
    auto* key = inside.find<FigureKey>();
    ASSERT_NE(key, nullptr);
    EXPECT_EQ(key->layout(), inside.panel().insetLayout());
    style.frame.showKey = false;
    Drawn none("curves_mean", fixture::smallInput(), style);
    EXPECT_EQ(none.find<FigureKey>(), nullptr);
}

TEST(FigureFrame, FoodsLookAsAsked) {
    FigureStyle style;
    style.foods = {{"bread", "Loaf", "#123456", "open-diamond", "dotted"}};
    Drawn drawn("curves_mean", fixture::smallInput(), style);
    const auto* graph = drawn.plot.findChild<QCPGraph*>(QStringLiteral("mean:bread"));
    ASSERT_NE(graph, nullptr);
    EXPECT_EQ(graph->name(), QStringLiteral("Loaf"));
    EXPECT_EQ(graph->pen().color(), QColor(0x12, 0x34, 0x56));
    EXPECT_EQ(graph->pen().dashPattern(), (QVector<double>{1.5, 2.0}));
    EXPECT_EQ(graph->scatterStyle().shape(), QCPScatterStyle::ssDiamond);
    EXPECT_EQ(graph->scatterStyle().brush().color(), QColor(Qt::white));
    style.grey = true;
    Drawn grey("curves_mean", fixture::smallInput(), style);
    EXPECT_NE(grey.plot.findChild<QCPGraph*>(QStringLiteral("mean:bread"))->pen().color(),
              QColor(0x12, 0x34, 0x56));
}

TEST(FigureFrame, EveryKindIsDrawnWithAllOfIt) {
    const auto input = fixture::analysedTrial();
    FigureStyle style;
    style.grey = true;
    style.language = FigureLanguage::german;
    style.foods = {{"barley", "Gerste", "#123456", "circle", "short"}, {"none", "", "", "", ""}};
    style.frame.title = "Panel";
    style.frame.x = {-5.0, 200.0, "x"};
    style.frame.y = {-1.0, 300.0, "y"};
    style.frame.unit = "mg/dL";
    style.frame.spread = FigureSpread::confidenceInterval;
    style.frame.key = KeyPlace{0.9, 0.9};
    for (const FigureKind& kind : figureList()) {
        Drawn drawn(kind.key, input, style);
        EXPECT_NE(drawn.plot.findChild<QCPLayoutElement*>(QStringLiteral("panel title")), nullptr)
            << kind.key;
    }
}

TEST(FigureLanguages, TheDecimalMarkFollows) {
    FigureStyle style;
    style.language = FigureLanguage::swedish;
    EXPECT_EQ(numberText(-1.5, 1), QStringLiteral("−1.5"));
    {
        const FigureScope scope(style);
        EXPECT_EQ(numberText(-1.5, 1), QStringLiteral("−1,5"));
        EXPECT_EQ(pLabel(0.012), QStringLiteral("p = 0,012"));
        EXPECT_EQ(FigureText::tr("Mean curves"), QStringLiteral("Medelkurvor"));
        EXPECT_EQ(FigureText::tr("Ledger of nothing"), QStringLiteral("Ledger of nothing"));
    }
    EXPECT_EQ(FigureText::tr("Mean curves"), QStringLiteral("Mean curves"));
    style.frame.y = {4.0, 5.0, ""};
    Drawn drawn("curves_mean", fixture::smallInput(), style);
    EXPECT_TRUE(yAxisOf(drawn.panel())->tickVectorLabels().contains(QStringLiteral("4,2")));
}

}  // namespace
}  // namespace aftercurve
