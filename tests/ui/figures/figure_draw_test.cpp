#include <gmock/gmock.h>

#include <cmath>
#include <set>

#include "tests/support/figure_fixture.h"
#include "ui/figures/figure.h"
#include "ui/figures/plot_elements.h"
#include "ui/figures/plot_frame.h"

namespace aftercurve {
namespace {

using testing::DoubleNear;
using testing::ElementsAre;
using testing::IsEmpty;

struct Drawn {
    explicit Drawn(std::string_view key, const fixture::FigureInput& input, const FigureChoice& choice = {},
                   const FigureStyle& style = {}) {
        plot.resize(661, 397);
        figureKind(key).draw(plot, input.study, input.findings, choice, style);
    }

    QCPGraph* graph(const QString& name) const {
        for (int i = 0; i < plot.graphCount(); ++i) {
            if (plot.graph(i)->objectName() == name) {
                return plot.graph(i);
            }
        }
        return nullptr;
    }
    std::vector<QCPCurve*> lines(const QString& name) const {
        std::vector<QCPCurve*> found;
        for (int i = 0; i < plot.plottableCount(); ++i) {
            auto* line = qobject_cast<QCPCurve*>(plot.plottable(i));
            if (line != nullptr && line->name() == name) {
                found.push_back(line);
            }
        }
        return found;
    }
    QString allText() const {
        QString text;
        for (int i = 0; i < plot.itemCount(); ++i) {
            if (const auto* note = qobject_cast<QCPItemText*>(plot.item(i))) {
                text += note->text() + u'\n';
            }
        }
        for (const QCPLayoutElement* element : plot.plotLayout()->elements(true)) {
            if (const auto* block = dynamic_cast<const TextBlock*>(element)) {
                text += block->text() + u'\n';
            }
        }
        return text;
    }

