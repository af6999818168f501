#include "core/compare/holm.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <limits>
#include <random>

#include "tests/support/close.h"

namespace aftercurve {
namespace {

using test::isClose;
using Ps = std::vector<std::optional<double>>;

/// The definition, word by word and without sorting: max over the p not above it of (number of p not below
/// that one) times it.
std::optional<double> byDefinition(const Ps& p, std::size_t i) {
    double largest = 0.0;
    for (const auto& q : p) {
        if (!q || *q > *p[i]) {
            continue;
        }
        const auto notBelow = std::count_if(p.begin(), p.end(), [&](const auto& r) { return r && *r >= *q; });
        largest = std::max(largest, std::min(1.0, static_cast<double>(notBelow) * *q));
    }
    return largest;
}

TEST(Holm, ByHand) {
    const Ps adjusted = holmAdjusted(Ps{0.01, 0.04, 0.03, 0.005});
    EXPECT_TRUE(isClose(adjusted[0], 0.03, {.relative = 1e-15}));
    EXPECT_TRUE(isClose(adjusted[1], 0.06, {.relative = 1e-15}));
    EXPECT_TRUE(isClose(adjusted[2], 0.06, {.relative = 1e-15}));
    EXPECT_TRUE(isClose(adjusted[3], 0.02, {.relative = 1e-15}));
}

TEST(Holm, AbsentOnesStayAbsentAndDoNotCount) {
    EXPECT_EQ(holmAdjusted(Ps{0.02, std::nullopt, 0.5}), (Ps{0.04, std::nullopt, 0.5}));
    EXPECT_TRUE(holmAdjusted(Ps{}).empty());
    EXPECT_EQ(holmAdjusted(Ps{std::nullopt}), Ps{std::nullopt});
    EXPECT_EQ(holmAdjusted(Ps{0.3}), Ps{0.3});
}

TEST(Holm, WhatIsNoProbabilityIsTakenAsAbsent) {
    EXPECT_EQ(holmAdjusted(Ps{0.02, std::numeric_limits<double>::quiet_NaN(), -0.1, 1.5}),
              (Ps{0.02, std::nullopt, std::nullopt, std::nullopt}));
}

TEST(Holm, NeverAboveOneAndTiesAlike) {
    EXPECT_EQ(holmAdjusted(Ps{0.9, 0.6, 0.6}), (Ps{1.0, 1.0, 1.0}));
    const Ps tied = holmAdjusted(Ps{0.01, 0.02, 0.01});
    EXPECT_EQ(tied[0], tied[2]);
}

TEST(Holm, AgreesWithTheDefinitionIsMonotoneAndIgnoresTheOrder) {
    std::mt19937 random(20260302);
    for (int round = 0; round < 300; ++round) {
        Ps p(1 + random() % 12);
        for (auto& one : p) {
            if (random() % 6 != 0) {
                one = static_cast<double>(random() % 100) / 400.0;  // coarse: ties occur
            }
        }
        const Ps adjusted = holmAdjusted(p);
        for (std::size_t i = 0; i < p.size(); ++i) {
            ASSERT_EQ(adjusted[i].has_value(), p[i].has_value());
            if (!p[i]) {
                continue;
            }
            EXPECT_TRUE(isClose(adjusted[i], byDefinition(p, i), {.relative = 1e-15}));
            EXPECT_GE(*adjusted[i], *p[i]);
            for (std::size_t j = 0; j < p.size(); ++j) {
                EXPECT_FALSE(p[j] && *p[i] < *p[j] && *adjusted[i] > *adjusted[j]);
            }
        }
        Ps reversed(p.rbegin(), p.rend());
        Ps back = holmAdjusted(reversed);
        std::reverse(back.begin(), back.end());
        EXPECT_EQ(back, adjusted);
    }
}

}  // namespace
}  // namespace aftercurve
