// Bases, replicates, labels and statements: values by hand, at and beside every limit.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "core/fibre/basis.h"
#include "core/fibre/fibre_rules.h"
#include "core/fibre/fibre_statements.h"
#include "core/fibre/label_amount.h"
#include "core/fibre/replicates.h"
#include "tests/support/close.h"

namespace aftercurve {
namespace {

using test::isClose;
using testing::HasSubstr;
using testing::IsEmpty;

const FibreRule& ruleOf(std::string_view key) {
    for (const FibreRule& rule : builtInFibreRules()) {
        if (rule.key == key) {
            return rule;
        }
    }
    throw std::runtime_error("no such rule");
}

TEST(FibreBasis, DryAndAsItIs) {
    // 20 g in 100 g of dry matter, 75 % water: 25 g of dry matter in 100 g hold 5 g.
    EXPECT_EQ(asIsFromDry(20.0, 75.0).value, 5.0);
    EXPECT_EQ(dryFromAsIs(5.0, 75.0).value, 20.0);
    EXPECT_EQ(asIsFromDry(20.0, 0.0).value, 20.0);
    EXPECT_EQ(asIsFromDry(20.0, 100.0).value, 0.0);
    EXPECT_EQ(asIsFromDry(20.0, std::nullopt).absentBecause, "the moisture is not given");
    EXPECT_EQ(dryFromAsIs(5.0, std::nullopt).absentBecause, "the moisture is not given");
    EXPECT_EQ(dryFromAsIs(0.0, 100.0).absentBecause, "the material has no dry matter");
}

TEST(FibreReplicatesTest, TwoByHand) {
    // SD of two = |difference| / √2; mean 5, difference 2: CV = 100 · √2 / 5.
    const std::vector<double> two{4.0, 6.0};
    const FibreReplicates r = fibreReplicates(two);
    EXPECT_EQ(r.n, 2U);
    EXPECT_EQ(r.mean.value, 5.0);
    EXPECT_EQ(r.range.value, 2.0);
    EXPECT_TRUE(isClose(*r.sd.value, std::sqrt(2.0), {.relative = 1e-15}));
    EXPECT_TRUE(isClose(*r.cvPercent.value, 20.0 * std::sqrt(2.0), {.relative = 1e-15}));
}

TEST(FibreReplicatesTest, OneNoneEqualAndZero) {
    const std::vector<double> one{4.0};
    EXPECT_EQ(fibreReplicates(one).mean.value, 4.0);
    EXPECT_EQ(fibreReplicates(one).sd.absentBecause, "one determination has no spread");
    EXPECT_FALSE(fibreReplicates({}).mean.value);
    const std::vector<double> equal{3.0, 3.0, 3.0};
    EXPECT_EQ(fibreReplicates(equal).sd.value, 0.0);
    EXPECT_EQ(fibreReplicates(equal).cvPercent.value, 0.0);
    const std::vector<double> zeros{0.0, 0.0};
    EXPECT_EQ(fibreReplicates(zeros).cvPercent.absentBecause, "the mean is 0");
}

RepeatabilityVerdict verdictOf(std::vector<double> values, std::string_view method, std::string_view fraction,
                               std::optional<double> own = {}) {
    return judgeRepeatability(fibreReplicates(values), findFibreMethod(method), fraction, own).verdict;
}

// s_r of 2017.16 for total fibre: 0.29 to 0.74 (report on its study over laboratories, read); r = 2.8 · s_r =
// 0.812 and 2.072.
TEST(FibreRepeatability, AtAndBesideTheLimits) {
    EXPECT_EQ(verdictOf({10.0, 10.812}, "2017.16", "total"), RepeatabilityVerdict::within);
    EXPECT_EQ(verdictOf({10.0, 10.813}, "2017.16", "total"), RepeatabilityVerdict::between);
    EXPECT_EQ(verdictOf({10.0, 12.072}, "2017.16", "total"), RepeatabilityVerdict::between);
    EXPECT_EQ(verdictOf({10.0, 12.073}, "2017.16", "total"), RepeatabilityVerdict::beyond);
    // An own s_r of 0.5: r = 1.4.
    EXPECT_EQ(verdictOf({10.0, 11.4}, "991.43", "total", 0.5), RepeatabilityVerdict::within);
    EXPECT_EQ(verdictOf({10.0, 11.401}, "991.43", "total", 0.5), RepeatabilityVerdict::beyond);
    // RSD_r of 2002.02: 1.97 to 4.2 % (from memory); mean 50: r = 2.758 and 5.88.
    EXPECT_EQ(verdictOf({48.621, 51.379}, "2002.02", "resistant-starch"), RepeatabilityVerdict::within);
    EXPECT_EQ(verdictOf({47.05, 52.95}, "2002.02", "resistant-starch"), RepeatabilityVerdict::beyond);
}

TEST(FibreRepeatability, WhatCannotBeJudgedSaysWhy) {
    EXPECT_EQ(verdictOf({1.0, 2.0, 9.0}, "2017.16", "total"), RepeatabilityVerdict::notJudged);
    EXPECT_EQ(verdictOf({1.0}, "2017.16", "total"), RepeatabilityVerdict::notJudged);
    EXPECT_EQ(verdictOf({1.0, 9.0}, "985.29", "total"), RepeatabilityVerdict::notJudged);
    EXPECT_EQ(verdictOf({1.0, 9.0}, "2017.16", "soluble-low"), RepeatabilityVerdict::notJudged);
    EXPECT_EQ(verdictOf({1.0, 9.0}, "2009.01", "resistant-starch"), RepeatabilityVerdict::notJudged);
    const std::vector<double> two{1.0, 9.0};
    EXPECT_EQ(judgeRepeatability(fibreReplicates(two), nullptr, "total", {}).because,
              "the method is not in the table");
}

std::string label(const char* rule, double grams) {
    return labelAmount(grams, ruleOf(rule).rounding);
}

// Guidance of the Commission's services, 2012 (from memory): up to 0.5 g "0 g" or "<0.5 g", below 10 g to 0.1
// g, from 10 g to 1 g.
TEST(FibreLabel, EuropeanUnion) {
    EXPECT_EQ(label("eu", 0.0), "0 g or <0.5 g");
    EXPECT_EQ(label("eu", 0.5), "0 g or <0.5 g");
    EXPECT_EQ(label("eu", 0.51), "0.5 g");
    EXPECT_EQ(label("eu", 0.55), "0.6 g");
    EXPECT_EQ(label("eu", 2.449), "2.4 g");
    EXPECT_EQ(label("eu", 2.45), "2.5 g");
    EXPECT_EQ(label("eu", 9.94), "9.9 g");
    EXPECT_EQ(label("eu", 9.96), "10 g");
    EXPECT_EQ(label("eu", 10.0), "10 g");
    EXPECT_EQ(label("eu", 10.49), "10 g");
    EXPECT_EQ(label("eu", 10.5), "11 g");
}

// 21 CFR 101.9(c)(6)(i) (from memory): below 0.5 g zero, below 1 g "less than 1 g", else to 1 g.
TEST(FibreLabel, UnitedStates) {
    EXPECT_EQ(label("us", 0.49), "0 g");
    EXPECT_EQ(label("us", 0.5), "less than 1 g");
    EXPECT_EQ(label("us", 0.99), "less than 1 g");
    EXPECT_EQ(label("us", 1.0), "1 g");
    EXPECT_EQ(label("us", 1.49), "1 g");
    EXPECT_EQ(label("us", 1.5), "2 g");
}

// From memory: Canada below 0.5 g zero, else to 1 g; Australia and New Zealand three significant figures.
TEST(FibreLabel, OthersAndNone) {
    EXPECT_EQ(label("ca", 0.49), "0 g");
    EXPECT_EQ(label("ca", 0.5), "1 g");
    EXPECT_EQ(label("anz", 0.99), "less than 1 g");
    EXPECT_EQ(label("anz", 1.0), "1.00 g");
    EXPECT_EQ(label("anz", 7.125), "7.13 g");
    EXPECT_EQ(label("anz", 9.996), "10.0 g");
    EXPECT_EQ(label("anz", 12.34), "12.3 g");
    EXPECT_THAT(label("codex", 5.0), IsEmpty());
    EXPECT_THAT(label("eu", -1.0), IsEmpty());
    EXPECT_THAT(label("eu", std::numeric_limits<double>::quiet_NaN()), IsEmpty());
}

StatementAnswer answer(const char* rule, std::size_t statement, const FibreContents& contents) {
    return holdAgainst(ruleOf(rule).statements.at(statement), contents).answer;
}

// Regulation (EC) 1924/2006, annex (from memory): source 3 g/100 g or 1.5 g/100 kcal; high 6 g or 3 g.
TEST(FibreStatements, EuropeanUnionAtTheLimits) {
    EXPECT_EQ(answer("eu", 0, {3.0, std::nullopt, std::nullopt}), StatementAnswer::met);
    EXPECT_EQ(answer("eu", 0, {2.99, 4184.0, std::nullopt}), StatementAnswer::notMet);  // 0.299 g/100 kcal
    EXPECT_EQ(answer("eu", 0, {2.99, std::nullopt, std::nullopt}), StatementAnswer::notKnown);
    // 1.5 g in 418.4 kJ = 100 kcal.
    EXPECT_EQ(answer("eu", 0, {1.5, 418.4, std::nullopt}), StatementAnswer::met);
    EXPECT_EQ(answer("eu", 0, {1.49, 418.4, std::nullopt}), StatementAnswer::notMet);
    EXPECT_EQ(answer("eu", 1, {6.0, std::nullopt, std::nullopt}), StatementAnswer::met);
    EXPECT_EQ(answer("eu", 1, {3.0, 418.4, std::nullopt}), StatementAnswer::met);
    EXPECT_EQ(answer("eu", 1, {5.99, 1000.0, std::nullopt}), StatementAnswer::notMet);  // 2.51 g/100 kcal
    EXPECT_EQ(answer("eu", 0, {}), StatementAnswer::notKnown);
}

// 10 % and 20 % of 28 g: 2.8 and 5.6 g in a serving; Canada 2, 4, 6 g; Australia and New Zealand 2, 4, 7 g
// (from memory).
TEST(FibreStatements, ByServing) {
    const auto per = [](double fibreInServing) { return FibreContents{2.0 * fibreInServing, {}, 50.0}; };
    EXPECT_EQ(answer("us", 0, per(2.8)), StatementAnswer::met);
    EXPECT_EQ(answer("us", 0, per(2.79)), StatementAnswer::notMet);
    EXPECT_EQ(answer("us", 1, per(5.6)), StatementAnswer::met);
    EXPECT_EQ(answer("us", 1, per(5.59)), StatementAnswer::notMet);
    const double canada[] = {2.0, 4.0, 6.0};
    const double anz[] = {2.0, 4.0, 7.0};
    for (std::size_t i = 0; i < 3; ++i) {
        EXPECT_EQ(answer("ca", i, per(canada[i])), StatementAnswer::met);
        EXPECT_EQ(answer("ca", i, per(canada[i] - 0.01)), StatementAnswer::notMet);
        EXPECT_EQ(answer("anz", i, per(anz[i])), StatementAnswer::met);
        EXPECT_EQ(answer("anz", i, per(anz[i] - 0.01)), StatementAnswer::notMet);
    }
    EXPECT_EQ(answer("us", 0, {8.0, 1000.0, std::nullopt}), StatementAnswer::notKnown);
    EXPECT_THAT(holdAgainst(ruleOf("us").statements[0], {8.0, {}, {}}).because, HasSubstr("serving"));
}

TEST(FibreStatements, NoEnergyIsNoDivision) {
    EXPECT_EQ(fibreOn(FibreBasis::hundredKcal, {5.0, 0.0, {}}).absentBecause, "there is no energy");
    EXPECT_EQ(answer("eu", 0, {1.0, 0.0, {}}), StatementAnswer::notKnown);
}

}  // namespace
}  // namespace aftercurve
