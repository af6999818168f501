// The figures of digestion in vitro draw the findings and nothing else.
#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/figure_fixture.h"
#include "tests/support/trial_assays.h"
#include "ui/figures/figure.h"
#include "ui/figures/plot_frame.h"

namespace aftercurve {
namespace {

fixture::FigureInput withAssays() {
    fixture::FigureInput input = fixture::smallInput();
    input.study.assays = test::trialAssays();
    input.findings.digestion = digestionFindings(input.study, input.findings.plan);
    return input;
}

template <class Plottable>
Plottable* plottableOf(QCustomPlot& plot, const QString& name) {
    for (int i = 0; i < plot.plottableCount(); ++i) {
        if (plot.plottable(i)->objectName() == name) {
            return qobject_cast<Plottable*>(plot.plottable(i));
        }
    }
    return nullptr;
}

TEST(DigestionFigures, CurvesShowMeansErrorsAndTheFit) {
    const auto input = withAssays();
    QCustomPlot plot;
    plot.resize(661, 397);
    figureKind("digestion_curves").draw(plot, input.study, input.findings, {}, {});
    const auto* marks = plottableOf<QCPGraph>(plot, QStringLiteral("digestion:flakes"));
    ASSERT_NE(marks, nullptr);
    const DigestionSample& flakes = input.findings.digestion.bySample[1];
    ASSERT_EQ(marks->data()->size(), static_cast<int>(flakes.curve.size()));
    EXPECT_EQ(marks->data()->at(4)->value, flakes.curve[4].mean);
    const auto* fit = plottableOf<QCPGraph>(plot, QStringLiteral("fit:flakes"));
    ASSERT_NE(fit, nullptr);
    EXPECT_EQ(fit->data()->at(0)->value, 0.0);
    EXPECT_NEAR(fit->data()->at(200)->value, flakes.curve.back().mean, 1e-6);
    EXPECT_NE(plottableOf<QCPErrorBars>(plot, QStringLiteral("sd:white")), nullptr);
}

TEST(DigestionFigures, BarsStandOnEachOther) {
    const auto input = withAssays();
    QCustomPlot plot;
    plot.resize(661, 397);
    figureKind("digestion_fractions").draw(plot, input.study, input.findings, {}, {});
    auto* rapid = plottableOf<QCPBars>(plot, QStringLiteral("rapidly_digestible:flakes"));
    auto* slow = plottableOf<QCPBars>(plot, QStringLiteral("slowly_digestible:flakes"));
    auto* left = plottableOf<QCPBars>(plot, QStringLiteral("resistant:flakes"));
    ASSERT_TRUE(rapid != nullptr && slow != nullptr && left != nullptr);
    EXPECT_EQ(slow->barBelow(), rapid);
    EXPECT_EQ(left->barBelow(), slow);
    EXPECT_NEAR(rapid->data()->at(0)->value + slow->data()->at(0)->value + left->data()->at(0)->value, 100.0,
                1e-9);
}

TEST(DigestionFigures, TwoPhasesInTurnAreAThinLineOfTheirOwn) {
    auto input = withAssays();
    QCustomPlot plot;
    plot.resize(661, 397);
    DigestionSample& flakes = input.findings.digestion.bySample[1];
    flakes.slopes.phases.resize(1);
    figureKind("digestion_curves").draw(plot, input.study, input.findings, {}, {});
    EXPECT_EQ(plottableOf<QCPGraph>(plot, QStringLiteral("in turn:flakes")), nullptr);
    flakes.slopes.phases = {{5.0, 25.0, 3, 0.05, std::nullopt, 1.0, std::exp(1.0) / 0.05},
                            {35.0, 55.0, 3, 0.01, std::nullopt, -0.6, std::exp(-0.6) / 0.01}};
    figureKind("digestion_curves").draw(plot, input.study, input.findings, {}, {});
    const auto* line = plottableOf<QCPGraph>(plot, QStringLiteral("in turn:flakes"));
    ASSERT_NE(line, nullptr);
    EXPECT_EQ(line->data()->at(0)->value, flakes.curve.front().mean);
    const CurvePoint first{flakes.curve.front().timeMin, flakes.curve.front().mean};
    EXPECT_EQ(line->data()->at(200)->value,
              slopeCurve(flakes.slopes, first, flakes.curve.back().timeMin).value_or(-1.0));
}

TEST(DigestionFigures, NumbersWithoutRoomInTheirPartStandUnderTheSample) {
    auto input = withAssays();
    DigestionSample& white = input.findings.digestion.bySample[0];
    const double small[] = {96.5, 2.5, 1.0};
    const StarchFraction parts[] = {StarchFraction::rapidly, StarchFraction::slowly,
                                    StarchFraction::resistant};
    for (FractionSummary& summary : white.fractions) {
        for (std::size_t i = 0; i < std::size(parts); ++i) {
            if (summary.fraction == parts[i] && summary.basis == input.findings.digestion.basis) {
                summary.mean = small[i];
                summary.sd.reset();
            }
        }
    }
    QCustomPlot plot;
    plot.resize(661, 397);
    figureKind("digestion_fractions").draw(plot, input.study, input.findings, {}, {});
    QStringList inside;
    for (int i = 0; i < plot.itemCount(); ++i) {
        if (auto* text = qobject_cast<QCPItemText*>(plot.item(i))) {
            inside << text->text();
        }
    }
    EXPECT_TRUE(inside.contains(QStringLiteral("96.5")));
    EXPECT_FALSE(inside.contains(QStringLiteral("2.5")));
    const auto ticker =
        plot.axisRects().first()->axis(QCPAxis::atBottom)->ticker().dynamicCast<QCPAxisTickerText>();
    ASSERT_FALSE(ticker.isNull());
    const QString name = ticker->ticks().first();
    EXPECT_TRUE(name.contains(QStringLiteral("slowly: 2.5"))) << name.toStdString();
    EXPECT_TRUE(name.contains(QStringLiteral("resistant: 1.0"))) << name.toStdString();
}

TEST(DigestionFigures, WithoutAssaysThereIsNone) {
    const auto input = fixture::smallInput();
    for (const char* key : {"digestion_curves", "digestion_fractions"}) {
        EXPECT_FALSE(figureKind(key).available(input.study, input.findings, {}));
        QCustomPlot plot;
        plot.resize(661, 397);
        figureKind(key).draw(plot, input.study, input.findings, {}, {});
        EXPECT_EQ(plot.plottableCount(), 0);
    }
}

}  // namespace
}  // namespace aftercurve
