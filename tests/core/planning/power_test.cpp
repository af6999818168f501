#include "core/planning/power.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "core/planning/noncentral.h"
#include "tests/support/close.h"
#include "tests/support/reference_csv.h"

namespace aftercurve {

namespace {

using test::isClose;
using test::readReference;
using test::ReferenceRow;
using testing::HasSubstr;

DifferenceQuestion differenceOf(double d) {
    DifferenceQuestion question;
    question.difference = d;
    question.spread = {SpreadKind::sdOfDifferences, 1.0};
    return question;
}

EquivalenceQuestion equivalenceOf(double low, double high, double expected) {
    EquivalenceQuestion question;
    question.low = low;
    question.high = high;
    question.expected = expected;
    question.spread = {SpreadKind::sdOfDifferences, 1.0};
    return question;
}

/// The question of one row of planning_power.csv.
PlanningQuestion questionOf(const ReferenceRow& row) {
    const std::string kind = row.text("question");
    const auto design = row.text("design") == "paired" ? TwoFoodDesign::paired : TwoFoodDesign::crossover;
    const double alpha = *row.number("alpha");
    const double a = *row.number("a");
    const bool effect = row.text("what") == "effect";
    if (kind == "difference") {
        DifferenceQuestion question = differenceOf(effect ? 0.0 : a);
        question.design = design;
        question.alpha = alpha;
        question.comparisons = static_cast<std::size_t>(*row.number("m"));
        return question;
    }
    if (kind == "foods") {
        FoodsQuestion question;
        question.means = leastFavourableMeans(static_cast<std::size_t>(*row.number("m")), a);
        question.sdWithin = 1.0;
        question.periodInModel = design == TwoFoodDesign::crossover;
        question.alpha = alpha;
        return question;
    }
    if (kind == "equivalence" || kind == "ratio") {
        EquivalenceQuestion question =
            effect ? equivalenceOf(0.0, 0.0, 0.0) : equivalenceOf(a, *row.number("b"), *row.number("c"));
        question.design = design;
        question.alpha = alpha;
        if (kind == "ratio") {
            question.scale = PlanningScale::ratio;
            question.spread = {SpreadKind::cvWithin, 25.0};
        }
        return question;
    }
    if (kind == "non-inferiority") {
        NonInferiorityQuestion question;
        question.limit = a;
        question.spread = {SpreadKind::sdOfDifferences, 1.0};
        question.design = design;
        question.alpha = alpha;
        return question;
    }
    IntervalQuestion question;
    question.halfWidth = a;
    question.spread = {SpreadKind::sdOfDifferences, 1.0};
    question.design = design;
    question.alpha = alpha;
    if (kind == "assured") {
        question.assurance = row.text("what") == "n" ? *row.number("value") : 0.5;
    }
    return question;
}

bool isIntegral(const std::string& kind) {
    return kind == "equivalence" || kind == "ratio";
}

}  // namespace

// tests/reference/planning_power.R, base R: power.t.test(strict), pt, pbeta mixture, integrate, qt, pchisq.
TEST(Power, AgreesWithBaseROnTheGrid) {
    std::size_t powers = 0;
    std::size_t sizes = 0;
    std::size_t effects = 0;
    for (const ReferenceRow& row : readReference("planning_power.csv")) {
        SCOPED_TRACE(row.text("case"));
        const PlanningQuestion question = questionOf(row);
        const auto n = static_cast<std::size_t>(*row.number("n"));
        const double value = *row.number("value");
        if (row.text("what") == "power") {
            const double digits = isIntegral(row.text("question")) ? 1e-8 : 1e-10;
            const PowerAnswer power = powerWith(question, n);
            EXPECT_TRUE(isClose(power.value, value, {.absolute = 2e-12, .relative = digits}))
                << power.absentBecause;
            ++powers;
        } else if (row.text("what") == "n") {
            SizeRequest request;
            request.power = row.text("question") == "interval" ? 0.8 : value;
            const SizeAnswer size = subjectsFor(question, request);
            ASSERT_TRUE(size.n) << size.absentBecause;
            EXPECT_EQ(*size.n, n);
            EXPECT_EQ(size.enrolled, size.n);
            ++sizes;
        } else {
            const DetectableAnswer effect = detectableWith(question, n, *row.number("a"));
            EXPECT_TRUE(isClose(effect.value, value, {.relative = 1e-7})) << effect.absentBecause;
            ++effects;
        }
    }
    EXPECT_EQ(powers, 348U);
    EXPECT_EQ(sizes, 132U);
    EXPECT_EQ(effects, 32U);
}

// Exact noncentral t, both tails, alpha 0.05, paired: n of published tables for power 0.80 and 0.90; power
// at n = 33 and 34 for dz = 0.5 (R 4.2.2, power.t.test(strict = TRUE); 34 is also that of printed tables).
TEST(Power, PairedTableOfTheNoncentralT) {
    const std::vector<std::pair<double, std::pair<std::size_t, std::size_t>>> table{
        {0.2, {199, 265}}, {0.3, {90, 119}}, {0.4, {52, 68}}, {0.5, {34, 44}},
        {0.6, {24, 32}},   {0.8, {15, 19}},  {1.0, {10, 13}}, {1.2, {8, 10}}};
    for (const auto& [dz, n] : table) {
        EXPECT_EQ(subjectsFor(differenceOf(dz), {0.8, 0.0, 1}).n, n.first) << dz;
        EXPECT_EQ(subjectsFor(differenceOf(-dz), {0.9, 0.0, 1}).n, n.second) << dz;
    }
    EXPECT_TRUE(isClose(powerWith(differenceOf(0.5), 34).value, 0.8077775013, {.absolute = 5e-11}));
    EXPECT_TRUE(isClose(powerWith(differenceOf(0.5), 33).value, 0.7953658415, {.absolute = 5e-11}));
}

// For two foods F = t², and df of the foods' F is that of the paired t; SD of differences = √2·SD within.
TEST(Power, TwoFoodsByFEqualPairedT) {
    FoodsQuestion foods;
    foods.means = {3.0, 4.2};
    foods.sdWithin = 1.1;
    DifferenceQuestion two = differenceOf(1.2);
    two.spread = {SpreadKind::sdWithin, 1.1};
    for (const std::size_t n : {2U, 5U, 17U, 400U}) {
        EXPECT_TRUE(isClose(powerWith(foods, n).value, *powerWith(two, n).value, {.relative = 1e-11})) << n;
    }
}

// The integral over the sample SD against the series: with one limit far away the two one-sided tests are
// one, and its power that of the noncentral t.
TEST(Power, EquivalenceWithAFarLimitIsNonInferiority) {
    NonInferiorityQuestion oneSided;
    oneSided.limit = 0.7;
    oneSided.spread = {SpreadKind::sdOfDifferences, 1.0};
    oneSided.alpha = 0.05;
    for (const std::size_t n : {2U, 3U, 4U, 12U, 50U, 1000U, 90000U}) {
        EXPECT_TRUE(isClose(powerWith(equivalenceOf(-1e6, 0.7, 0.0), n).value, *powerWith(oneSided, n).value,
                            {.absolute = 1e-12, .relative = 1e-9}))
            << n;
    }
}

TEST(Power, IntegralOverTheSampleSdGivesItsMoments) {
    for (const double df : {1.0, 2.0, 7.0, 60.0, 5000.0}) {
        const double infinity = std::numeric_limits<double>::infinity();
        EXPECT_TRUE(isClose(meanOverSampleSd(df, infinity, {}, [](double) { return 1.0; }), 1.0,
                            {.relative = 1e-10}));
        EXPECT_TRUE(isClose(meanOverSampleSd(df, infinity, {}, [](double s) { return s * s; }), 1.0,
                            {.relative = 1e-10}));
        // P(S ≤ 1.1) is that of chi-square at df·1.21.
        EXPECT_TRUE(isClose(meanOverSampleSd(df, 1.1, {}, [](double) { return 1.0; }),
                            *chiSquareLowerTail(df * 1.21, df), {.relative = 1e-10}));
    }
}

// The log-normal: SD of logarithms √ln(1 + CV²). Equivalent limits of ratios and of logarithms agree, and so
// does a food and its inverse.
TEST(Power, RatiosAreLogarithms) {
    EquivalenceQuestion ratio = equivalenceOf(0.8, 1.25, 0.95);
    ratio.scale = PlanningScale::ratio;
    ratio.spread = {SpreadKind::cvWithin, 30.0};
    EquivalenceQuestion inverse = ratio;
    inverse.expected = 1.0 / 0.95;
    EquivalenceQuestion logs = equivalenceOf(std::log(0.8), std::log(1.25), std::log(0.95));
    logs.spread = {SpreadKind::sdWithin, std::sqrt(std::log(1.09))};
    const double power = *powerWith(ratio, 30).value;
    EXPECT_TRUE(isClose(powerWith(inverse, 30).value, power, {.relative = 1e-12}));
    EXPECT_TRUE(isClose(powerWith(logs, 30).value, power, {.relative = 1e-12}));
}

TEST(Power, CrossoverTakesOneDegreeOfFreedomAndMindsOddNumbers) {
    EXPECT_DOUBLE_EQ(errorOfDifference(TwoFoodDesign::crossover, 10).se, 1.0 / std::sqrt(10.0));
    EXPECT_DOUBLE_EQ(errorOfDifference(TwoFoodDesign::crossover, 10).df, 8.0);
    // By hand: ½·√(1/2 + 1/3).
    EXPECT_DOUBLE_EQ(errorOfDifference(TwoFoodDesign::crossover, 5).se, 0.5 * std::sqrt(5.0 / 6.0));
    DifferenceQuestion question = differenceOf(1.0);
    question.design = TwoFoodDesign::crossover;
    EXPECT_FALSE(powerWith(question, 2).value);
    EXPECT_THAT(powerWith(question, 2).absentBecause, HasSubstr("at least 3"));
}

TEST(Power, PowerGoesThereAndBack) {
    EquivalenceQuestion equivalence = equivalenceOf(-0.9, 0.9, 0.0);
    const PlanningQuestion questions[]{differenceOf(0.9), equivalence};
    for (const PlanningQuestion& question : questions) {
        const double power = *powerWith(question, 14).value;
        EXPECT_TRUE(isClose(detectableWith(question, 14, power).value, 0.9, {.relative = 1e-9}));
        EXPECT_EQ(subjectsFor(question, {power * (1.0 - 1e-12), 0.0, 1}).n, 14U);
        EXPECT_EQ(subjectsFor(question, {power + 1e-6, 0.0, 1}).n, 15U);
    }
    IndexQuestion index;
    index.halfWidth = 10.0;
    index.sd = sdOfIndex(25.0, 60.0);
    EXPECT_DOUBLE_EQ(index.sd, 15.0);
    // t(0.975, 9) = 2.262157163 (printed tables 2.262): half-width 2.262157163·15/√10.
    EXPECT_TRUE(
        isClose(powerWith(index, 10).value, 2.262157163 * 15.0 / std::sqrt(10.0), {.relative = 1e-9}));
    EXPECT_TRUE(isClose(detectableWith(index, 10, 0.8).value, 2.262157163 * 15.0 / std::sqrt(10.0),
                        {.relative = 1e-9}));
    EXPECT_EQ(subjectsFor(index, {}).n, 12U);  // 2.200985·15/√12 = 9.53, 2.228139·15/√11 = 10.08
    index.assurance = 0.9;
    const SizeAnswer assured = subjectsFor(index, {});
    ASSERT_TRUE(assured.n);
    EXPECT_GT(*assured.n, 12U);
    EXPECT_TRUE(isClose(detectableWith(index, *assured.n, 0.9).value, 10.0, {.relative = 0.05}));
}

TEST(Power, DropoutAndWholeBlocksRaiseTheNumberEnrolled) {
    const SizeAnswer size = subjectsFor(differenceOf(1.2), {0.8, 0.2, 1});
    EXPECT_EQ(size.n, 8U);
    EXPECT_EQ(size.enrolled, 10U);                                            // 8/0.8
    EXPECT_EQ(subjectsFor(differenceOf(1.2), {0.8, 0.21, 1}).enrolled, 11U);  // 10.13
    EXPECT_EQ(subjectsFor(differenceOf(1.2), {0.8, 0.2, 6}).enrolled, 12U);
}

TEST(Power, OutOfReachIsAbsentWithTheReason) {
    const SizeAnswer tiny = subjectsFor(differenceOf(1e-3), {});
    EXPECT_FALSE(tiny.n);
    EXPECT_THAT(tiny.absentBecause, HasSubstr("more than 100000 subjects"));
    EXPECT_FALSE(subjectsFor(differenceOf(1e-290), {}).n);
    EXPECT_FALSE(powerWith(differenceOf(1.0), 100'001).value);
    EXPECT_FALSE(powerWith(differenceOf(1.0), 0).value);
    EXPECT_FALSE(powerWith(differenceOf(1.0), 1).value);
}

TEST(Power, HostileNumbersAreRefusedOrAnswered) {
    const double infinity = std::numeric_limits<double>::infinity();
    const double notANumber = std::numeric_limits<double>::quiet_NaN();
    for (const double bad : {0.0, infinity, -infinity, notANumber, 1e301}) {
        EXPECT_FALSE(subjectsFor(differenceOf(bad), {}).n) << bad;
        EXPECT_FALSE(subjectsFor(differenceOf(bad), {}).absentBecause.empty());
        DifferenceQuestion question = differenceOf(1.0);
        question.spread.value = bad;
        EXPECT_FALSE(subjectsFor(question, {}).n) << bad;
        question = differenceOf(1.0);
        question.alpha = bad;
        EXPECT_FALSE(powerWith(question, 10).value) << bad;
        EXPECT_FALSE(detectableWith(question, 10, 0.8).value) << bad;
        EXPECT_FALSE(subjectsFor(differenceOf(1.0), {bad, 0.0, 1}).n) << bad;
        EXPECT_FALSE(detectableWith(differenceOf(1.0), 10, bad).value) << bad;
        if (bad != 0.0) {
            EXPECT_FALSE(subjectsFor(differenceOf(1.0), {0.8, bad, 1}).n) << bad;
        }
    }
    EXPECT_FALSE(subjectsFor(differenceOf(1.0), {1.0, 0.0, 1}).n);
    EXPECT_FALSE(subjectsFor(differenceOf(1.0), {0.05, 0.0, 1}).n);
    EXPECT_FALSE(subjectsFor(differenceOf(1.0), {0.8, 1.0, 1}).n);
    EXPECT_FALSE(subjectsFor(differenceOf(1.0), {0.8, 0.0, 0}).n);
    // A difference and an SD of any size: only their ratio counts.
    const double power = *powerWith(differenceOf(0.5), 34).value;
    for (const double scale : {1e-299, 1e299}) {
        DifferenceQuestion question = differenceOf(0.5 * scale);
        question.spread.value = scale;
        EXPECT_TRUE(isClose(powerWith(question, 34).value, power, {.relative = 1e-12}));
        EXPECT_TRUE(isClose(detectableWith(question, 34, power).value, 0.5 * scale, {.relative = 1e-9}));
    }
    // Overwhelming effects: power 1, not NaN.
    for (const double d : {1e5, 1e160, 1e300}) {
        for (const std::size_t n : {2U, 3U, 100U, 100'000U}) {
            DifferenceQuestion question = differenceOf(d);
            question.spread.value = d == 1e300 ? 1e-300 : 1.0;
            EXPECT_TRUE(isClose(powerWith(question, n).value, 1.0, {.absolute = 1e-3})) << d << ' ' << n;
            FoodsQuestion foods;
            foods.means = {0.0, d, -d};
            foods.sdWithin = question.spread.value;
            EXPECT_TRUE(isClose(powerWith(foods, n).value, 1.0, {.absolute = 1e-3})) << d << ' ' << n;
            EquivalenceQuestion wide = equivalenceOf(-d, d, 0.0);
            wide.spread.value = question.spread.value;
            EXPECT_TRUE(isClose(powerWith(wide, n).value, 1.0, {.absolute = 1e-3})) << d << ' ' << n;
        }
    }
}

// Where the series hands over to the limit the two agree: P(S < delta/t) with an error of the order 1/delta².
TEST(Power, SeriesAndLimitMeet) {
    for (const double t : {3e3, 9e3, 9.9e3, 1.1e4, 2e4}) {
        for (const double df : {1.0, 5.0, 40.0}) {
            EXPECT_TRUE(isClose(noncentralTUpperTail(t, df, 0.99999999e4), *noncentralTUpperTail(t, df, 1e4),
                                {.absolute = 1e-6}))
                << t << ' ' << df;
            EXPECT_TRUE(isClose(noncentralFUpperTail(t * t, 1.0, df, 0.99999999e8),
                                *noncentralFUpperTail(t * t, 1.0, df, 1e8), {.absolute = 1e-6}))
                << t << ' ' << df;
        }
    }
}

TEST(Power, LimitsInTheWrongOrderAreNamed) {
    EXPECT_THAT(powerWith(equivalenceOf(0.5, -0.5, 0.0), 10).absentBecause, HasSubstr("not below the upper"));
    EXPECT_THAT(powerWith(equivalenceOf(-0.5, 0.5, 0.5), 10).absentBecause,
                HasSubstr("not between the limits"));
    EquivalenceQuestion ratio = equivalenceOf(-0.8, 1.25, 1.0);
    ratio.scale = PlanningScale::ratio;
    EXPECT_THAT(powerWith(ratio, 10).absentBecause, HasSubstr("lower limit is -0.8"));
    NonInferiorityQuestion wrong;
    wrong.limit = -1.0;
    wrong.spread = {SpreadKind::sdOfDifferences, 1.0};
    EXPECT_THAT(powerWith(wrong, 10).absentBecause, HasSubstr("good side"));
    wrong.lowerIsBetter = false;
    EXPECT_TRUE(powerWith(wrong, 10).value);
    DifferenceQuestion cv = differenceOf(1.0);
    cv.spread.kind = SpreadKind::cvWithin;
    EXPECT_THAT(powerWith(cv, 10).absentBecause, HasSubstr("CV"));
    FoodsQuestion foods;
    foods.sdWithin = 1.0;
    for (const std::size_t k : {0U, 1U, 101U}) {
        foods.means = leastFavourableMeans(k, 1.0);
        EXPECT_THAT(powerWith(foods, 10).absentBecause, HasSubstr("foods cannot be compared"));
        EXPECT_FALSE(detectableWith(foods, 10, 0.8).value);
    }
}

TEST(Power, CurveHoldsTheAnswerAndRises) {
    const PowerCurve curve = powerCurve(differenceOf(0.5), {}, "");
    EXPECT_EQ(curve.n, 34U);
    ASSERT_GE(curve.points.size(), 60U);
    EXPECT_EQ(curve.points.front().n, 2U);
    EXPECT_EQ(curve.points.back().n, 68U);
    for (std::size_t i = 1; i < curve.points.size(); ++i) {
        EXPECT_GT(curve.points[i].value, curve.points[i - 1].value);
    }
    const PowerCurve large = powerCurve(differenceOf(0.01), {}, "");
    ASSERT_TRUE(large.n);
    EXPECT_LE(large.points.size(), 122U);
    EXPECT_TRUE(std::any_of(large.points.begin(), large.points.end(),
                            [&](const PowerPoint& point) { return point.n == *large.n; }));
    EXPECT_FALSE(powerCurve(differenceOf(0.0), {}, "").absentBecause.empty());
}

}  // namespace aftercurve
