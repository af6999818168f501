#include "core/compare/effect_size.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>
#include <vector>

#include "tests/support/close.h"

namespace aftercurve {
namespace {

using test::isClose;

double correctionAt(std::size_t n) {
    std::vector<double> d(n, 1.0);
    d[0] = 5.0;
    const EffectSize e = effectSize(asDifferences(d));
    return e.gz.value() / e.dz.value();
}

TEST(EffectSize, ByHand) {
    // Mean 2, sd 1, J(2) = 1/√pi.
    const EffectSize e = effectSize(asDifferences(std::vector{1.0, 2.0, 3.0}));
    EXPECT_TRUE(isClose(e.dz, 2.0, {.relative = 1e-15}));
    EXPECT_TRUE(isClose(e.gz, 2.0 / std::sqrt(std::numbers::pi), {.relative = 1e-14}));
    EXPECT_TRUE(e.absentBecause.empty());
}

// Γ at halves and wholes: J(2) = 1/√pi, J(3) = √pi/2 / √(3/2), J(4) = √2/√pi, and
// J(m)·J(m + 1) = (m − 1)/√(m(m + 1)) for every m.
TEST(EffectSize, CorrectionInClosedForm) {
    const double rootPi = std::sqrt(std::numbers::pi);
    EXPECT_TRUE(isClose(correctionAt(3), 1.0 / rootPi, {.relative = 1e-14}));
    EXPECT_TRUE(isClose(correctionAt(4), rootPi / 2.0 / std::sqrt(1.5), {.relative = 1e-14}));
    EXPECT_TRUE(isClose(correctionAt(5), std::sqrt(2.0) / rootPi, {.relative = 1e-14}));
    for (const std::size_t n : {6U, 10U, 31U, 200U, 1000U, 100000U}) {
        const auto m = static_cast<double>(n - 1);
        EXPECT_TRUE(isClose(correctionAt(n) * correctionAt(n + 1), (m - 1.0) / std::sqrt(m * (m + 1.0)),
                            {.relative = 1e-13}))
            << n;
    }
}

// Hedges 1981: J is near 1 − 3/(4m − 1); what is left is 1/(32m²) and smaller terms.
TEST(EffectSize, CorrectionIsNearHedgesApproximation) {
    for (const std::size_t n : {12U, 60U, 5000U}) {
        const auto m = static_cast<double>(n - 1);
        EXPECT_TRUE(isClose(correctionAt(n), 1.0 - 3.0 / (4.0 * m - 1.0), {.absolute = 0.04 / (m * m)}));
    }
}

TEST(EffectSize, DegenerateSetsAreAbsentWithAReason) {
    for (const auto& d : {std::vector<double>{}, std::vector{1.0}, std::vector{2.0, 2.0, 2.0},
                          std::vector{0.0, 0.0}, std::vector{1.0, std::numeric_limits<double>::infinity()}}) {
        const EffectSize e = effectSize(asDifferences(d));
        EXPECT_FALSE(e.dz || e.gz);
        EXPECT_FALSE(e.absentBecause.empty());
    }
    const EffectSize rounding = effectSize(pairedDifferences(std::vector{0.3, 0.2}, std::vector{0.2, 0.1}));
    EXPECT_FALSE(rounding.dz);
}

TEST(EffectSize, TwoPairsHaveNoCorrection) {
    const EffectSize e = effectSize(asDifferences(std::vector{0.0, 1.0}));
    EXPECT_TRUE(isClose(e.dz, std::sqrt(0.5), {.relative = 1e-15}));
    EXPECT_FALSE(e.gz);
    EXPECT_FALSE(e.absentBecause.empty());
}

TEST(EffectSize, ScaleDoesNotMatterSignTurns) {
    const std::vector<double> d = {4.0, 1.0, -3.0, 2.0};
    const EffectSize plain = effectSize(asDifferences(d));
    for (const double unit : {1e-300, -1.0, 1e300}) {
        std::vector<double> scaled;
        for (const double x : d) {
            scaled.push_back(x * unit);
        }
        const EffectSize e = effectSize(asDifferences(scaled));
        EXPECT_TRUE(isClose(e.dz, std::copysign(*plain.dz, unit), {.relative = 1e-14}));
        EXPECT_TRUE(isClose(e.gz, std::copysign(*plain.gz, unit), {.relative = 1e-14}));
    }
}

}  // namespace
}  // namespace aftercurve
