// The figures of symptoms and of digestion beside response draw the findings, number by number.
#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/diary_builder.h"
#include "ui/figures/default_figures.h"
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

TEST(ToleranceFigures, FoodsOfOneDoseAreMarksWithTheirDoseInTheKey) {
    Drawn drawn;
    test::DiaryBuilder builder;
    builder.item("bloating");
    for (int s = 0; s < 4; ++s) {
        const std::string subject = "0" + std::to_string(s + 1);
        builder.day(subject, "drink", 1, {s == 3 ? 1 : 0}, 0.0, 1);
        builder.day(subject, "crispbread", 1, {s}, 6.0, 2);
        builder.day(subject, "porridge", 1, {3 - s / 2}, 6.0, 3);
    }
    builder.study().foods.push_back({"porridge", "Pea porridge", FoodRole::test, std::nullopt, std::nullopt});
    drawn.study = builder.study();
    drawn.findings.plan.comparator = "drink";
    drawn.findings.tolerance = toleranceFindings(drawn.study, drawn.findings.plan);
    ASSERT_TRUE(figureKind("symptoms_dose").available(drawn.study, drawn.findings, {}));
    drawn.draw("symptoms_dose");
    auto* crispbread = drawn.named<QCPGraph>("dose:crispbread");
    auto* porridge = drawn.named<QCPGraph>("dose:porridge");
    ASSERT_TRUE(crispbread != nullptr && porridge != nullptr);
    ASSERT_EQ(crispbread->data()->size(), 1);
    EXPECT_EQ(crispbread->data()->at(0)->value, 1.5);  // mean of 0, 1, 2, 3
    EXPECT_EQ(porridge->data()->at(0)->value, 2.5);    // mean of 3, 3, 2, 2
    EXPECT_EQ(crispbread->lineStyle(), QCPGraph::lsNone);
    // Beside each other around their dose of 6 g, so that neither hides the other.
    EXPECT_LT(crispbread->data()->at(0)->key, 6.0);
    EXPECT_NEAR(crispbread->data()->at(0)->key + porridge->data()->at(0)->key, 12.0, 1e-9);
    auto* drink = drawn.named<QCPGraph>("dose:drink");
    ASSERT_NE(drink, nullptr);
    EXPECT_EQ(drink->data()->at(0)->key, 0.0);
    QStringList texts;
    for (auto* element : drawn.plot.findChildren<QCPLayoutElement*>()) {
        if (auto* found = dynamic_cast<FigureKey*>(element)) {
            for (const KeyEntry& entry : found->entries()) {
                texts << entry.text;
            }
        }
    }
    ASSERT_EQ(texts.size(), 3);
    EXPECT_TRUE(texts[0].endsWith(QStringLiteral("6 g"))) << texts[0].toStdString();
}

/// Names of rows and of items, and the pixels that a row has.
struct Rows {
    QStringList arms;
    QStringList items;
    double pitch = 0.0;
    double line = 0.0;
};

Rows rowsOf(QCustomPlot& plot) {
    plot.replot();
    Rows rows;
    QCPAxis* y = plot.axisRects().first()->axis(QCPAxis::atLeft);
    const auto ticker = y->ticker().dynamicCast<QCPAxisTickerText>();
    for (const QString& text : ticker->ticks()) {
        rows.arms << text;
    }
    rows.pitch = std::abs(y->coordToPixel(1.0) - y->coordToPixel(0.0));
    rows.line = QFontMetricsF(y->tickLabelFont()).height();
    for (int i = 0; i < plot.itemCount(); ++i) {
        if (plot.item(i)->objectName() == QStringLiteral("item")) {
            rows.items << qobject_cast<QCPItemText*>(plot.item(i))->text();
        }
    }
    return rows;
}

TEST(ToleranceFigures, EachItemIsNamedOnceAboveItsFoods) {
    Drawn drawn;
    fillWithDiary(drawn);
    drawn.draw("symptoms_diverging");
    const Rows rows = rowsOf(drawn.plot);
    ASSERT_EQ(rows.items.size(), 2);
    EXPECT_TRUE(rows.items[0].endsWith(QStringLiteral("(n = 4)"))) << rows.items[0].toStdString();
    ASSERT_EQ(rows.arms.size(), 6);
    for (const QString& arm : rows.arms) {
        EXPECT_FALSE(arm.contains(QStringLiteral("bloating"))) << arm.toStdString();
    }
}

TEST(ToleranceFigures, RowsKeepRoomForTheirNamesOrAreSaidToBeLeftOut) {
    for (const int arms : {2, 4, 8}) {
        for (const int items : {1, 4, 8}) {
            Drawn drawn;
            test::DiaryBuilder builder;
            for (int i = 0; i < items; ++i) {
                builder.item("symptom " + std::to_string(i + 1));
            }
            for (int s = 0; s < 2; ++s) {
                for (int a = 0; a < arms; ++a) {
                    builder.day("0" + std::to_string(s + 1), "crispbread", 1,
                                std::vector<std::optional<int>>(static_cast<std::size_t>(items), a % 4),
                                3.0 * a, a + 1);
                }
            }
            drawn.study = builder.study();
            drawn.findings.tolerance = toleranceFindings(drawn.study, drawn.findings.plan);
            for (const int widthMm : {85, 120, 174}) {
                const double pixels = 96.0 / 25.4;
                drawn.plot.resize(static_cast<int>(widthMm * pixels),
                                  static_cast<int>(heightFor("symptoms_diverging", drawn.study) * pixels));
                drawn.plot.setViewport(drawn.plot.rect());  // a hidden widget gets no event of its new size
                figureKind("symptoms_diverging").draw(drawn.plot, drawn.study, drawn.findings, {}, {});
                const Rows rows = rowsOf(drawn.plot);
                EXPECT_GE(rows.pitch, 0.99 * rows.line) << arms << " " << items << " " << widthMm;
                bool said = false;
                for (auto* element : drawn.plot.findChildren<QCPLayoutElement*>()) {
                    auto* block = dynamic_cast<TextBlock*>(element);
                    said = said || (block != nullptr && block->text().contains(QStringLiteral("symptoms")));
                }
                EXPECT_EQ(said, rows.items.size() < items) << arms << " " << items << " " << widthMm;
            }
        }
    }
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
