#include "core/compare/hodges_lehmann.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <random>
#include <vector>

#include "core/compare/signed_rank.h"
#include "tests/core/compare/classic_data.h"
#include "tests/support/close.h"

namespace aftercurve {
namespace {

using test::isClose;

constexpr double alpha = 0.05;

std::vector<double> allWalsh(const std::vector<double>& d) {
    std::vector<double> walsh;
    for (std::size_t i = 0; i < d.size(); ++i) {
        for (std::size_t j = i; j < d.size(); ++j) {
            walsh.push_back((d[i] + d[j]) / 2.0);
        }
    }
    std::sort(walsh.begin(), walsh.end());
    return walsh;
}

double middleOf(const std::vector<double>& sorted) {
    const std::size_t half = sorted.size() / 2;
    return sorted.size() % 2 == 1 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2.0;
}

// Hollander & Wolfe 1973, p. 29 (from memory); estimate and interval printed by R's wilcox.test(conf.int =
// TRUE). P(V ≤ 5) = 10/512 with 9 differences: the sixth from either end, confidence 1 − 20/512.
TEST(HodgesLehmann, DepressionData) {
    const HodgesLehmann r =
        hodgesLehmann(pairedDifferences(test::depressionBefore, test::depressionAfter), alpha);
    EXPECT_TRUE(isClose(r.estimate, 0.46, {.relative = 1e-14}));
    EXPECT_TRUE(isClose(r.ciLow, 0.01, {.relative = 1e-12}));
    EXPECT_TRUE(isClose(r.ciHigh, 0.786, {.relative = 1e-14}));
    EXPECT_EQ(r.achievedConfidence, 1.0 - 20.0 / 512.0);
    EXPECT_EQ(r.method, "exact");
    EXPECT_TRUE(r.absentBecause.empty());
}

TEST(HodgesLehmann, ZerosStayIn) {
    // Walsh averages of 0, 0, 0, 4: six 0, three 2, one 4.
    EXPECT_EQ(hodgesLehmann(asDifferences(std::vector{0.0, 4.0, 0.0, 0.0}), alpha).estimate, 0.0);
    // Of 0, 2, 4: 0 1 2 2 3 4.
    EXPECT_EQ(hodgesLehmann(asDifferences(std::vector{0.0, 2.0, 4.0}), alpha).estimate, 2.0);
}

TEST(HodgesLehmann, NumbersOfValuesUpToSix) {
    const HodgesLehmann none = hodgesLehmann(asDifferences(std::vector<double>{}), alpha);
    EXPECT_FALSE(none.estimate || none.ciLow || none.ciHigh || none.achievedConfidence);
    EXPECT_FALSE(none.absentBecause.empty());

    std::vector<double> d;
    for (std::size_t n = 1; n <= 5; ++n) {
        d.push_back(static_cast<double>(n * n));
        const HodgesLehmann r = hodgesLehmann(asDifferences(d), alpha);
        EXPECT_EQ(r.estimate, middleOf(allWalsh(d)));
        EXPECT_FALSE(r.ciLow || r.ciHigh || r.achievedConfidence) << n;
        EXPECT_TRUE(r.method.empty());
        EXPECT_NE(r.absentBecause.find("95 %"), std::string::npos) << r.absentBecause;
    }
    d.push_back(36.0);
    const HodgesLehmann six = hodgesLehmann(asDifferences(d), alpha);
    EXPECT_EQ(six.ciLow, 1.0);
    EXPECT_EQ(six.ciHigh, 36.0);
    EXPECT_EQ(six.achievedConfidence, 1.0 - 2.0 / 64.0);
}

TEST(HodgesLehmann, ConfidenceReachedExactlyIsEnough) {
    const std::vector<double> d = {1.0, 2.0, 4.0, 8.0, 16.0};
    EXPECT_EQ(hodgesLehmann(asDifferences(d), 2.0 / 32.0).ciLow, 1.0);
    EXPECT_EQ(hodgesLehmann(asDifferences(d), 4.0 / 32.0).ciLow, 1.5)
        << "P(V ≤ 1) = 2/32: the second smallest";
    EXPECT_FALSE(hodgesLehmann(asDifferences(d), 1.9 / 32.0).ciLow);
}

TEST(HodgesLehmann, EqualDifferences) {
    const HodgesLehmann r = hodgesLehmann(asDifferences(std::vector(8, 2.5)), alpha);
    EXPECT_EQ(r.estimate, 2.5);
    EXPECT_EQ(r.ciLow, 2.5);
    EXPECT_EQ(r.ciHigh, 2.5);
    const HodgesLehmann zeros = hodgesLehmann(asDifferences(std::vector{-0.0, 0.0, -0.0}), alpha);
    EXPECT_EQ(zeros.estimate, 0.0);
    EXPECT_FALSE(std::signbit(*zeros.estimate));
}

TEST(HodgesLehmann, NotFiniteIsAbsentWithAReason) {
    const HodgesLehmann r = hodgesLehmann({{1.0, std::numeric_limits<double>::infinity()}, 0.0}, alpha);
    EXPECT_FALSE(r.estimate || r.ciLow);
    EXPECT_FALSE(r.absentBecause.empty());
}

TEST(HodgesLehmann, ExtremesOfTheDoubles) {
    const double most = std::numeric_limits<double>::max();
    EXPECT_EQ(hodgesLehmann(asDifferences(std::vector{most, most}), alpha).estimate, most);
    EXPECT_EQ(hodgesLehmann(asDifferences(std::vector{-most, most}), alpha).estimate, 0.0);
    EXPECT_EQ(hodgesLehmann(asDifferences(std::vector{most, most / 2.0}), alpha).estimate, most * 0.75);
    EXPECT_EQ(hodgesLehmann(asDifferences(std::vector{1e300, 1e-300, 3e-300}), alpha).estimate,
              5e299 / 2.0 + 1e-300)
        << "between 3e-300 and half of 1e300";
    EXPECT_EQ(hodgesLehmann(asDifferences(std::vector{2e-300, 1e-300, 3e-300}), alpha).estimate, 2e-300);
}

// Against all n(n + 1)/2 averages written out: the estimate, and the ends by the count that the achieved
// confidence stands for.
TEST(HodgesLehmann, EqualToTheSortedWalshAverages) {
    std::mt19937 random(5);
    for (int round = 0; round < 200; ++round) {
        std::vector<double> d(1 + random() % 80);
        const bool coarse = round % 2 == 0;
        for (double& x : d) {
            const auto units =
                static_cast<double>(random() % (coarse ? 30 : 1000000)) - (coarse ? 15.0 : 5e5);
            x = units * 0.1;
        }
        const std::vector<double> walsh = allWalsh(d);
        const HodgesLehmann r = hodgesLehmann(asDifferences(d), alpha);
        EXPECT_EQ(r.estimate, middleOf(walsh));
        if (d.size() <= 5) {
            EXPECT_FALSE(r.ciLow);
            continue;
        }
        ASSERT_TRUE(r.ciLow && r.ciHigh);
        EXPECT_GE(*r.achievedConfidence, 1.0 - alpha - 1e-15);
        EXPECT_EQ(r.method, d.size() <= 50 ? "exact" : "normal");
        const auto fromBelow = std::lower_bound(walsh.begin(), walsh.end(), *r.ciLow) - walsh.begin();
        const auto fromAbove = walsh.end() - std::upper_bound(walsh.begin(), walsh.end(), *r.ciHigh);
        EXPECT_EQ(walsh[static_cast<std::size_t>(fromBelow)], *r.ciLow) << "an end is one of the averages";
        if (!coarse) {
            EXPECT_EQ(fromBelow, fromAbove);
        }
    }
}

// The interval inverts the test: a hypothetical difference inside it is not rejected, one outside is. Without
// ties among |d − hypothesis| both are exact.
TEST(HodgesLehmann, IntervalInvertsTheSignedRankTest) {
    std::mt19937 random(17);
    for (int round = 0; round < 30; ++round) {
        std::vector<double> d(6 + random() % 15);
        for (double& x : d) {
            x = static_cast<double>(random() % 1000003) / 977.0;
        }
        const HodgesLehmann r = hodgesLehmann(asDifferences(d), alpha);
        const auto pAt = [&](double hypothesis) {
            std::vector<double> moved;
            for (const double x : d) {
                moved.push_back(x - hypothesis);
            }
            return signedRank({moved, 0.0}).p.value();
        };
        const double step = 1e-6;
        EXPECT_LE(pAt(*r.ciLow - step), alpha);
        EXPECT_GT(pAt(*r.ciLow + step), alpha);
        EXPECT_GT(pAt(*r.ciHigh - step), alpha);
        EXPECT_LE(pAt(*r.ciHigh + step), alpha);
    }
}

TEST(HodgesLehmann, ShiftScaleSignAndOrder) {
    std::mt19937 random(23);
    std::vector<double> d(40);
    for (double& x : d) {
        x = static_cast<double>(random() % 4096) / 16.0 - 100.0;
    }
    const HodgesLehmann r = hodgesLehmann(asDifferences(d), alpha);
    std::vector<double> other;
    for (const double x : d) {
        other.push_back(-8.0 * x + 1024.0);  // exact in binary
    }
    std::shuffle(other.begin(), other.end(), random);
    const HodgesLehmann moved = hodgesLehmann(asDifferences(other), alpha);
    EXPECT_EQ(*moved.estimate, -8.0 * *r.estimate + 1024.0);
    EXPECT_EQ(*moved.ciLow, -8.0 * *r.ciHigh + 1024.0);
    EXPECT_EQ(*moved.ciHigh, -8.0 * *r.ciLow + 1024.0);
}

TEST(HodgesLehmann, ManyDifferencesNeedNoQuadraticMemory) {
    // 0, 1, ..., 199999: symmetric about 99999.5; all averages would take 160 GB.
    std::vector<double> d(200000);
    for (std::size_t i = 0; i < d.size(); ++i) {
        d[i] = static_cast<double>(i);
    }
    const HodgesLehmann r = hodgesLehmann(asDifferences(d), alpha);
    EXPECT_EQ(r.estimate, 99999.5);
    EXPECT_EQ(*r.ciLow + *r.ciHigh, 199999.0);
    EXPECT_EQ(r.method, "normal");
    EXPECT_TRUE(isClose(r.achievedConfidence, 0.95, {.absolute = 1e-6}));
}

}  // namespace
}  // namespace aftercurve
