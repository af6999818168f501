// The figures of the statistics draw the findings, number by number.
#include <gtest/gtest.h>

#include <map>
#include <string>
#include <vector>

#include "tests/support/figure_fixture.h"
#include "ui/figures/figure.h"
#include "ui/figures/plot_frame.h"

namespace aftercurve {
namespace {

struct Drawn {
    Drawn(std::string_view key, const fixture::FigureInput& input, const FigureChoice& choice) {
        plot.resize(661, 397);
        figureKind(key).draw(plot, input.study, input.findings, choice, {});
    }

    QCPGraph* graph(const QString& name) {
        for (int i = 0; i < plot.graphCount(); ++i) {
            if (plot.graph(i)->objectName() == name) {
                return plot.graph(i);
            }
        }
        return nullptr;
    }

    QCustomPlot plot;
};

FigureChoice choiceOf(const std::string& food) {
    FigureChoice choice;
    choice.analyte = "glucose";
    choice.measure = "area_positive_incremental";
    choice.food = food;
    return choice;
}

TEST(StatisticsFigures, InfluenceHasARowForAllSubjectsAndForEachLeftOut) {
    const auto input = fixture::analysedTrial();
    const CompanionFinding& companion = input.findings.companions.comparisons.front();
    Drawn drawn("influence", input, choiceOf(companion.food));
    ASSERT_NE(drawn.graph("estimate:all"), nullptr);
    EXPECT_EQ(drawn.graph("estimate:all")->data()->at(0)->key,
              *input.findings.comparisons.front().t.meanDifference);
    for (const LeftOutSubject& left : companion.influence.subjects) {
        QCPGraph* row =
            drawn.graph(QStringLiteral("estimate:") + QString::fromStdString(companion.subjects[left.index]));
        ASSERT_NE(row, nullptr);
        EXPECT_EQ(row->data()->at(0)->key, *left.meanDifference);
    }
}

TEST(StatisticsFigures, MarginsStandAsLines) {
    const auto input = fixture::analysedTrial();
    const std::string food = input.findings.companions.margins.front().food;
    Drawn drawn("margins", input, choiceOf(food));
    std::vector<double> margins;
    for (int i = 0; i < drawn.plot.plottableCount(); ++i) {
        auto* line = qobject_cast<QCPCurve*>(drawn.plot.plottable(i));
        if (line != nullptr && line->name() == QStringLiteral("margin")) {
            margins.push_back(line->data()->at(0)->key);
        }
    }
    // Equivalence from −60 to 60, non-inferiority at 30.
    EXPECT_EQ(margins, (std::vector<double>{-60.0, 30.0, 60.0}));
}

TEST(StatisticsFigures, TheTimeCourseMarksWhatIsBelowTheLevel) {
    const auto input = fixture::analysedTrial();
    const TimeCourseFinding& finding = input.findings.timeCourses.front();
    ASSERT_TRUE(finding.fit.absentBecause.empty()) << finding.fit.absentBecause;
    Drawn drawn("time_course", input, choiceOf("barley"));
    int below = 0;
    int all = 0;
    for (const TimeCourseDifference& d : finding.fit.differences) {
        if (finding.foods[d.food] == "barley") {
            ++all;
            below += d.pAdjusted && *d.pAdjusted < 0.05 ? 1 : 0;
        }
    }
    ASSERT_NE(drawn.graph("difference:barley"), nullptr);
    EXPECT_EQ(drawn.graph("difference:barley")->dataCount(), all);
    EXPECT_EQ(drawn.graph("below:barley")->dataCount(), below);
    EXPECT_EQ(drawn.graph("difference:pea"), nullptr);
}

TEST(StatisticsFigures, SensitivityShowsThePlanAndOneChangeAtATime) {
    const auto input = fixture::analysedTrial();
    const SensitivityFinding& finding = input.findings.sensitivity.front();
    Drawn drawn("sensitivity", input, choiceOf(finding.food));
    int rows = 0;
    for (const SensitivityRow& way : finding.rows) {
        rows += way.changes <= 1 && way.standardised ? 1 : 0;
    }
    ASSERT_NE(drawn.graph("estimate:0"), nullptr);
    EXPECT_EQ(drawn.graph("estimate:0")->data()->at(0)->key, *finding.rows.front().standardised);
    EXPECT_NE(drawn.graph(QStringLiteral("estimate:%1").arg(rows - 1)), nullptr);
    EXPECT_EQ(drawn.graph(QStringLiteral("estimate:%1").arg(rows)), nullptr);
}

TEST(StatisticsFigures, QuantilesAndResidualsHoldEveryPoint) {
    const auto input = fixture::analysedTrial();
    const CompanionFinding& companion = input.findings.companions.comparisons.front();
    Drawn quantiles("normal_quantiles", input, choiceOf(companion.food));
    EXPECT_EQ(quantiles.graph("quantiles")->dataCount(), static_cast<int>(companion.quantiles.points.size()));
    Drawn residuals("model_residuals", input, choiceOf(""));
    int points = 0;
    for (const Food& food : input.study.foods) {
        points +=
            residuals.graph(QStringLiteral("residuals:") + QString::fromStdString(food.id))->dataCount();
    }
    EXPECT_EQ(points, static_cast<int>(input.findings.models.front().residuals.residuals.size()));
}

TEST(StatisticsFigures, TheModelShowsTheFamily) {
    auto input = fixture::analysedTrial();
    Drawn drawn("model_differences", input, choiceOf(""));
    const ModelFinding& model = input.findings.models.front();
    ASSERT_FALSE(model.family.comparisons.empty());
    for (const ModelComparison& comparison : model.family.comparisons) {
        const ModelDifference& d = model.fit.differences[comparison.difference];
        QCPGraph* row =
            drawn.graph(QStringLiteral("estimate:") +
                        QString::fromStdString(model.foods[d.level] + "/" + model.foods[d.minus]));
        ASSERT_NE(row, nullptr);
        EXPECT_EQ(row->data()->at(0)->key, *d.estimate);
    }
}

TEST(StatisticsFigures, TheIndexStandsInSeveralWays) {
    const auto input = fixture::analysedTrial();
    ASSERT_FALSE(input.findings.indexWays.empty());
    Drawn drawn("index_ways", input, choiceOf("barley"));
    for (const IndexWay& way : input.findings.indexWays) {
        if (way.analyte == "glucose" && way.food == "barley" && way.estimate) {
            QCPGraph* row =
                drawn.graph(QStringLiteral("estimate:barley/") + QString::fromStdString(keyOf(way.way)));
            ASSERT_NE(row, nullptr) << keyOf(way.way);
            EXPECT_EQ(row->data()->at(0)->key, *way.estimate);
        }
    }
}

TEST(StatisticsFigures, EveryPairOfIndicesHasARow) {
    const auto input = fixture::analysedTrial();
    ASSERT_FALSE(input.findings.indexPairs.empty());
    Drawn drawn("index_pairs", input, choiceOf(""));
    for (const IndexPair& pair : input.findings.indexPairs) {
        if (pair.analyte == "glucose" && pair.t.meanDifference) {
            QCPGraph* row = drawn.graph(QStringLiteral("estimate:") +
                                        QString::fromStdString(pair.food + "/" + pair.comparator));
            ASSERT_NE(row, nullptr) << pair.food;
            EXPECT_EQ(row->data()->at(0)->key, *pair.t.meanDifference);
        }
    }
}

TEST(StatisticsFigures, AMealHasItsPredictedAndItsObservedIndex) {
    const auto input = fixture::analysedTrial();
    ASSERT_EQ(input.findings.meals.size(), 1U);
    const MealFinding& meal = input.findings.meals.front();
    Drawn drawn("meals", input, choiceOf(meal.food));
    QCPGraph* predicted = drawn.graph(QStringLiteral("predicted:") + QString::fromStdString(meal.food));
    QCPGraph* observed = drawn.graph(QStringLiteral("observed:") + QString::fromStdString(meal.food));
    ASSERT_NE(predicted, nullptr);
    ASSERT_NE(observed, nullptr);
    EXPECT_EQ(predicted->data()->at(0)->key, 50.0);  // (40 · 55 + 10 · 30)/50
    EXPECT_EQ(observed->data()->at(0)->key, *meal.observed.estimate);
}

TEST(StatisticsFigures, PartsOfTheWindowStandByFood) {
    const auto input = fixture::analysedTrial();
    Drawn drawn("sub_windows", input, choiceOf(""));
    std::map<std::string, std::vector<double>> means;
    for (const CurvePartFinding& part : input.findings.curvePartFindings) {
        if (part.analyte == "glucose") {
            means[part.food].push_back(part.increment.meanDifference.value());
        }
    }
    ASSERT_EQ(means.size(), 3U);
    for (const auto& [food, expected] : means) {
        QCPGraph* graph = drawn.graph(QStringLiteral("part:") + QString::fromStdString(food));
        ASSERT_NE(graph, nullptr) << food;
        ASSERT_EQ(expected.size(), 2U) << "0 to 60 and 60 to 120 min";
        ASSERT_EQ(graph->dataCount(), 2);
        EXPECT_EQ(graph->data()->at(0)->value, expected[0]);
        EXPECT_EQ(graph->data()->at(1)->value, expected[1]);
    }
    Drawn one("sub_windows", input, choiceOf("pea"));
    EXPECT_NE(one.graph("part:pea"), nullptr);
    EXPECT_EQ(one.graph("part:drink"), nullptr);
}

TEST(StatisticsFigures, EveryRepeatedVisitIsAMark) {
    const auto input = fixture::analysedTrial();
    Drawn drawn("within_subject", input, choiceOf(""));
    QCPGraph* visits = drawn.graph("visits:drink");
    ASSERT_NE(visits, nullptr);
    EXPECT_EQ(visits->dataCount(), 16) << "eight subjects, two visits each";
    EXPECT_EQ(drawn.graph("visits:pea"), nullptr) << "no subject ate it twice";
    const auto lines = [&] {
        int count = 0;
        for (int i = 0; i < drawn.plot.plottableCount(); ++i) {
            count += drawn.plot.plottable(i)->name() == QStringLiteral("subject") ? 1 : 0;
        }
        return count;
    }();
    EXPECT_EQ(lines, 8);
}

}  // namespace
}  // namespace aftercurve
