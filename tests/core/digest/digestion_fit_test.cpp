#include "core/digest/digestion_fit.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "tests/support/close.h"
#include "tests/support/reference_csv.h"

namespace aftercurve {
namespace {

using test::isClose;

std::vector<CurvePoint> pairs(const std::vector<double>& x, const std::vector<double>& y) {
    std::vector<CurvePoint> points;
    for (std::size_t i = 0; i < x.size(); ++i) {
        points.push_back({x[i], y[i]});
    }
    return points;
}

// NIST Statistical Reference Datasets, nonlinear regression, Misra1a and BoxBOD: y = b1(1 − e^(−b2·x)), as
// their data files give data, starting values and certified values.
std::vector<CurvePoint> misra1a() {
    return pairs(
        {77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0},
        {10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47, 81.78});
}

std::vector<CurvePoint> boxBod() {
    return pairs({1, 2, 3, 5, 7, 10}, {109, 149, 149, 191, 213, 224});
}

std::vector<CurvePoint> exactCurve(double cinf, double k, double c0 = 0.0) {
    std::vector<CurvePoint> points;
    for (const double t : {0.0, 10.0, 20.0, 30.0, 60.0, 90.0, 120.0, 180.0}) {
        points.push_back({t, c0 + cinf * (1.0 - std::exp(-k * t))});
    }
    return points;
}

void expectCertified(const DigestionFit& fit, const std::vector<double>& values,
                     const std::vector<double>& sds, double rss) {
    ASSERT_TRUE(fit.usable()) << fit.absentBecause;
    for (std::size_t i = 0; i < values.size(); ++i) {
        EXPECT_TRUE(isClose(fit.parameters[i].estimate, values[i], {.relative = 1e-9}));
        EXPECT_TRUE(isClose(fit.parameters[i].se, sds[i], {.relative = 1e-9}));
    }
    EXPECT_TRUE(isClose(fit.rss, rss, {.relative = 1e-9}));
}

TEST(DigestionFit, Misra1aIsCertifiedFromTheGridAndBothStarts) {
    for (const std::optional<double> start :
         {std::optional<double>{}, std::optional{0.0001}, std::optional{0.0005}}) {
        const DigestionFit fit = fitDigestion(misra1a(), DigestModel::onePhase, {.firstRate = start});
        expectCertified(fit, {2.3894212918E+02, 5.5015643181E-04}, {2.7070075241E+00, 7.2668688436E-06},
                        1.2455138894E-01);
        EXPECT_TRUE(isClose(fit.residualSd, 1.0187876330E-01, {.relative = 1e-9}));
        EXPECT_EQ(fit.df, 12.0);
    }
}

TEST(DigestionFit, BoxBodIsCertifiedFromTheGridAndBothStarts) {
    for (const std::optional<double> start :
         {std::optional<double>{}, std::optional{1.0}, std::optional{0.75}}) {
        const DigestionFit fit = fitDigestion(boxBod(), DigestModel::onePhase, {.firstRate = start});
        expectCertified(fit, {2.1380940889E+02, 5.4723748542E-01}, {1.2354515176E+01, 1.0455993237E-01},
                        1.1680088766E+03);
        EXPECT_TRUE(isClose(fit.residualSd, 1.7088072423E+01, {.relative = 1e-9}));
    }
}

// tests/reference/digestion.R: nls, then Gauss–Newton steps with exact derivatives.
TEST(DigestionFit, AgreesWithR) {
    std::map<std::string, std::vector<CurvePoint>> curves;
    for (const auto& row : test::readReference("digestion_curves.csv")) {
        curves[row.text("case")].push_back({*row.number("time_min"), *row.number("value")});
    }
    std::size_t compared = 0;
    for (const auto& row : test::readReference("digestion_fits.csv")) {
        DigestModel model = DigestModel::onePhase;
        for (const DigestModel one : {DigestModel::onePhaseWithStart, DigestModel::twoPhases}) {
            model = wordFor(one) == row.text("model") ? one : model;
        }
        const DigestionFit fit = fitDigestion(curves.at(row.text("case")), model);
        ASSERT_TRUE(fit.usable()) << fit.absentBecause;
        const auto parameter =
            std::find_if(fit.parameters.begin(), fit.parameters.end(),
                         [&](const FitParameter& one) { return one.key == row.text("key"); });
        ASSERT_NE(parameter, fit.parameters.end());
        EXPECT_TRUE(isClose(parameter->estimate, *row.number("estimate"), {.relative = 1e-8}));
        EXPECT_TRUE(isClose(parameter->se, *row.number("se"), {.relative = 1e-7}));
        EXPECT_TRUE(isClose(fit.rss, *row.number("rss"), {.relative = 1e-9}));
        ++compared;
    }
    EXPECT_EQ(compared, 4U * 5U + 2U * 4U);
}

TEST(DigestionFit, AnalyticCurveIsFoundAndHasNoErrors) {
    const FitChoice choice = chooseFit(exactCurve(80.0, 0.03));
    ASSERT_TRUE(choice.chosen);
    const DigestionFit& fit = choice.candidates[*choice.chosen];
    EXPECT_EQ(fit.model, DigestModel::onePhase);
    EXPECT_TRUE(fit.exact);
    EXPECT_TRUE(isClose(fit.estimate("cinf"), 80.0, {.relative = 1e-10}));
    EXPECT_TRUE(isClose(fit.estimate("k"), 0.03, {.relative = 1e-10}));
    EXPECT_FALSE(fit.parameters[0].se);
    EXPECT_NE(fit.errorsAbsentBecause, "");
    // Cinf·T − (Cinf/k)(1 − e^(−kT)) by hand at T = 180.
    EXPECT_TRUE(isClose(fittedArea(fit, 180.0), 11745.377549, {.relative = 1e-10}));
    EXPECT_TRUE(isClose(fittedValue(fit, 90.0), 80.0 * (1.0 - std::exp(-2.7)), {.relative = 1e-10}));
}

TEST(DigestionFit, AStartIsFoundWhereThereIsOne) {
    const FitChoice choice = chooseFit(exactCurve(60.0, 0.02, 12.0));
    ASSERT_TRUE(choice.chosen);
    const DigestionFit& fit = choice.candidates[*choice.chosen];
    EXPECT_EQ(fit.model, DigestModel::onePhaseWithStart);
    EXPECT_TRUE(isClose(fit.estimate("c0"), 12.0, {.relative = 1e-8}));
    EXPECT_TRUE(isClose(fittedArea(fit, 100.0), 1200.0 + 60.0 * (100.0 - (1.0 - std::exp(-2.0)) / 0.02),
                        {.relative = 1e-8}));
}

TEST(DigestionFit, AiccIsItsFormula) {
    const DigestionFit fit = fitDigestion(misra1a(), DigestModel::onePhase);
    // n = 14, K = 3: n·ln(RSS/n) + 6 + 24/10.
    EXPECT_TRUE(isClose(fit.aicc, 14.0 * std::log(1.2455138894E-01 / 14.0) + 6.0 + 2.4, {.relative = 1e-9}));
    EXPECT_FALSE(fitDigestion(pairs({10, 20, 40, 80}, {20, 33, 50, 61}), DigestModel::onePhase).aicc);
}

TEST(DigestionFit, UnitsAndOrderDoNotMatter) {
    const DigestionFit plain = fitDigestion(boxBod(), DigestModel::onePhase);
    std::vector<CurvePoint> scaled = boxBod();
    std::reverse(scaled.begin(), scaled.end());
    for (CurvePoint& point : scaled) {
        point.timeMin *= 60.0;
        point.value *= 1e-3;
    }
    const DigestionFit fit = fitDigestion(scaled, DigestModel::onePhase);
    EXPECT_TRUE(isClose(*fit.estimate("cinf") * 1e3, *plain.estimate("cinf"), {.relative = 1e-10}));
    EXPECT_TRUE(isClose(*fit.estimate("k") * 60.0, *plain.estimate("k"), {.relative = 1e-10}));
    EXPECT_TRUE(isClose(*fit.parameters[1].se * 60.0, *plain.parameters[1].se, {.relative = 1e-9}));
}

TEST(DigestionFit, WhatCannotBeFittedSaysWhy) {
    const auto why = [](const std::vector<CurvePoint>& points) {
        const DigestionFit fit = fitDigestion(points, DigestModel::onePhase);
        EXPECT_TRUE(fit.parameters.empty());
        EXPECT_FALSE(fit.estimate("k"));
        return fit.absentBecause;
    };
    const auto holds = [](const std::string& text, const char* part) {
        return text.find(part) != std::string::npos;
    };
    EXPECT_TRUE(holds(why({}), "too few"));
    EXPECT_TRUE(holds(why(pairs({0, 20}, {0, 30})), "too few"));
    EXPECT_TRUE(holds(why(pairs({20, 20, 20}, {30, 31, 32})), "too few"));
    EXPECT_TRUE(holds(why(pairs({0, 20, 60, 120}, {7, 7, 7, 7})), "do not change"));
    EXPECT_TRUE(holds(why(pairs({0, 20, 60, 120}, {0, 0, 0, 0})), "do not change"));
    EXPECT_TRUE(holds(why(pairs({0, 50, 100, 150}, {0, 5, 10, 15})), "lower bound"));
    EXPECT_TRUE(holds(why(pairs({10, 50, 100, 150}, {80, 80.5, 79.5, 80})), "upper bound"));
    EXPECT_TRUE(holds(why(pairs({10, 50, 100, 150}, {-5, -20, -28, -30})), "does not rise"));
    EXPECT_TRUE(holds(why(pairs({-5, 50, 100, 150}, {5, 20, 28, 30})), "before the begin"));
    EXPECT_TRUE(holds(why(pairs({5, 50, 100}, {5, std::numeric_limits<double>::quiet_NaN(), 30})), "finite"));
    EXPECT_FALSE(chooseFit({}).chosen);
    EXPECT_TRUE(
        holds(fitDigestion(misra1a(), DigestModel::onePhase, {.alpha = 2.0, .firstRate = {}}).absentBecause,
              "alpha"));
}

// The sum of squares has a second low place, 0.29, where the fast phase is over at once. Expected: R's optim
// over the two rates, the amplitudes by QR, from k = 0.22 and 0.034 with reltol 1e-16.
TEST(DigestionFit, TheLowerOfTwoPlacesIsFound) {
    const auto fit =
        fitDigestion(pairs({0, 5, 10, 20, 40, 90, 120, 180},
                           {0.2016, 13.2558, 23.8289, 39.5195, 58.3722, 74.3862, 76.9130, 77.4637}),
                     DigestModel::twoPhases);
    ASSERT_TRUE(fit.usable()) << fit.absentBecause;
    EXPECT_TRUE(isClose(fit.rss, 0.21506643719, {.relative = 1e-8}));
    EXPECT_TRUE(isClose(fit.estimate("k_1"), 0.21928737768, {.relative = 1e-5}));
    EXPECT_TRUE(isClose(fit.estimate("k_2"), 0.03399302825, {.relative = 1e-6}));
    EXPECT_TRUE(isClose(fit.estimate("cinf_1"), 2.19794743357, {.relative = 1e-5}));
    EXPECT_TRUE(isClose(fit.estimate("cinf_2"), 75.70221828538, {.relative = 1e-6}));
}

TEST(DigestionFit, OnePhaseDataHaveNoSecondPhase) {
    EXPECT_FALSE(fitDigestion(exactCurve(80.0, 0.03), DigestModel::twoPhases).usable());
}

}  // namespace
}  // namespace aftercurve
