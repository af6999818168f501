// Limits of agreement against R (tests/reference/agreement.R) and against what Bland & Altman 1986 print.
#include "core/compare/agreement.h"

#include <gtest/gtest.h>

#include <cmath>
#include <map>

#include "tests/support/reference_csv.h"

namespace aftercurve {
namespace {

Agreement agreementFor(const std::vector<double>& differences, double alpha = 0.05) {
    return agreementOf(pairedT(asDifferences(differences), alpha), alpha);
}

// Large meter minus small meter, l/min, 17 subjects: Bland & Altman 1986, table (from memory).
const std::vector<double> peakFlow{-18, -35, -4, 6, -24, -43, 49, 62, -8, -12, -15, 30, 7, 1, -81, 73, -24};

TEST(Agreement, AgreesWithRToEightDigits) {
    const std::map<std::string, std::vector<double>> sets{
        {"peak_flow", peakFlow},
        {"areas", {-37.5, -105, 12.25, -60.125, 3.5, -81, 40.75, -22}},
        {"two", {1.5, -0.25}}};
    std::size_t compared = 0;
    for (const test::ReferenceRow& row : test::readReference("agreement.csv")) {
        const Agreement agreement = agreementFor(sets.at(row.text("set")));
        const std::map<std::string, std::optional<double>> found{
            {"mean", agreement.meanDifference},       {"sd", agreement.sdDifference},
            {"mean_low", agreement.meanLow},          {"mean_high", agreement.meanHigh},
            {"lower", agreement.lowerLimit},          {"lower_low", agreement.lowerLimitLow},
            {"lower_high", agreement.lowerLimitHigh}, {"upper", agreement.upperLimit},
            {"upper_low", agreement.upperLimitLow},   {"upper_high", agreement.upperLimitHigh}};
        const auto value = found.at(row.text("quantity"));
        ASSERT_TRUE(value) << row.text("quantity");
        const double expected = *row.number("value");
        EXPECT_NEAR(*value, expected, 1e-8 * std::abs(expected)) << row.text("set") << row.text("quantity");
        ++compared;
    }
    EXPECT_EQ(compared, 30U);
}

TEST(Agreement, HasTheHalfWidthsThatThePaperPrints) {
    // Bland & Altman 1986: mean -2.1, SD 38.8; mean -22.0 to 17.8; each limit +- 34.6 (from memory; the paper
    // rounds t to 2.12 and the standard errors to one decimal).
    const Agreement agreement = agreementFor(peakFlow);
    EXPECT_NEAR(*agreement.meanDifference, -2.1, 0.05);
    EXPECT_NEAR(*agreement.sdDifference, 38.8, 0.05);
    EXPECT_NEAR(*agreement.meanLow, -22.0, 0.06);
    EXPECT_NEAR(*agreement.meanHigh, 17.8, 0.06);
    EXPECT_NEAR(*agreement.upperLimitHigh - *agreement.upperLimit, 34.6, 0.15);
}

TEST(Agreement, SaysWhyThereAreNoLimits) {
    const Agreement none = agreementFor({});
    EXPECT_EQ(none.n, 0U);
    EXPECT_FALSE(none.lowerLimit);
    EXPECT_FALSE(none.absentBecause.empty());
    const Agreement one = agreementFor({4.0});
    EXPECT_EQ(one.meanDifference, 4.0);
    EXPECT_FALSE(one.upperLimit);
    EXPECT_FALSE(one.absentBecause.empty());
    const Agreement equal = agreementFor({2.0, 2.0, 2.0});
    EXPECT_EQ(equal.lowerLimit, 2.0);
    EXPECT_EQ(equal.upperLimit, 2.0);
    EXPECT_FALSE(equal.lowerLimitLow);
    EXPECT_FALSE(equal.upperLimitHigh);
    EXPECT_FALSE(equal.absentBecause.empty());
}

TEST(Agreement, ShiftsAndTurnsWithTheDifferences) {
    std::vector<double> turned = peakFlow;
    for (double& value : turned) {
        value = -value;
    }
    const Agreement agreement = agreementFor(peakFlow);
    const Agreement mirror = agreementFor(turned);
    EXPECT_NEAR(*mirror.lowerLimit, -*agreement.upperLimit, 1e-12);
    EXPECT_NEAR(*mirror.upperLimitHigh, -*agreement.lowerLimitLow, 1e-12);
}

}  // namespace
}  // namespace aftercurve