    mutable QCustomPlot plot;  // its getters are not const
};

std::vector<double> keys(const QCPGraph& graph) {
    std::vector<double> all;
    for (const QCPGraphData& point : *graph.data()) {
        all.push_back(point.key);
    }
    return all;
}

std::vector<double> values(const QCPGraph& graph) {
    std::vector<double> all;
    for (const QCPGraphData& point : *graph.data()) {
        all.push_back(point.value);
    }
    return all;
}

TEST(FigureList, HoldsEveryKindWithKeyTitleAndEmptyText) {
    std::vector<std::string> found;
    for (const FigureKind& kind : figureList()) {
        found.emplace_back(kind.key);
        EXPECT_FALSE(kind.title.empty());
        EXPECT_FALSE(kind.emptyText.empty());
        EXPECT_EQ(&figureKind(kind.key), &kind);
    }
    EXPECT_THAT(
        found,
        ElementsAre("curves_subjects", "curves_mean", "curves_increment", "comparison_paired",
                    "comparison_estimates", "agreement", "model_differences", "model_residuals",
                    "time_course", "margins", "margins_ratio", "influence", "normal_quantiles", "sensitivity",
                    "index", "index_ways", "index_pairs", "meals", "portions", "insulin_measures",
                    "sub_windows", "within_subject", "digestion_curves", "digestion_fractions", "fibre_bars",
                    "symptoms_diverging", "symptoms_dose", "bridge", "planning_power", "flow"));
}

TEST(Figures, HaveNothingToShowForEmptyFindingsAndSaySo) {
    const fixture::FigureInput empty;
    for (const FigureKind& kind : figureList()) {
        EXPECT_FALSE(kind.available(empty.study, empty.findings, {})) << kind.key;
        const Drawn drawn(kind.key, empty);
        EXPECT_EQ(drawn.plot.plottableCount(), 0) << kind.key;
        EXPECT_TRUE(drawn.allText().contains(QString::fromUtf8(kind.emptyText.data()))) << kind.key;
    }
}

TEST(Figures, AreAvailableForAnAnalysedTrialAndDrawTwiceTheSame) {
    const auto input = fixture::analysedTrial();
    PowerCurve curve;
    curve.points = {{2, 0.1}, {3, 0.6}, {4, 0.85}};
    curve.target = 0.8;
    curve.n = 4;
    FigureChoice choice;
    choice.planning = std::make_shared<const PowerCurve>(curve);
    // This trial has no diary and no three foods with assays (tolerance_figures_test.cpp draws those).
    const std::set<std::string_view> elsewhere{"symptoms_diverging", "symptoms_dose", "bridge"};
    for (const FigureKind& kind : figureList()) {
        if (elsewhere.contains(kind.key)) {
            continue;
        }
        EXPECT_TRUE(kind.available(input.study, input.findings, choice)) << kind.key;
        Drawn drawn(kind.key, input, choice);
        const int plottables = drawn.plot.plottableCount();
        const int items = drawn.plot.itemCount();
        // The flow is an element of the layout: boxes, no data (flow_figure_test.cpp).
        EXPECT_TRUE(plottables > 0 || kind.key == "flow") << kind.key;
        kind.draw(drawn.plot, input.study, input.findings, choice, {});
        EXPECT_EQ(drawn.plot.plottableCount(), plottables) << kind.key;
        EXPECT_EQ(drawn.plot.itemCount(), items) << kind.key;
    }
}

TEST(Figures, SurviveCurvesOfOnePointAndFindingsWithHoles) {
    auto input = fixture::smallInput();
    for (CurveFinding& curve : input.findings.curves) {
        curve.timeMin = {0.0};
        curve.value = {5.0};
        curve.window = {};
        curve.window.notEstimable = "last sample before the window's end";
        curve.notEstimable = curve.window.notEstimable;
    }
    for (MeanCurve& mean : input.findings.meanCurves) {
        mean.timeMin = {0.0};
        mean.n = {1};
        mean.mean = {5.0};
        mean.sem = {std::nullopt};
        mean.window = {{0.0}, {5.0}, 5.0, false, {}, {}};
    }
    input.findings.comparisons[0].t = PairedT{};
    input.findings.comparisons[0].t.absentBecause = "one subject only";
    input.findings.comparisons[0].pairs = {{"01", 1.0, 2.0, -1.0}};
    input.findings.index[0].index.mean.reset();
    input.findings.index[0].index.ciLow.reset();
    input.findings.index[0].index.ciHigh.reset();
    for (const FigureKind& kind : figureList()) {
        Drawn drawn(kind.key, input);
        QPixmap pixmap = drawn.plot.toPixmap(300, 200);
        EXPECT_FALSE(pixmap.isNull()) << kind.key;
    }
    EXPECT_TRUE(
        Drawn("comparison_paired", input).allText().contains(QStringLiteral("no test: one subject only")));
}

TEST(CurvesSubjects, HasAPanelForEachSubjectWithItsCurves) {
    const Drawn drawn("curves_subjects", fixture::smallInput());
    EXPECT_EQ(drawn.plot.axisRectCount(), 3);
    ASSERT_EQ(drawn.plot.graphCount(), 6);
    const QCPGraph* curve = drawn.graph(QStringLiteral("curve:01:bread:1"));
    ASSERT_NE(curve, nullptr);
    EXPECT_THAT(keys(*curve), ElementsAre(0.0, 30.0, 60.0, 120.0));
    EXPECT_THAT(values(*curve), ElementsAre(5.0, 7.0, 6.0, 4.0));
}

TEST(CurvesSubjects, ShowsAnExcludedCurveDashedAndPale) {
    const Drawn drawn("curves_subjects", fixture::smallInput());
    const QCPGraph* excluded = drawn.graph(QStringLiteral("curve:03:bread:1"));
    const QCPGraph* kept = drawn.graph(QStringLiteral("curve:02:bread:1"));
    ASSERT_NE(excluded, nullptr);
    ASSERT_NE(kept, nullptr);
    EXPECT_GT(excluded->pen().color().lightness(), kept->pen().color().lightness());
    EXPECT_EQ(excluded->pen().style(), Qt::CustomDashLine);
}

TEST(CurvesSubjects, DrawsTheSecondVisitThinner) {
    auto input = fixture::smallInput();
    CurveFinding again = input.findings.curves[0];
    again.visit = 2;
    input.findings.curves.insert(input.findings.curves.begin() + 1, again);
    const Drawn drawn("curves_subjects", input);
    EXPECT_LT(drawn.graph(QStringLiteral("curve:01:drink:2"))->pen().widthF(),
              drawn.graph(QStringLiteral("curve:01:drink:1"))->pen().widthF());
}

TEST(CurvesSubjects, SharesItsAxesAndLabelsTheOuterPanelsOnly) {
    fixture::FigureInput input = fixture::smallInput();
    const CurveFinding model = input.findings.curves[0];
    input.findings.curves.clear();
    for (int i = 0; i < 60; ++i) {
        CurveFinding curve = model;
        curve.subject = std::to_string(i);
        input.findings.curves.push_back(curve);
    }
    Drawn drawn("curves_subjects", input);
    ASSERT_EQ(drawn.plot.axisRectCount(), 60);
    int labelled = 0;
    for (int i = 0; i < 60; ++i) {
        QCPAxisRect& panel = *drawn.plot.axisRect(i);
        EXPECT_EQ(yAxisOf(panel)->range(), yAxisOf(*drawn.plot.axisRect(0))->range());
        labelled += yAxisOf(panel)->tickLabels() ? 1 : 0;
    }
    EXPECT_LT(labelled, 12);
    EXPECT_GT(labelled, 2);
}

TEST(CurvesMean, ShowsMeansAndSemAndNoBarWhereThereIsNone) {
    const Drawn drawn("curves_mean", fixture::smallInput());
    const QCPGraph* bread = drawn.graph(QStringLiteral("mean:bread"));
    ASSERT_NE(bread, nullptr);
    EXPECT_THAT(values(*bread), ElementsAre(4.5, 6.5, 5.5, 4.0));
    // Foods stand a little beside their times, less than two minutes in two hours.
    const auto times = keys(*bread);
    EXPECT_THAT(times, ElementsAre(DoubleNear(0.0, 2.0), DoubleNear(30.0, 2.0), DoubleNear(60.0, 2.0),
                                   DoubleNear(120.0, 2.0)));
    const auto* bars = drawn.plot.findChild<QCPErrorBars*>(QStringLiteral("sem:bread"));
    ASSERT_NE(bars, nullptr);
    ASSERT_EQ(bars->data()->size(), 4);
    EXPECT_DOUBLE_EQ((*bars->data())[1].errorPlus, 0.5);
    EXPECT_TRUE(std::isnan((*bars->data())[3].errorPlus));
}

TEST(CurvesMean, NamesFoodsWithTheirNumberOfSubjectsInTheKey) {
    const Drawn drawn("curves_mean", fixture::smallInput());
    QStringList entries;
    for (const QCPLayoutElement* element : drawn.plot.plotLayout()->elements(true)) {
        if (const auto* key = dynamic_cast<const FigureKey*>(element)) {
            for (const KeyEntry& entry : key->entries()) {
                entries << entry.text;
            }
        }
    }
    EXPECT_TRUE(entries.contains(QStringLiteral("Glucose drink (n = 3)")))
        << entries.join(u';').toStdString();
    EXPECT_TRUE(entries.contains(QStringLiteral("Barley bread (n = 1–2)")));
    EXPECT_TRUE(entries.contains(QStringLiteral("bars: ± SEM")));
}

TEST(CurvesIncrement, ShadesExactlyTheRegionThatTheRuleCounts) {
    const auto input = fixture::smallInput();
    FigureChoice choice;
    choice.subject = "01";
    choice.food = "bread";
    choice.measure = "area_net_incremental";
    const Drawn drawn("curves_increment", input, choice);
    const WindowPoints& window = input.findings.curves[1].window;
    const auto regions = countedRegions(window, choice.measure);
    std::vector<const CountedRegion*> counted;
    std::vector<const CountedRegion*> subtracted;
    for (const CountedRegion& region : regions) {
        (region.sign > 0 ? counted : subtracted).push_back(&region);
    }
    // 5, 7, 6, 4 over baseline 5 falls under it at 90 min: one region each.
    ASSERT_EQ(counted.size(), 1u);
    ASSERT_EQ(subtracted.size(), 1u);
    for (const auto& [name, region] :
         {std::pair{"counted", counted[0]}, std::pair{"subtracted", subtracted[0]}}) {
        const auto shapes = drawn.lines(QString::fromUtf8(name));
        ASSERT_EQ(shapes.size(), 1u) << name;
        const QCPCurve& shape = *shapes[0];
        const auto n = static_cast<int>(region->timeMin.size());
        ASSERT_EQ(shape.dataCount(), 2 * n) << name;
        for (int i = 0; i < n; ++i) {
            const auto at = static_cast<std::size_t>(i);
            const QCPCurveData& above = *(shape.data()->constBegin() + i);
            const QCPCurveData& below = *(shape.data()->constBegin() + (2 * n - 1 - i));
            EXPECT_DOUBLE_EQ(above.key, region->timeMin[at]);
            EXPECT_DOUBLE_EQ(above.value, region->upper[at] - 5.0);
            EXPECT_DOUBLE_EQ(below.key, region->timeMin[at]);
            EXPECT_DOUBLE_EQ(below.value, region->lower[at] - 5.0);
        }
    }
    EXPECT_EQ(drawn.lines(QStringLiteral("hatch")).size(), 1u);
    EXPECT_THAT(values(*drawn.graph(QStringLiteral("increment:bread"))), ElementsAre(0.0, 2.0, 1.0, -1.0));
}

TEST(CurvesIncrement, DrawsTheTotalAreaOverZero) {
    FigureChoice choice;
    choice.measure = "area_total";
    choice.food = "bread";
    const Drawn drawn("curves_increment", fixture::smallInput(), choice);
    EXPECT_THAT(values(*drawn.graph(QStringLiteral("increment:bread"))), ElementsAre(4.5, 6.5, 5.5, 4.0));
}

TEST(CurvesIncrement, MarksAPeakInsteadOfAnArea) {
    FigureChoice choice;
    choice.measure = "peak_rise";
    choice.subject = "02";
    choice.food = "drink";
    const Drawn drawn("curves_increment", fixture::smallInput(), choice);
    EXPECT_THAT(drawn.lines(QStringLiteral("counted")), IsEmpty());
    const auto marks = drawn.lines(QStringLiteral("measure"));
    ASSERT_EQ(marks.size(), 1u);
    // 4, 8, 6, 4: the peak of 8 at 30 min stands 4 over the baseline.
    EXPECT_DOUBLE_EQ(marks[0]->data()->constBegin()->key, 30.0);
    EXPECT_DOUBLE_EQ(marks[0]->data()->constBegin()->value, 0.0);
    EXPECT_DOUBLE_EQ((marks[0]->data()->constBegin() + 1)->value, 4.0);
}

TEST(ComparisonPaired, ShowsPairsDifferencesAndTheTest) {
    const Drawn drawn("comparison_paired", fixture::smallInput());
    EXPECT_THAT(values(*drawn.graph(QStringLiteral("pair:01"))), ElementsAre(120.0, 82.5));
    EXPECT_THAT(values(*drawn.graph(QStringLiteral("pair:02"))), ElementsAre(210.0, 105.0));
    EXPECT_THAT(values(*drawn.graph(QStringLiteral("differences"))),
                testing::UnorderedElementsAre(-37.5, -105.0));
    EXPECT_THAT(values(*drawn.graph(QStringLiteral("mean difference"))), ElementsAre(-71.25));
    // Means of the pairs: (82.5 + 105)/2 and (120 + 210)/2.
    EXPECT_DOUBLE_EQ(drawn.lines(QStringLiteral("mean:food")).at(0)->data()->constBegin()->value, 93.75);
    EXPECT_DOUBLE_EQ(drawn.lines(QStringLiteral("mean:comparator")).at(0)->data()->constBegin()->value,
                     165.0);
    const QString text = drawn.allText();
    EXPECT_TRUE(text.contains(QStringLiteral("(95 % CI −500.0 to 357.5), paired t(1) = −2.11, p = 0.282")))
        << text.toStdString();
    EXPECT_FALSE(text.contains(u'-')) << "a hyphen stands for a minus: " << text.toStdString();
}

TEST(ComparisonEstimates, ShowsEachDifferenceWithItsInterval) {
    const Drawn drawn("comparison_estimates", fixture::smallInput());
    EXPECT_THAT(keys(*drawn.graph(QStringLiteral("estimate:bread"))), ElementsAre(-71.25));
    const auto intervals = drawn.lines(QStringLiteral("interval"));
    ASSERT_EQ(intervals.size(), 1u);
    EXPECT_DOUBLE_EQ(intervals[0]->data()->constBegin()->key, -500.0);
    EXPECT_DOUBLE_EQ((intervals[0]->data()->constBegin() + 1)->key, 357.5);
}

TEST(IndexFigure, ShowsSubjectsMeanAndClassBandsForGlucoseWithAClass) {
    auto input = fixture::smallInput();
    {
        const Drawn drawn("index", input);
        EXPECT_THAT(values(*drawn.graph(QStringLiteral("subjects:bread"))),
                    testing::UnorderedElementsAre(68.75, 50.0));
        EXPECT_THAT(values(*drawn.graph(QStringLiteral("mean:bread"))), ElementsAre(59.375));
        std::vector<double> edges;
        for (int i = 0; i < drawn.plot.itemCount(); ++i) {
            if (const auto* band = qobject_cast<QCPItemRect*>(drawn.plot.item(i))) {
                edges.push_back(band->bottomRight->coords().y());
            }
        }
        // Classes are of the rounded value (ISO 26642:2010): 55 is low to 55.5, 70 is medium to 70.5.
        EXPECT_THAT(edges, ElementsAre(0.0, 55.5, 70.5));
    }
    input.findings.index[0].indexClass.reset();
    const Drawn drawn("index", input);
    EXPECT_EQ(drawn.plot.itemCount(), 0);
}

TEST(Figures, TellFoodsApartByMarkAndDashInGrey) {
    FigureStyle style;
    style.grey = true;
    const Drawn drawn("curves_mean", fixture::smallInput(), {}, style);
    const QCPGraph* drink = drawn.graph(QStringLiteral("mean:drink"));
    const QCPGraph* bread = drawn.graph(QStringLiteral("mean:bread"));
    EXPECT_EQ(drink->pen().color(), bread->pen().color());
    EXPECT_EQ(drink->pen().color().saturation(), 0);
    EXPECT_NE(drink->scatterStyle().shape(), bread->scatterStyle().shape());
    EXPECT_NE(drink->pen().style(), bread->pen().style());
}

}  // namespace
}  // namespace aftercurve
