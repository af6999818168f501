#include "core/compare/many_to_one.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

#include "core/compare/distributions.h"
#include "tests/support/close.h"

namespace aftercurve {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using test::isClose;

constexpr double infinite = std::numeric_limits<double>::infinity();
constexpr double none = std::numeric_limits<double>::quiet_NaN();

MatrixXd alike(Index size, double rho) {
    MatrixXd m = MatrixXd::Constant(size, size, rho);
    m.diagonal().setOnes();
    return m;
}

// Dunnett 1964, Biometrics 20:482, two-sided 5 % points (printed 2.57 2.76 2.89 2.99 / 2.38 2.54 2.65 2.73 /
// 2.27 2.41 2.51 2.58, from memory); the further digits by a double integral in base R.
TEST(ManyToOne, PublishedTable) {
    const std::vector<std::pair<double, std::vector<double>>> table = {
        {10, {2.228139, 2.568339, 2.758997, 2.890480, 2.990290}},
        {20, {2.085963, 2.378690, 2.540350, 2.651030, 2.734677}},
        {60, {2.000298, 2.265267, 2.409942, 2.508390, 2.582496}}};
    for (const auto& [df, t] : table) {
        for (std::size_t i = 0; i < t.size(); ++i) {
            const MaxAbsT r = maxAbsTUpperQuantile(0.05, alike(static_cast<Index>(i + 1), 0.5), df);
            EXPECT_TRUE(isClose(r.value, t[i], {.absolute = 1e-6}));
            EXPECT_EQ(r.method, i == 0 ? MaxAbsTMethod::studentT : MaxAbsTMethod::productForm);
        }
    }
}

// Four comparisons that are not of product form, 1 − P(all |Zᵢ| < t) of the normal by mvtnorm 1.1-3, Miwa's
// recursion with 512 steps (good to about 1e-6): ρᵢⱼ = 0.5 + 0.03·sin(3ij + i + j), i and j from 0.
TEST(ManyToOne, FourOfNoProductFormByMiwasRecursion) {
    MatrixXd m = MatrixXd::Identity(4, 4);
    for (Index i = 0; i < 4; ++i) {
        for (Index j = 0; j < 4; ++j) {
            if (i != j) {
                m(i, j) = 0.5 + 0.03 * std::sin(static_cast<double>(3 * i * j + i + j));
            }
        }
    }
    ManyToOne manyToOne(m);
    for (const auto& [t, p] : {std::pair{2.3, 0.0711639211}, std::pair{5.0, 0.0000022821}}) {
        const MaxAbsT r = manyToOne.upperTail(t, infinite);
        EXPECT_EQ(r.method, MaxAbsTMethod::lattice);
        EXPECT_LT(r.relativeError, 1e-5);
        EXPECT_TRUE(isClose(r.value, p, {.absolute = 1e-10, .relative = r.relativeError + 2e-6}));
    }
    const MaxAbsT quantile = manyToOne.upperQuantile(0.05, 12.4);
    EXPECT_TRUE(isClose(manyToOne.upperTail(*quantile.value, 12.4).value, 0.05, {.relative = 1e-9}));
}

// Independent variables of the normal: 1 − (1 − p)ᵈ.
TEST(ManyToOne, IndependentNormal) {
    for (const Index size : {2, 3, 7, 30}) {
        for (const double t : {0.5, 2.0, 5.0}) {
            const double p = absTUpperTail(t, infinite).value();
            const double expected = -std::expm1(static_cast<double>(size) * std::log1p(-p));
            EXPECT_TRUE(
                isClose(maxAbsTUpperTail(t, alike(size, 0.0), infinite).value, expected, {.relative = 2e-9}));
        }
    }
}

TEST(ManyToOne, CopiesAndMirrorImagesCountOnce) {
    MatrixXd m(3, 3);
    m << 1, -1, 0.4, -1, 1, -0.4, 0.4, -0.4, 1;
    MatrixXd two(2, 2);
    two << 1, 0.4, 0.4, 1;
    EXPECT_EQ(maxAbsTUpperTail(2.0, m, 9.0).value, maxAbsTUpperTail(2.0, two, 9.0).value);
    EXPECT_EQ(maxAbsTUpperTail(2.0, alike(4, 1.0), 7.5).value, studentTTwoSidedP(2.0, 7.5));
}

TEST(ManyToOne, BetweenOneTAndBonferroni) {
    for (const double rho : {0.0, 0.3, 0.9, 0.99}) {
        for (const double df : {0.7, 4.0, 33.3}) {
            for (const double t : {0.1, 1.0, 3.0, 8.0}) {
                const double p = maxAbsTUpperTail(t, alike(3, rho), df).value.value();
                const double one = absTUpperTail(t, df).value();
                EXPECT_GE(p, one * (1.0 - 1e-8));
                EXPECT_LE(p, std::min(1.0, 3.0 * one) * (1.0 + 1e-8));
            }
        }
    }
}

TEST(ManyToOne, WhatIsNoCorrelationMatrixHasAReason) {
    MatrixXd contradiction(3, 3);
    contradiction << 1, 0.9, -0.9, 0.9, 1, 0.9, -0.9, 0.9, 1;
    MatrixXd skew(2, 2);
    skew << 1, 0.5, 0.2, 1;
    // Z₄ = (Z₁ + Z₂ + Z₃)/√(3 + 2(0.2 + 0.5 + 0.1)): singular and not of product form.
    MatrixXd singular(4, 4);
    const double scale = 1.0 / std::sqrt(3.0 + 1.6);
    singular << 1, 0.2, 0.5, 1.7 * scale, 0.2, 1, 0.1, 1.3 * scale, 0.5, 0.1, 1, 1.6 * scale, 1.7 * scale,
        1.3 * scale, 1.6 * scale, 1;
    for (const MatrixXd& m :
         {MatrixXd(0, 0), MatrixXd(2, 3), alike(2, none), alike(2, infinite), alike(2, 1.5), alike(31, 0.5),
          contradiction, skew, singular, MatrixXd(2.0 * alike(2, 0.5))}) {
        const MaxAbsT r = maxAbsTUpperTail(2.0, m, 5.0);
        EXPECT_FALSE(r.value);
        EXPECT_FALSE(r.absentBecause.empty());
        EXPECT_FALSE(maxAbsTUpperQuantile(0.05, m, 5.0).value);
    }
    for (const double df : {0.0, -2.0, none}) {
        EXPECT_FALSE(maxAbsTUpperTail(2.0, alike(2, 0.5), df).value);
        EXPECT_FALSE(maxAbsTUpperQuantile(0.05, alike(2, 0.5), df).value);
    }
    EXPECT_FALSE(maxAbsTUpperTail(none, alike(2, 0.5), 5.0).value);
    for (const double tail : {0.0, 1.0, none}) {
        EXPECT_FALSE(maxAbsTUpperQuantile(tail, alike(2, 0.5), 5.0).value);
    }
    EXPECT_EQ(maxAbsTUpperTail(-1.0, alike(2, 0.5), 5.0).value, 1.0);
    for (const double t : {1e-300, 1e-8, 50.0, 1e10, 1e300, infinite}) {
        for (const double df : {1e-3, 2.0, 1e12, infinite}) {
            const auto p = maxAbsTUpperTail(t, alike(3, 0.5), df).value;
            EXPECT_TRUE(p && *p > 0.0 && *p <= 1.0) << t << " " << df;
        }
    }
}

}  // namespace
}  // namespace aftercurve
