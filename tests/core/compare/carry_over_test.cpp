#include "core/compare/carry_over.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <optional>
#include <random>
#include <string>
#include <vector>

#include "core/compare/mixed_model.h"
#include "tests/support/close.h"

namespace aftercurve {
namespace {

using test::isClose;

TEST(CarryOver, PreviousFoodOfTheSameSubject) {
    // Subject 0: foods 5, 6, 7 in periods 1, 2, 3, given out of order; subject 1 has no period 2.
    const std::vector<CarryOverVisit> visits = {{0, 3, 7}, {0, 1, 5}, {1, 1, 6}, {0, 2, 6},
                                                {1, 3, 5}, {1, 4, 5}, {2, 2, 7}};
    const auto carried = carryOverLevels(visits);
    ASSERT_EQ(carried.size(), visits.size());
    const std::vector<std::pair<CarryOverSource, std::optional<std::size_t>>> expected = {
        {CarryOverSource::previousPeriod, 6},
        {CarryOverSource::firstPeriod, std::nullopt},
        {CarryOverSource::firstPeriod, std::nullopt},
        {CarryOverSource::previousPeriod, 5},
        {CarryOverSource::noVisitBefore, std::nullopt},
        {CarryOverSource::previousPeriod, 5},
        // Began late: what was eaten in the first period is not known.
        {CarryOverSource::noVisitBefore, std::nullopt}};
    for (std::size_t i = 0; i < visits.size(); ++i) {
        EXPECT_EQ(carried[i].source, expected[i].first) << i;
        EXPECT_EQ(carried[i].food, expected[i].second) << i;
    }
}

TEST(CarryOver, ReplicatesAndConflictsInOnePeriod) {
    const std::vector<CarryOverVisit> visits = {{0, 1, 5}, {0, 1, 5}, {0, 2, 6}, {0, 2, 7}, {0, 3, 5}};
    const auto carried = carryOverLevels(visits);
    EXPECT_EQ(carried[0].source, CarryOverSource::firstPeriod);
    EXPECT_EQ(carried[2].source, CarryOverSource::periodNotUnique);
    EXPECT_EQ(carried[3].source, CarryOverSource::periodNotUnique);
    EXPECT_EQ(carried[4].source, CarryOverSource::severalFoods);
}

TEST(CarryOver, NoVisitsAndExtremePeriods) {
    EXPECT_TRUE(carryOverLevels({}).empty());
    const int low = std::numeric_limits<int>::min();
    const int high = std::numeric_limits<int>::max();
    const std::vector<CarryOverVisit> visits = {{0, low, 1}, {0, high, 2}, {0, high - 1, 3}};
    const auto carried = carryOverLevels(visits);
    EXPECT_EQ(carried[0].source, CarryOverSource::firstPeriod);
    EXPECT_EQ(carried[1].food, 3U);
    EXPECT_EQ(carried[2].source, CarryOverSource::noVisitBefore);
}

/// Orders of a Williams square of three foods, twice; every food follows every other equally often.
MixedModelData williams(bool carryOver) {
    const std::vector<std::vector<std::size_t>> orders = {{0, 1, 2}, {1, 2, 0}, {2, 0, 1},
                                                          {2, 1, 0}, {0, 2, 1}, {1, 0, 2}};
    MixedModelData data;
    data.factors = {{"food", {"a", "b", "c"}}, {"period", {"1", "2", "3"}}};
    if (carryOver) {
        data.factors.push_back({"carry-over", {"a", "b", "c"}, true});
    }
    std::mt19937 random(12);
    for (std::size_t s = 0; s < 12; ++s) {
        const auto& order = orders[s % 6];
        const auto level = static_cast<double>(random() % 500);
        for (std::size_t period = 0; period < 3; ++period) {
            MixedModelRow row{s, {order[period], period}, level + static_cast<double>(random() % 100)};
            if (carryOver) {
                row.levels.push_back(period == 0 ? noLevel : order[period - 1]);
            }
            data.rows.push_back(row);
        }
    }
    return data;
}

// Exact effects of carry-over, without noise to speak of: food effects 0, 10, 30, carry-over 6, 0, −6.
TEST(CarryOver, EffectsSumToZeroAndMeansAreWithoutIt) {
    MixedModelData data = williams(true);
    const std::vector<double> food = {0, 10, 30};
    const std::vector<double> carried = {6, 0, -6};
    for (std::size_t i = 0; i < data.rows.size(); ++i) {
        MixedModelRow& row = data.rows[i];
        const double jitter = 1e-4 * std::sin(static_cast<double>(7 * i * i + 3));
        row.value = 100.0 + 20.0 * static_cast<double>(row.subject % 4) + food[row.levels[0]] +
                    (row.levels[2] == noLevel ? 0.0 : carried[row.levels[2]]) + jitter;
    }
    const MixedModel r = mixedModel(data, {});
    ASSERT_TRUE(r.absentBecause.empty());
    EXPECT_TRUE(r.dropped.empty());
    ASSERT_EQ(r.terms.size(), 3U);
    EXPECT_EQ(r.terms[2].numeratorDf, 2U);
    EXPECT_LT(r.terms[2].p.value(), 1e-6);
    // Subjects average 100 + 30.
    EXPECT_TRUE(isClose(r.means[0].estimate, 130.0, {.absolute = 1e-3}));
    EXPECT_TRUE(isClose(r.means[2].estimate, 160.0, {.absolute = 1e-3}));
    // Without carry-over in the model the foods are mixed up with it.
    MixedModelData plain = data;
    plain.factors.pop_back();
    for (MixedModelRow& row : plain.rows) {
        row.levels.pop_back();
    }
    EXPECT_GT(std::abs(mixedModel(plain, {}).differences[0].estimate.value() - 10.0), 0.5);
}

TEST(CarryOver, NoRowWithALevelOrOneLevelLeavesTheModelAsItWas) {
    const MixedModel plain = mixedModel(williams(false), {});
    for (const bool one : {false, true}) {
        MixedModelData data = williams(true);
        for (MixedModelRow& row : data.rows) {
            row.levels[2] = one && row.levels[1] != 0 ? 1 : noLevel;
        }
        const MixedModel r = mixedModel(data, {});
        EXPECT_EQ(r.terms[2].absentBecause, one ? "it has one level" : "no row has a level of it");
        EXPECT_FALSE(r.terms[2].f);
        EXPECT_TRUE(isClose(r.differences[0].t, plain.differences[0].t, {.relative = 1e-10}));
        EXPECT_TRUE(isClose(r.means[1].se, plain.means[1].se, {.relative = 1e-10}));
    }
}

// In a cyclic square the food before is always the same one: carry-over and food cannot be told apart but
// through the first period.
TEST(CarryOver, WhatTheDesignCannotTellIsDroppedByName) {
    MixedModelData data = williams(true);
    data.rows.clear();
    std::mt19937 random(3);
    for (std::size_t s = 0; s < 9; ++s) {
        for (std::size_t period = 1; period < 3; ++period) {
            const std::size_t food = (s + period) % 3;
            data.rows.push_back({s, {food, period, (food + 2) % 3}, static_cast<double>(random() % 1000)});
        }
    }
    const MixedModel r = mixedModel(data, {});
    EXPECT_EQ(r.dropped, (std::vector<std::string>{"carry-over b", "carry-over c"}));
    EXPECT_FALSE(r.terms[2].f);
    EXPECT_FALSE(r.terms[2].absentBecause.empty());
    for (const ModelDifference& d : r.differences) {
        EXPECT_FALSE(d.estimate);
        EXPECT_FALSE(d.absentBecause.empty());
    }
}

}  // namespace
}  // namespace aftercurve
