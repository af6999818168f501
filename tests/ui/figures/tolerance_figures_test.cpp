// The figures of symptoms and of digestion beside response draw the findings, number by number.
#include <gtest/gtest.h>

#include "tests/support/diary_builder.h"
#include "ui/figures/figure.h"
#include "ui/figures/plot_frame.h"

namespace aftercurve {
namespace {

struct Drawn {
    Study study;
    Findings findings;
    QCustomPlot plot;

    void draw(std::string_view key, const FigureChoice& choice = {}) {
        plot.resize(661, 397);
        figureKind(key).draw(plot, study, findings, choice, {});
    }

    template <class Plottable>
    Plottable* named(const QString& name) {
        for (int i = 0; i < plot.plottableCount(); ++i) {
            if (plot.plottable(i)->objectName() == name) {
                return qobject_cast<Plottable*>(plot.plottable(i));
            }
        }
        return nullptr;
    }
};

/// Four subjects, a drink and a crispbread at two doses.
void fillWithDiary(Drawn& drawn) {
    test::DiaryBuilder builder;
    builder.item("bloating").item("cramps");
    const int five[] = {0, 1, 1, 2};
    const int ten[] = {1, 2, 3, 3};
    for (int s = 0; s < 4; ++s) {
        const std::string subject = "0" + std::to_string(s + 1);
        builder.day(subject, "drink", 1, {s == 3 ? 1 : 0, 0}, {}, 1);
        builder.day(subject, "crispbread", 1, {five[s], 0}, 5.0, 2);
        builder.day(subject, "crispbread", 1, {ten[s], 1}, 10.0, 3);
    }
    drawn.study = builder.study();
    drawn.findings.plan.comparator = "drink";
    drawn.findings.tolerance = toleranceFindings(drawn.study, drawn.findings.plan);
}

TEST(ToleranceFigures, BarsStandAroundTheLineAndAddUpToAllSubjects) {
    Drawn drawn;
    fillWithDiary(drawn);
    ASSERT_TRUE(figureKind("symptoms_diverging").available(drawn.study, drawn.findings, {}));
    drawn.draw("symptoms_diverging");
    // Drink: three subjects without bloating, one with score 1; arm 0, item 0.
    auto* none = drawn.named<QCPBars>("share:0:0:0");
    auto* one = drawn.named<QCPBars>("share:0:0:1");
    ASSERT_NE(none, nullptr);
    ASSERT_NE(one, nullptr);
    EXPECT_EQ(none->data()->at(0)->value, -75.0);
    EXPECT_EQ(one->data()->at(0)->value, 25.0);
    EXPECT_EQ(one->baseValue(), 0.0);
    // 10 g: scores 1, 2, 3, 3.
    auto* three = drawn.named<QCPBars>("share:0:2:3");
    ASSERT_NE(three, nullptr);
    EXPECT_EQ(three->data()->at(0)->value, 50.0);
    EXPECT_EQ(three->baseValue(), 50.0);
    EXPECT_EQ(drawn.named<QCPBars>("share:0:2:0"), nullptr);
    FigureChoice choice;
    choice.measure = "cramps";
    drawn.draw("symptoms_diverging", choice);
    EXPECT_EQ(drawn.named<QCPBars>("share:0:0:0"), nullptr);
    EXPECT_NE(drawn.named<QCPBars>("share:1:0:0"), nullptr);
}

TEST(ToleranceFigures, DosesShowMeansAndTheComparator) {
    Drawn drawn;
    fillWithDiary(drawn);
    FigureChoice choice;
    choice.measure = "bloating";
    drawn.draw("symptoms_dose", choice);
    auto* line = drawn.named<QCPGraph>("dose:crispbread");
    ASSERT_NE(line, nullptr);
    EXPECT_EQ(line->data()->at(0)->key, 5.0);
    EXPECT_EQ(line->data()->at(0)->value, 1.0);  // mean of 0, 1, 1, 2
    EXPECT_EQ(line->data()->at(1)->value, 2.25);
    auto* comparator = drawn.named<QCPCurve>("comparator");
    ASSERT_NE(comparator, nullptr);
    EXPECT_EQ(comparator->data()->at(0)->value, 0.25);
    choice.food = "drink";
    EXPECT_FALSE(figureKind("symptoms_dose").available(drawn.study, drawn.findings, choice));
}

TEST(ToleranceFigures, TheBridgeShowsEachFoodAndTheLine) {
    Drawn drawn;
    drawn.study.foods = {{"rye", "Rye", FoodRole::test, {}, {}},
                         {"pea", "Pea", FoodRole::test, {}, {}},
                         {"oat", "Oat", FoodRole::test, {}, {}}};
    const BridgeQuantity x{
        "hydrolysis_index", "Hydrolysis index", "", {{"rye", 60, 2.0}, {"pea", 40, {}}, {"oat", 50, {}}}};
    const BridgeQuantity y{"area", "Mean area", "", {{"rye", 200, 5.0}, {"pea", 150, {}}, {"oat", 185, {}}}};
    EXPECT_FALSE(figureKind("bridge").available(drawn.study, drawn.findings, {}));
    drawn.findings.bridge.pairs = {bridgeOf(x, y, 0.05)};
    ASSERT_TRUE(figureKind("bridge").available(drawn.study, drawn.findings, {}));
    drawn.draw("bridge");
    auto* rye = drawn.named<QCPGraph>("food:rye");
    ASSERT_NE(rye, nullptr);
    EXPECT_EQ(rye->data()->at(0)->key, 60.0);
    EXPECT_EQ(rye->data()->at(0)->value, 200.0);
    auto* line = drawn.named<QCPCurve>("deming");
    ASSERT_NE(line, nullptr);
    const DemingLine& deming = drawn.findings.bridge.pairs[0].deming;
    const double at = line->data()->at(1)->key;
    EXPECT_DOUBLE_EQ(line->data()->at(1)->value, *deming.intercept + *deming.slope * at);
}

}  // namespace
}  // namespace aftercurve
