#include "tests/support/figure_fixture.h"

#include <array>
#include <cmath>
#include <utility>

#include "core/findings/analyse.h"
#include "tests/support/trial_assays.h"

namespace aftercurve::fixture {

namespace {

struct ResponseShape {
    double rise;     ///< of glucose, mmol/L
    double peakMin;  ///< time of the peak
    double dip;      ///< late undershoot, mmol/L
};

constexpr std::array shapes{ResponseShape{4.2, 32.0, 0.9}, ResponseShape{2.9, 38.0, 0.4},
                            ResponseShape{1.6, 45.0, 0.2}};
constexpr std::array drawTimes{-5.0, 0.0, 15.0, 30.0, 45.0, 60.0, 90.0, 120.0};

double rounded(double value, double step) {
    return std::round(value / step) * step;
}

/// Repeatable scatter in [−1, 1] without a random engine.
double scatter(std::uint32_t a, std::uint32_t b, std::uint32_t c) {
    return std::sin(12.9898 * a + 78.233 * b + 37.719 * c + 0.5);
}

double riseAt(const ResponseShape& shape, double timeMin) {
    if (timeMin <= 0.0) {
        return 0.0;
    }
    const double x = timeMin / shape.peakMin;
    const double late = timeMin / 120.0;
    return shape.rise * x * x * std::exp(2.0 * (1.0 - x)) - shape.dip * late * late * late;
}

void addVisit(Study& study, std::uint32_t subject, std::uint32_t food, std::int32_t visit) {
    const double vigour = 1.0 + 0.3 * scatter(subject, food, 7);
    const double fasting = 4.8 + 0.4 * scatter(subject, 3, 1);
    for (std::uint32_t i = 0; i < drawTimes.size(); ++i) {
        Draw draw;
        draw.subject = subject;
        draw.food = food;
        draw.visit = visit;
        draw.timeMin = drawTimes[i];
        draw.row = static_cast<std::uint32_t>(study.draws.size()) + 2;
        const double noise = scatter(subject + 11 * food, static_cast<std::uint32_t>(visit), i);
        const double rise = vigour * riseAt(shapes[food], draw.timeMin);
        study.draws.push_back(draw);
        study.concentrations[0].emplace_back(rounded(fasting + rise + 0.2 * noise, 0.1));
        study.concentrations[1].emplace_back(rounded(std::max(12.0, 45.0 + 75.0 * rise + 6.0 * noise), 1.0));
    }
}

CurveFinding curve(std::string subject, std::string food, std::vector<double> value) {
    CurveFinding finding;
    finding.subject = std::move(subject);
    finding.food = std::move(food);
    finding.analyte = "glucose";
    finding.timeMin = {0.0, 30.0, 60.0, 120.0};
    finding.value = std::move(value);
    finding.window = {finding.timeMin, finding.value, finding.value.front(), false, {}, {}};
    finding.baseline = finding.value.front();
    return finding;
}

}  // namespace

Study trialStudy() {
    Study study;
    study.title = "Barley and pea breads, invented trial";
    study.foods = {{"drink", "Glucose drink", FoodRole::reference, 50.0, 250.0},
                   {"barley", "Barley bread", FoodRole::test, 50.0, 110.0},
                   {"pea", "Pea crispbread", FoodRole::test, 50.0, 95.0}};
    study.analytes = {{"glucose", "mmol/L", "capillary plasma"}, {"insulin", "pmol/L", "venous plasma"}};
    study.sampleFiles = {"samples.csv"};
    study.concentrations.resize(2);
    study.plan.comparator = "drink";
    study.plan.secondaryMeasures = {"peak_rise", "time_to_peak_min"};
    for (std::uint32_t subject = 0; subject < 8; ++subject) {
        study.subjects.push_back({"0" + std::to_string(subject + 1), {}, {}, {}, {}});
        addVisit(study, subject, 0, 1);
        addVisit(study, subject, 0, 2);
        addVisit(study, subject, 1, 1);
        addVisit(study, subject, 2, 1);
    }
    study.exclusions.push_back({"03", "barley", 1, "", "vomited at 40 min", "ward", "2026-03-02"});
    // One missing interior draw: pea crispbread of subject 06 at 45 min.
    study.concentrations[0][5 * 32 + 28] = std::nullopt;
    study.concentrations[1][5 * 32 + 28] = std::nullopt;
    return study;
}

FigureInput analysedTrial() {
    FigureInput input;
    input.study = trialStudy();
    MarginPlan& margins = input.study.plan.inference.margins;
    margins.differenceLow = -60.0;
    margins.differenceHigh = 60.0;
    margins.ratioLow = 0.5;
    margins.ratioHigh = 2.0;
    margins.nonInferiority = 30.0;
    input.study.assays = test::trialAssays();
    input.study.plan.secondaryMeasures = {"peak_rise"};
    input.study.plan.resamples = 499;
    input.study.foods[1].parts = {{"barley bread", 40.0, 55.0, IndexScale::glucose, "invented"},
                                  {"seaweed spread", 10.0, 30.0, IndexScale::glucose, "invented"}};
    auto findings = analyse(input.study, input.study.plan);
    if (findings.ok()) {
        input.findings = std::move(findings).value();
    }
    return input;
}

FigureInput smallInput() {
    FigureInput input;
    Study& study = input.study;
    study.title = "Small";
    study.foods = {{"drink", "Glucose drink", FoodRole::reference, 50.0, {}},
                   {"bread", "Barley bread", FoodRole::test, 50.0, {}}};
    study.analytes = {{"glucose", "mmol/L", ""}};
    study.subjects = {{"01", {}, {}, {}, {}}, {"02", {}, {}, {}, {}}, {"03", {}, {}, {}, {}}};
    study.concentrations.resize(1);
    study.plan.comparator = "drink";

    Findings& findings = input.findings;
    findings.plan = study.plan;
    findings.curves = {
        curve("01", "drink", {5.0, 8.0, 6.0, 5.0}), curve("01", "bread", {5.0, 7.0, 6.0, 4.0}),
        curve("02", "drink", {4.0, 8.0, 6.0, 4.0}), curve("02", "bread", {4.0, 6.0, 5.0, 4.0}),
        curve("03", "drink", {5.0, 9.0, 7.0, 5.0}), curve("03", "bread", {5.0, 9.0, 8.0, 6.0})};
    findings.curves.back().excluded = true;
    findings.curves.back().excludedBecause = "ate half";

    MeanCurve drink;
    drink.food = "drink";
    drink.analyte = "glucose";
    drink.timeMin = {0.0, 30.0, 60.0, 120.0};
    drink.n = {3, 3, 3, 3};
    drink.mean = {4.5, 8.25, 6.5, 4.5};
    drink.sem = {0.25, 0.25, 0.25, 0.25};
    drink.increment = {0.0, 3.75, 2.0, 0.0};
    drink.incrementSem = {0.0, 0.25, 0.25, 0.0};
    drink.window = {drink.timeMin, drink.mean, 4.5, false, {}, {}};
    MeanCurve bread;
    bread.food = "bread";
    bread.analyte = "glucose";
    bread.timeMin = drink.timeMin;
    bread.n = {2, 2, 2, 1};
    bread.mean = {4.5, 6.5, 5.5, 4.0};
    bread.sem = {0.5, 0.5, 0.5, std::nullopt};
    bread.increment = {0.0, 2.0, 1.0, -0.5};
    bread.incrementSem = {0.0, 0.5, 0.5, std::nullopt};
    bread.window = {bread.timeMin, bread.mean, 4.5, false, {}, {}};
    findings.meanCurves = {drink, bread};

    ComparisonFinding comparison;
    comparison.analyte = "glucose";
    comparison.measure = "area_positive_incremental";
    comparison.unit = "mmol/L × min";
    comparison.food = "bread";
    comparison.comparator = "drink";
    comparison.pairs = {{"01", 82.5, 120.0, -37.5}, {"02", 105.0, 210.0, -105.0}};
    comparison.leftOut = {{"03", "bread excluded"}};
    comparison.foodMean = 93.75;
    comparison.comparatorMean = 165.0;
    comparison.t.n = 2;
    comparison.t.meanDifference = -71.25;
    comparison.t.ciLow = -500.0;
    comparison.t.ciHigh = 357.5;
    comparison.t.t = -2.11;
    comparison.t.df = 1.0;
    comparison.t.p = 0.2817;
    comparison.pAdjusted = 0.2817;
    findings.comparisons = {comparison};

    IndexFinding index;
    index.analyte = "glucose";
    index.measure = "area_positive_incremental";
    index.food = "bread";
    index.reference = "drink";
    index.index.n = 2;
    index.index.mean = 59.375;
    index.index.ciLow = 20.0;
    index.index.ciHigh = 98.75;
    index.index.subjects = {{"01", 68.75, 68.75, 100.0, false, false, {}},
                            {"02", 50.0, 50.0, 100.0, false, false, {}},
                            {"03", std::nullopt, std::nullopt, std::nullopt, false, false, "bread excluded"}};
    index.indexClass = "medium";
    findings.index = {index};
    return input;
}

}  // namespace aftercurve::fixture
