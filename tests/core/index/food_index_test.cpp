#include "core/index/food_index.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <string>
#include <vector>

#include "tests/support/close.h"

namespace aftercurve {
namespace {

using test::isClose;

constexpr double alpha = 0.05;

/// One subject a value, with a single reference visit of 100: the values themselves are the index.
std::vector<IndexInput> subjectsWith(const std::vector<double>& values) {
    std::vector<IndexInput> inputs;
    for (const double value : values) {
        inputs.push_back({"S" + std::to_string(inputs.size() + 1), {value}, {100.0}});
    }
    return inputs;
}

// FAO Food and Nutrition Paper 66 (1998), Table 1: areas of the three standards 113.95, 155.25, 179.1667 and
// of the test food 93 (data rows from memory; the areas equal those printed). The mean of the single ratios
// would be 64.475034. CV from R.
TEST(FoodIndex, FaoExampleTakesTheMeanOfTheReferenceFirst) {
    const std::vector<double> standards = {113.95, 155.25, 179.0 + 1.0 / 6.0};
    const FoodIndex r = foodIndex({{"S1", {93.0}, standards}}, alpha, IndexOutlierRule::none);
    ASSERT_EQ(r.subjects.size(), 1U);
    EXPECT_TRUE(isClose(r.subjects[0].value, 62.225857, {.absolute = 5e-7}));
    const double trap = 100.0 * (93.0 / standards[0] + 93.0 / standards[1] + 93.0 / standards[2]) / 3.0;
    EXPECT_TRUE(isClose(trap, 64.475034, {.absolute = 5e-7}));
    EXPECT_TRUE(isClose(r.referenceCvPercent, 22.0749, {.absolute = 5e-5}));
}

TEST(FoodIndex, OneSubjectHasOnlyAMean) {
    const FoodIndex r = foodIndex(subjectsWith({62.0}), alpha, IndexOutlierRule::twoSdOnce);
    EXPECT_EQ(r.n, 1U);
    EXPECT_TRUE(isClose(r.mean, 62.0, {.relative = 1e-15}));
    EXPECT_FALSE(r.sd || r.sem || r.ciLow || r.ciHigh || r.referenceCvPercent);
    EXPECT_FALSE(r.absentBecause.empty());
    EXPECT_FALSE(r.subjects[0].outlier);
}

TEST(FoodIndex, NoSubjectNoMean) {
    const FoodIndex r = foodIndex({}, alpha, IndexOutlierRule::none);
    EXPECT_EQ(r.n, 0U);
    EXPECT_FALSE(r.mean || r.sd || r.sem || r.ciLow || r.ciHigh || r.referenceCvPercent);
    EXPECT_TRUE(r.subjects.empty());
    EXPECT_FALSE(r.absentBecause.empty());
}

// Values 40, 60, 80: mean 60, SD 20, SEM 20/√3. The 97.5 % point of t with 2 degrees of freedom is
// 0.95 √(2/(1 − 0.95²)).
TEST(FoodIndex, SpreadByHand) {
    const FoodIndex r = foodIndex(subjectsWith({40.0, 80.0, 60.0}), alpha, IndexOutlierRule::none);
    EXPECT_EQ(r.n, 3U);
    EXPECT_TRUE(isClose(r.mean, 60.0, {.relative = 1e-14}));
    EXPECT_TRUE(isClose(r.sd, 20.0, {.relative = 1e-14}));
    EXPECT_TRUE(isClose(r.sem, 20.0 / std::sqrt(3.0), {.relative = 1e-14}));
    const double half = 0.95 * std::sqrt(2.0 / (1.0 - 0.95 * 0.95)) * 20.0 / std::sqrt(3.0);
    EXPECT_TRUE(isClose(r.ciLow, 60.0 - half, {.relative = 1e-12}));
    EXPECT_TRUE(isClose(r.ciHigh, 60.0 + half, {.relative = 1e-12}));
    EXPECT_TRUE(r.absentBecause.empty());
}

TEST(FoodIndex, VisitsOfTheFoodAreAveraged) {
    const FoodIndex r = foodIndex({{"S1", {50.0, 70.0}, {100.0, 140.0}}}, alpha, IndexOutlierRule::none);
    EXPECT_TRUE(isClose(r.mean, 50.0, {.relative = 1e-15}));
}

TEST(FoodIndex, SubjectsWithoutAValueSayWhyAndKeepTheirPlace) {
    const double nan = std::numeric_limits<double>::quiet_NaN();
    const FoodIndex r = foodIndex({{"noTest", {}, {100.0}},
                                   {"noReference", {50.0}, {}},
                                   {"zeroReference", {50.0}, {0.0, 0.0}},
                                   {"negativeReference", {50.0}, {-20.0}},
                                   {"notFinite", {nan}, {100.0}},
                                   {"tinyReference", {50.0}, {1e-308}},
                                   {"good", {50.0}, {100.0}},
                                   {"zeroTest", {0.0}, {100.0}}},
                                  alpha, IndexOutlierRule::none);
    ASSERT_EQ(r.subjects.size(), 8U);
    for (std::size_t i = 0; i < 6; ++i) {
        EXPECT_FALSE(r.subjects[i].value) << r.subjects[i].subject;
        EXPECT_FALSE(r.subjects[i].absentBecause.empty()) << r.subjects[i].subject;
        const bool notPositive = r.subjects[i].absentBecause.find("not positive") != std::string::npos;
        EXPECT_EQ(notPositive, i == 2 || i == 3) << r.subjects[i].subject;
        EXPECT_FALSE(r.subjects[i].outlier || r.subjects[i].leftOut);
    }
    EXPECT_EQ(r.subjects[6].subject, "good");
    EXPECT_EQ(r.subjects[6].value, 50.0);
    EXPECT_EQ(r.subjects[7].value, 0.0) << "no rise after the food is a value";
    EXPECT_EQ(r.n, 2U);
    EXPECT_TRUE(isClose(r.mean, 25.0, {.relative = 1e-15}));
}

// Nine values of 50 ± 1 and one of 100. Mean 55, SD by hand: squares about the mean are 4·36 + 4·16 + 25 +
// 45² = 2258, SD √(2258/9) = 15.84; 45 > 31.68, all others are within.
const std::vector<double> oneFarOut = {49.0, 51.0, 49.0, 51.0, 50.0, 49.0, 51.0, 49.0, 51.0, 100.0};

TEST(FoodIndex, OutlierIsFlaggedAndKeptByDefault) {
    const FoodIndex r = foodIndex(subjectsWith(oneFarOut), alpha, IndexOutlierRule::none);
    EXPECT_EQ(r.n, 10U);
    EXPECT_TRUE(isClose(r.mean, 55.0, {.relative = 1e-14}));
    EXPECT_TRUE(isClose(r.sd, std::sqrt(2258.0 / 9.0), {.relative = 1e-13}));
    for (std::size_t i = 0; i < 10; ++i) {
        EXPECT_EQ(r.subjects[i].outlier, i == 9);
        EXPECT_FALSE(r.subjects[i].leftOut);
    }
}

TEST(FoodIndex, OutlierIsLeftOutByTheRule) {
    const FoodIndex r = foodIndex(subjectsWith(oneFarOut), alpha, IndexOutlierRule::twoSdOnce);
    EXPECT_EQ(r.n, 9U);
    EXPECT_TRUE(isClose(r.mean, 50.0, {.relative = 1e-14}));
    EXPECT_TRUE(isClose(r.sd, 1.0, {.relative = 1e-13}));
    EXPECT_TRUE(isClose(r.sem, 1.0 / 3.0, {.relative = 1e-13}));
    EXPECT_TRUE(r.subjects[9].outlier && r.subjects[9].leftOut);
    EXPECT_EQ(r.subjects[9].value, 100.0);

    const std::vector<double> kept(oneFarOut.begin(), oneFarOut.end() - 1);
    const FoodIndex alone = foodIndex(subjectsWith(kept), alpha, IndexOutlierRule::none);
    EXPECT_EQ(r.ciLow, alone.ciLow);
    EXPECT_EQ(r.ciHigh, alone.ciHigh);
}

// 40, 50, 50, 50, 60 and 50 + y: the last lies 5y/6 from the mean, SD √((200 + 5y²/6)/5). The border of 2 SD
// is at y = √5760 = 75.89.
TEST(FoodIndex, BorderOfTwoSd) {
    for (const double y : {75.0, 77.0, -75.0, -77.0}) {
        const FoodIndex r =
            foodIndex(subjectsWith({40.0, 50.0, 50.0 + y, 50.0, 50.0, 60.0}), alpha, IndexOutlierRule::none);
        EXPECT_EQ(r.subjects[2].outlier, std::abs(y) > 76.0) << y;
    }
}

// 0 ×18, 4 and 20: 20 goes; then 4 would be beyond 2 SD of the rest. One pass only.
TEST(FoodIndex, OnePassOnly) {
    std::vector<double> values(18, 0.0);
    values.push_back(4.0);
    values.push_back(20.0);
    const FoodIndex r = foodIndex(subjectsWith(values), alpha, IndexOutlierRule::twoSdOnce);
    EXPECT_EQ(r.n, 19U);
    EXPECT_FALSE(r.subjects[18].leftOut);
    EXPECT_TRUE(r.subjects[19].leftOut);
    values.pop_back();
    EXPECT_TRUE(foodIndex(subjectsWith(values), alpha, IndexOutlierRule::none).subjects[18].outlier);
}

TEST(FoodIndex, EqualValuesHaveNoIntervalAndNoOutlier) {
    // One third, all of them, and one of them not in the same bits.
    EXPECT_NE(0.1 / 0.3, 1.0 / 3.0);
    std::vector<IndexInput> inputs(11, IndexInput{"S", {1.0}, {3.0}});
    inputs.push_back({"S", {0.1}, {0.3}});
    const FoodIndex r = foodIndex(inputs, alpha, IndexOutlierRule::twoSdOnce);
    EXPECT_EQ(r.n, 12U);
    EXPECT_TRUE(isClose(r.mean, 100.0 / 3.0, {.relative = 1e-14}));
    EXPECT_EQ(r.sd, 0.0);
    EXPECT_EQ(r.sem, 0.0);
    EXPECT_FALSE(r.ciLow || r.ciHigh);
    EXPECT_FALSE(r.absentBecause.empty());
    for (const SubjectIndex& s : r.subjects) {
        EXPECT_FALSE(s.outlier || s.leftOut);
    }
}

// Subjects with reference 90, 110 (SD √200, mean 100) and 95, 105 (SD √50); one visit or no positive mean
// does not count. A subject without a test counts, as does one left out.
TEST(FoodIndex, ReferenceCvIsTheMeanOverSubjectsWithReplicates) {
    const FoodIndex r = foodIndex({{"S1", {50.0}, {90.0, 110.0}},
                                   {"S2", {}, {95.0, 105.0}},
                                   {"S3", {50.0}, {100.0}},
                                   {"S4", {50.0}, {-10.0, 10.0}}},
                                  alpha, IndexOutlierRule::none);
    EXPECT_TRUE(
        isClose(r.referenceCvPercent, (std::sqrt(200.0) + std::sqrt(50.0)) / 2.0, {.relative = 1e-14}));

    std::vector<IndexInput> inputs = subjectsWith(oneFarOut);
    inputs.back().reference = {90.0, 110.0};
    const FoodIndex out = foodIndex(inputs, alpha, IndexOutlierRule::twoSdOnce);
    ASSERT_TRUE(out.subjects.back().leftOut);
    EXPECT_TRUE(isClose(out.referenceCvPercent, std::sqrt(200.0), {.relative = 1e-14}));
}

TEST(FoodIndex, UnitOfTheMeasureAndOrderOfSubjectsDoNotMatter) {
    std::vector<IndexInput> inputs = {{"S1", {93.0}, {114.0, 155.0}},
                                      {"S2", {60.0, 66.0}, {130.0}},
                                      {"S3", {120.0}, {140.0, 150.0, 190.0}}};
    const FoodIndex plain = foodIndex(inputs, alpha, IndexOutlierRule::none);
    for (IndexInput& input : inputs) {
        for (double& x : input.test) {
            x *= 18.0156;
        }
        for (double& x : input.reference) {
            x *= 18.0156;
        }
    }
    std::reverse(inputs.begin(), inputs.end());
    const FoodIndex other = foodIndex(inputs, alpha, IndexOutlierRule::none);
    EXPECT_TRUE(isClose(other.mean, plain.mean, {.relative = 1e-14}));
    EXPECT_TRUE(isClose(other.sd, plain.sd, {.relative = 1e-13}));
    EXPECT_TRUE(isClose(other.ciLow, plain.ciLow, {.relative = 1e-12}));
    EXPECT_TRUE(isClose(other.referenceCvPercent, plain.referenceCvPercent, {.relative = 1e-13}));
    EXPECT_EQ(other.subjects[0].subject, "S3");
}

// ISO 26642:2010: low ≤ 55, medium 56 to 70, high > 70, of the value rounded to a whole number.
TEST(GlycaemicClass, Borders) {
    EXPECT_EQ(glycaemicClass(55.0), "low");
    EXPECT_EQ(glycaemicClass(55.4), "low");
    EXPECT_EQ(glycaemicClass(55.5), "medium");
    EXPECT_EQ(glycaemicClass(56.0), "medium");
    EXPECT_EQ(glycaemicClass(69.5), "medium");
    EXPECT_EQ(glycaemicClass(70.0), "medium");
    EXPECT_EQ(glycaemicClass(70.4), "medium");
    EXPECT_EQ(glycaemicClass(70.5), "high");
    EXPECT_EQ(glycaemicClass(0.0), "low");
    EXPECT_EQ(glycaemicClass(-3.0), "low");
    EXPECT_EQ(glycaemicClass(140.0), "high");
    EXPECT_EQ(glycaemicClass(std::numeric_limits<double>::quiet_NaN()), "");
    EXPECT_EQ(glycaemicClass(std::numeric_limits<double>::infinity()), "");
}

// Ten values near 50, one at 80, one at 500. All: mean 88.08…, SD 129.9…, so that 500 alone lies outside.
// Then mean 50.6 and SD 9.9 (80 is 2.97 SD away), then mean 47.7 and SD 2.2 with nothing outside.
std::vector<double> twoFarOnes() {
    return {45, 46, 47, 48, 49, 50, 44.5, 46.5, 49.5, 51, 80, 500};
}

TEST(FoodIndex, OnePassLeavesOutOne) {
    const FoodIndex r = foodIndex(subjectsWith(twoFarOnes()), alpha, IndexOutlierRule::twoSdOnce);
    EXPECT_EQ(r.n, 11U);
    EXPECT_EQ(r.outlierPasses, 1U);
    EXPECT_TRUE(r.subjects[11].outlier && r.subjects[11].leftOut);
    EXPECT_FALSE(r.subjects[10].outlier || r.subjects[10].leftOut);
}

TEST(FoodIndex, RepeatedPassesGoOnUntilNoneIsOutside) {
    const FoodIndex r = foodIndex(subjectsWith(twoFarOnes()), alpha, IndexOutlierRule::twoSdRepeated);
    EXPECT_EQ(r.n, 10U);
    EXPECT_EQ(r.outlierPasses, 2U);
    EXPECT_TRUE(r.subjects[11].outlier && r.subjects[11].leftOut);
    EXPECT_TRUE(r.subjects[10].outlier && r.subjects[10].leftOut);
    EXPECT_TRUE(isClose(r.mean, 47.65, {.relative = 1e-14}));
    for (std::size_t s = 0; s < 10; ++s) {
        EXPECT_FALSE(r.subjects[s].outlier) << s;
    }
}

TEST(FoodIndex, RepeatedPassesStopAtEqualValues) {
    const FoodIndex r =
        foodIndex(subjectsWith({50, 50, 50, 50, 50, 50, 90}), alpha, IndexOutlierRule::twoSdRepeated);
    EXPECT_EQ(r.n, 6U);
    EXPECT_EQ(r.outlierPasses, 1U);
    EXPECT_EQ(r.sd, 0.0);
    EXPECT_FALSE(r.ciLow);
}

// Each pass finds the largest of values that grow a thousandfold, until five are left.
TEST(FoodIndex, RepeatedPassesNeverLeaveFewerThanFive) {
    for (std::size_t n = 0; n <= 60; ++n) {
        std::vector<double> values;
        for (std::size_t i = 0; i < n; ++i) {
            values.push_back(std::pow(1000.0, static_cast<double>(i)));
        }
        const FoodIndex r = foodIndex(subjectsWith(values), alpha, IndexOutlierRule::twoSdRepeated);
        EXPECT_EQ(r.n, std::min<std::size_t>(n, 5)) << n;
    }
}

TEST(FoodIndex, TheTwoMeansStandBesideTheValue) {
    const FoodIndex r =
        foodIndex({{"S1", {90.0, 96.0}, {100.0, 200.0}}, {"S2", {}, {100.0}}}, alpha, IndexOutlierRule::none);
    EXPECT_EQ(r.subjects[0].testMean, 93.0);
    EXPECT_EQ(r.subjects[0].referenceMean, 150.0);
    EXPECT_FALSE(r.subjects[1].testMean || r.subjects[1].referenceMean);
}

}  // namespace
}  // namespace aftercurve
