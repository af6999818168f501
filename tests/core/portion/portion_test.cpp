// Portions: values by hand, and what is missing, 0, huge or not a number.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <limits>

#include "core/portion/composition_sums.h"
#include "core/portion/energy.h"
#include "core/portion/match.h"
#include "core/portion/servings.h"
#include "tests/support/close.h"

namespace aftercurve {
namespace {

using test::isClose;
using testing::HasSubstr;
using testing::IsEmpty;

constexpr double infinite = std::numeric_limits<double>::infinity();
constexpr double notANumber = std::numeric_limits<double>::quiet_NaN();

// Factors of Regulation (EU) 1169/2011, Annex XIV (from memory): 17, 17, 37 and 8 kJ/g.
TEST(PortionEnergy, ByTheFactors) {
    // 50 · 17 + 9.5 · 17 + 3 · 37 + 4 · 8 = 850 + 161.5 + 111 + 32
    EXPECT_EQ(energyKjOf({50.0, 9.5, 3.0, 4.0}).value, 1154.5);
    EXPECT_EQ(energyKjOf({0.0, 0.0, 0.0, 0.0}).value, 0.0);
    EXPECT_TRUE(isClose(kcalOf(418.4), 100.0, {.relative = 1e-15}));
}

TEST(PortionEnergy, OneMissingIsNotNought) {
    const PortionValue energy = energyKjOf({50.0, 9.5, std::nullopt, 4.0});
    EXPECT_FALSE(energy.value);
    EXPECT_EQ(energy.absentBecause, "the fat is not given");
    EXPECT_EQ(energyKjOf({}).absentBecause, "the available carbohydrate is not given");
    EXPECT_FALSE(energyKjOf({1e308, 1e308, 1e308, 1.0}).value);
}

TEST(PortionEnergy, TenPercentIsTheLimitAndStillInside) {
    const Macronutrients thousand{20.0, 0.0, 0.0, 82.5};  // 340 + 660
    EXPECT_FALSE(compareEnergy(1100.0, thousand).beyond);
    EXPECT_EQ(compareEnergy(1100.0, thousand).differencePercent.value, 10.0);
    EXPECT_FALSE(compareEnergy(900.0, thousand).beyond);
    EXPECT_TRUE(compareEnergy(1100.01, thousand).beyond);
    EXPECT_TRUE(compareEnergy(899.99, thousand).beyond);
    EXPECT_FALSE(compareEnergy(std::nullopt, thousand).beyond);
    EXPECT_EQ(compareEnergy(std::nullopt, thousand).differencePercent.absentBecause, "no energy is stated");
    EXPECT_FALSE(compareEnergy(500.0, {}).beyond);
    EXPECT_FALSE(compareEnergy(0.0, {0.0, 0.0, 0.0, 0.0}).beyond);
    EXPECT_TRUE(compareEnergy(5.0, {0.0, 0.0, 0.0, 0.0}).beyond);
}

TEST(PortionAmounts, PerHundredGramsAndPerServing) {
    EXPECT_EQ(amountIn(12.8, 128.0, 100.0).value, 10.0);
    EXPECT_EQ(amountIn(12.8, 128.0, 40.0).value, 4.0);
    EXPECT_EQ(amountIn(12.8, 0.0, 40.0).absentBecause, "the portion weighs 0 g");
    EXPECT_FALSE(amountIn(std::nullopt, 128.0, 40.0).value);
    EXPECT_FALSE(amountIn(12.8, std::nullopt, 40.0).value);
    EXPECT_FALSE(amountIn(12.8, 128.0, std::nullopt).value);
    EXPECT_FALSE(amountIn(1e300, 1e-300, 100.0).value);
}

TEST(PortionAmounts, ThePortionThatHoldsFiftyGrams) {
    EXPECT_EQ(portionHolding(50.0, 78.0, 40.0).value, 97.5);
    EXPECT_EQ(portionHolding(25.0, 78.0, 40.0).value, 48.75);
    EXPECT_EQ(portionHolding(50.0, 78.0, 0.0).absentBecause, "the portion holds no available carbohydrate");
    EXPECT_FALSE(portionHolding(50.0, std::nullopt, 40.0).value);
    EXPECT_FALSE(portionHolding(50.0, 78.0, std::nullopt).value);
}

// 8.4 g in 60 g is 14 % (EFSA Journal 2011;9(4):2024 speaks of that share).
TEST(PortionAmounts, ShareOfResistantStarch) {
    EXPECT_TRUE(isClose(resistantStarchShare(8.4, 60.0).value, 14.0, {.relative = 1e-15}));
    EXPECT_EQ(resistantStarchShare(0.0, 60.0).value, 0.0);
    EXPECT_EQ(resistantStarchShare(0.0, 0.0).absentBecause, "there is no starch");
    EXPECT_FALSE(resistantStarchShare(std::nullopt, 60.0).value);
    EXPECT_FALSE(resistantStarchShare(8.4, std::nullopt).value);
}

TEST(PortionMatches, TheLimitIsInside) {
    EXPECT_EQ(matchPortions(55.0, 50.0, 10.0).status, MatchStatus::matched);
    EXPECT_EQ(matchPortions(45.0, 50.0, 10.0).status, MatchStatus::matched);
    EXPECT_EQ(matchPortions(0.33, 0.3, 10.0).status, MatchStatus::matched);  // 10.000000000000009 as doubles
    EXPECT_EQ(matchPortions(55.001, 50.0, 10.0).status, MatchStatus::notMatched);
    EXPECT_EQ(matchPortions(44.999, 50.0, 10.0).status, MatchStatus::notMatched);
    EXPECT_EQ(matchPortions(50.0, 50.0, 0.0).status, MatchStatus::matched);
    EXPECT_EQ(matchPortions(50.001, 50.0, 0.0).status, MatchStatus::notMatched);
    const PortionMatch match = matchPortions(45.0, 50.0, 10.0);
    EXPECT_EQ(match.differenceG.value, -5.0);
    EXPECT_EQ(match.differencePercent.value, -10.0);
}

TEST(PortionMatches, WhatIsNotKnownIsNeverMatched) {
    for (const PortionMatch& match :
         {matchPortions(std::nullopt, 50.0, 10.0), matchPortions(50.0, std::nullopt, 10.0),
          matchPortions(std::nullopt, std::nullopt, 10.0)}) {
        EXPECT_EQ(match.status, MatchStatus::notKnown);
        EXPECT_FALSE(match.differenceG.value);
        EXPECT_FALSE(match.differencePercent.value);
        EXPECT_FALSE(match.differenceG.absentBecause.empty());
    }
    EXPECT_EQ(wordFor(MatchStatus::notKnown), "not known");
}

TEST(PortionMatches, AgainstNoneAndHugeNumbers) {
    EXPECT_EQ(matchPortions(0.0, 0.0, 10.0).status, MatchStatus::matched);
    EXPECT_EQ(matchPortions(1.0, 0.0, 10.0).status, MatchStatus::notMatched);
    EXPECT_FALSE(matchPortions(1.0, 0.0, 10.0).differencePercent.value);
    EXPECT_EQ(matchPortions(1e300, 1e-300, 10.0).status, MatchStatus::notMatched);
    EXPECT_EQ(matchPortions(1e300, 1e300, 10.0).status, MatchStatus::matched);
    EXPECT_EQ(matchPortions(1e-300, 1e-300, 10.0).status, MatchStatus::matched);
}

TEST(PortionServings, AThirtyGramIntakeTakesFifteenSlicesOfTwoGrams) {
    const ServingsForTarget servings = servingsFor(30.0, {2.0, 35.0, 16.0, 390.0});
    EXPECT_EQ(servings.exact.value, 15.0);
    EXPECT_EQ(servings.whole, 15.0);
    EXPECT_EQ(servings.grams.value, 525.0);
    EXPECT_EQ(servings.availableCarbohydrateG.value, 240.0);
    EXPECT_EQ(servings.energyKj.value, 5850.0);
}

TEST(PortionServings, RoundingOfADoubleAddsNoServing) {
    EXPECT_EQ(wholeServings(15.000000000000002), 15.0);
    EXPECT_EQ(wholeServings(14.999999999999998), 15.0);
    EXPECT_EQ(wholeServings(15.001), 16.0);
    EXPECT_EQ(wholeServings(0.2), 1.0);
    // 0.3 / 0.1 is 2.9999999999999996, 0.6 / 0.2 likewise; 2.1 / 0.7 is 3.0000000000000004.
    EXPECT_EQ(servingsFor(2.1, {0.7, {}, {}, {}}).whole, 3.0);
    EXPECT_EQ(servingsFor(0.3, {0.1, {}, {}, {}}).whole, 3.0);
    EXPECT_EQ(servingsFor(30.0, {7.0, {}, {}, {}}).whole, 5.0);
    EXPECT_EQ(servingsFor(1.0, {100.0, {}, {}, {}}).whole, 1.0);
    EXPECT_EQ(servingsFor(1e-300, {1e300, {}, {}, {}}).whole, 1.0);
}

TEST(PortionServings, NoneWhereTheyCannotBeCounted) {
    for (const double target : {0.0, -30.0, infinite, notANumber}) {
        EXPECT_FALSE(servingsFor(target, {2.0, 35.0, 16.0, 390.0}).whole);
    }
    EXPECT_EQ(servingsFor(30.0, {0.0, 35.0, 16.0, 390.0}).exact.absentBecause, "a serving holds no fibre");
    EXPECT_EQ(servingsFor(30.0, {}).exact.absentBecause, "the fibre of a serving is not known");
    EXPECT_FALSE(servingsFor(1e300, {1e-300, 35.0, 16.0, 390.0}).whole);
    const ServingsForTarget some = servingsFor(30.0, {2.0, {}, {}, {}});
    EXPECT_EQ(some.whole, 15.0);
    EXPECT_FALSE(some.grams.value);
    EXPECT_EQ(some.energyKj.absentBecause, "the energy of a serving is not known");
}

FoodComposition starches(double starch, double sugars, double resistant) {
    FoodComposition composition;
    composition.starchG = starch;
    composition.sugarsG = sugars;
    composition.resistantStarchG = resistant;
    return composition;
}

TEST(CompositionSums, StarchAndSugarsBeyondWhatIsAvailable) {
    // Limit 50 + 2, tolerance 2.6: 54.6 passes, 54.61 does not.
    EXPECT_THAT(compositionFaults(120.0, 50.0, starches(50.6, 4.0, 2.0)), IsEmpty());
    const auto faults = compositionFaults(120.0, 50.0, starches(50.61, 4.0, 2.0));
    ASSERT_EQ(faults.size(), 1U);
    EXPECT_THAT(faults[0].what, HasSubstr("starch (50.61 g) and sugars (4 g)"));
    EXPECT_THAT(faults[0].check, HasSubstr("starch_g"));
    // Without the resistant starch nothing can be said.
    FoodComposition unknown = starches(80.0, 4.0, 0.0);
    unknown.resistantStarchG.reset();
    EXPECT_THAT(compositionFaults(120.0, 50.0, unknown), IsEmpty());
    EXPECT_THAT(compositionFaults(120.0, std::nullopt, starches(80.0, 4.0, 2.0)), IsEmpty());
}

TEST(CompositionSums, PartsLargerThanTheWhole) {
    EXPECT_EQ(compositionFaults(120.0, 10.0, starches(1.0, 12.0, 0.0)).size(), 1U);     // sugars
    EXPECT_EQ(compositionFaults(120.0, 50.0, starches(10.0, 1.0, 11.5)).size(), 1U);    // resistant starch
    EXPECT_THAT(compositionFaults(120.0, 50.0, starches(10.0, 1.0, 10.4)), IsEmpty());  // rounding
    FoodComposition slow;
    slow.starchG = 10.0;
    slow.resistantStarchG = 5.0;
    slow.slowlyDigestibleStarchG = 6.0;
    EXPECT_EQ(compositionFaults({}, {}, slow).size(), 1U);
    FoodComposition perHundred;
    perHundred.proteinG = 9.0;
    perHundred.fatG = 3.0;
    perHundred.fibreG = 4.0;
    EXPECT_THAT(compositionFaults(66.0, 50.0, perHundred), IsEmpty());
    const auto faults = compositionFaults(60.0, 50.0, perHundred);  // 66 against 60 + 3
    ASSERT_EQ(faults.size(), 1U);
    EXPECT_THAT(faults[0].what, HasSubstr("portion of 60 g"));
}

TEST(CompositionSums, NothingKnownIsNoFault) {
    EXPECT_THAT(compositionFaults({}, {}, {}), IsEmpty());
    EXPECT_THAT(compositionFaults(0.0, 0.0, {}), IsEmpty());
    EXPECT_EQ(compositionFaults(0.0, 10.0, {}).size(), 1U);
}

}  // namespace
}  // namespace aftercurve
