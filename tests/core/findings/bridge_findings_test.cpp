#include "core/findings/bridge_findings.h"

#include <gtest/gtest.h>

#include <cmath>

#include "core/findings/bridge_quantities.h"
#include "core/findings/findings.h"
#include "core/findings/tables/builders.h"
#include "tests/support/close.h"
#include "tests/support/reference_csv.h"

namespace aftercurve {
namespace {

using test::isClose;

BridgeQuantity quantity(const std::string& key, std::vector<BridgeValue> values) {
    return {key, "Label of " + key, "", std::move(values)};
}

// Four foods; the same numbers as the first four of tests/reference/tolerance.R.
const BridgeQuantity x = quantity(
    "hydrolysis_index", {{"rye", 62.1, {}}, {"pea", 48.3, {}}, {"kelp", 55.0, {}}, {"oat", 39.7, {}}});
const BridgeQuantity y = quantity(
    "area", {{"oat", 150, {}}, {"kelp", 179, {}}, {"pea", 188, {}}, {"rye", 231, {}}, {"drink", 300, {}}});

TEST(BridgeFindings, PairsByFoodAndAgreesWithR) {
    const auto r = test::readReferenceValues("tolerance.csv");
    const BridgeFinding found = bridgeOf(x, y, 0.05);
    ASSERT_EQ(found.points.size(), 4U);
    EXPECT_EQ(found.points[1].food, "pea");
    EXPECT_EQ(found.points[1].y, 188.0);
    EXPECT_EQ(found.leftOut, std::vector<std::string>{"drink"});
    EXPECT_TRUE(isClose(found.pearson.r, r.at("four_r"), {.relative = 1e-9}));
    EXPECT_TRUE(isClose(found.pearson.ciLow, r.at("four_low"), {.relative = 1e-9}));
    EXPECT_TRUE(isClose(found.spearman.p, r.at("four_rho_p"), {.relative = 1e-9}));
    EXPECT_EQ(found.lambdaSource, LambdaSource::spread);
    // Analytic: with lambda = Syy/Sxx the slope is √lambda, with the sign of r.
    EXPECT_TRUE(isClose(found.deming.slope, std::sqrt(found.deming.lambda), {.relative = 1e-12}));
}

TEST(BridgeFindings, LambdaComesFromStandardErrorsWhereEveryFoodHasThem) {
    BridgeQuantity withSe = x;
    BridgeQuantity other = y;
    for (BridgeValue& value : withSe.values) {
        value.se = 2.0;
    }
    for (BridgeValue& value : other.values) {
        value.se = 10.0;
    }
    const BridgeFinding found = bridgeOf(withSe, other, 0.05);
    EXPECT_EQ(found.lambdaSource, LambdaSource::standardErrors);
    EXPECT_EQ(found.deming.lambda, 25.0);  // 100/4
    withSe.values[0].se.reset();
    EXPECT_EQ(bridgeOf(withSe, other, 0.05).lambdaSource, LambdaSource::spread);
}

TEST(BridgeFindings, TheSentenceSaysWhatSoFewFoodsPermit) {
    const std::string four = permitsSentence(bridgeOf(x, y, 0.05), 0.05);
    EXPECT_NE(four.find("in 4 foods"), std::string::npos);
    EXPECT_NE(four.find("r = 0.91"), std::string::npos) << four;  // as R gives them, rounded
    EXPECT_NE(four.find("−0.42"), std::string::npos) << four;
    EXPECT_NE(four.find("covers 0"), std::string::npos);
    EXPECT_NE(four.find("no evidence that they do not"), std::string::npos);
    BridgeQuantity two = x;
    two.values.resize(2);
    const BridgeFinding few = bridgeOf(two, y, 0.05);
    EXPECT_FALSE(few.pearson.r || few.spearman.rho || few.deming.slope);
    EXPECT_NE(permitsSentence(few, 0.05).find("no correlation, fewer than 3 pairs"), std::string::npos);
    two.values.clear();
    EXPECT_TRUE(bridgeOf(two, y, 0.05).points.empty());
}

TEST(BridgeFindings, ReadsTheAssaysMeansAndIndexOfAStudy) {
    Study study;
    study.analytes.push_back({"glucose", "mmol/L", ""});
    Findings findings;
    EXPECT_FALSE(bridgeFindings(study, findings).absentBecause.empty());
    const double index[] = {62.1, 48.3, 55.0, 39.7};
    const double area[] = {231, 188, 179, 150};
    const char* foods[] = {"rye", "pea", "kelp", "oat"};
    for (std::size_t i = 0; i < 4; ++i) {
        study.foods.push_back({foods[i], foods[i], FoodRole::test, {}, {}});
        DigestionSample sample;
        sample.food = foods[i];
        sample.hydrolysisIndex = DigestValue::of(index[i]);
        sample.curve.push_back({180.0, 4, 90.0 - static_cast<double>(i), 2.0});
        findings.digestion.bySample.push_back(sample);
        FoodSummary summary;
        summary.food = foods[i];
        summary.analyte = "glucose";
        summary.measure = findings.plan.measure;
        summary.mean = area[i];
        findings.summaries.push_back(summary);
    }
    findings.digestion.untilMin = 180.0;
    findings.bridge = bridgeFindings(study, findings);
    ASSERT_EQ(findings.bridge.pairs.size(), 2U);
    EXPECT_EQ(findings.bridge.pairs[0].x.key, "hydrolysis_index");
    EXPECT_EQ(findings.bridge.pairs[0].y.unit, "mmol/L × min");
    EXPECT_EQ(findings.bridge.pairs[1].x.label, "Digested starch at 180 min");
    EXPECT_EQ(findings.bridge.pairs[1].points[0].xSe, 1.0);  // 2/√4
    EXPECT_EQ(bridgeTable(study, findings).rows.size(), 2U);
    // A second sample of one food: none of the two stands for it.
    findings.digestion.bySample.push_back(findings.digestion.bySample.front());
    EXPECT_EQ(bridgeFindings(study, findings).pairs[0].points.size(), 3U);
}

}  // namespace
}  // namespace aftercurve
