// Pearson, Spearman and the Deming line. Reference values: tests/reference/tolerance.R.
#include "core/compare/correlation.h"

#include <gtest/gtest.h>

#include <limits>
#include <vector>

#include "core/compare/deming.h"
#include "tests/support/close.h"
#include "tests/support/reference_csv.h"

namespace aftercurve {
namespace {

using test::isClose;
using Values = std::vector<double>;
constexpr test::Tolerance eightDigits{.absolute = 1e-13, .relative = 1e-9};

const Values x{62.1, 48.3, 55.0, 39.7, 71.2, 44.4};
const Values y{231, 188, 179, 150, 240, 165};

Values first(const Values& value, std::size_t n) {
    return {value.begin(), value.begin() + static_cast<std::ptrdiff_t>(n)};
}

TEST(Correlation, AgreesWithR) {
    auto r = test::readReferenceValues("tolerance.csv");
    const PearsonCorrelation pearson = pearsonCorrelation(x, y, 0.05);
    EXPECT_TRUE(isClose(pearson.r, r.at("pearson_r"), eightDigits));
    EXPECT_TRUE(isClose(pearson.p, r.at("pearson_p"), eightDigits));
    EXPECT_TRUE(isClose(pearson.ciLow, r.at("pearson_low"), eightDigits));
    EXPECT_TRUE(isClose(pearson.ciHigh, r.at("pearson_high"), eightDigits));
    const SpearmanCorrelation spearman = spearmanCorrelation(x, y);
    EXPECT_EQ(spearman.method, "exact");
    EXPECT_TRUE(isClose(spearman.rho, r.at("spearman_rho"), eightDigits));
    EXPECT_TRUE(isClose(spearman.p, r.at("spearman_p"), eightDigits));
}

TEST(Correlation, FourFoodsAgreeWithR) {
    auto r = test::readReferenceValues("tolerance.csv");
    const PearsonCorrelation four = pearsonCorrelation(first(x, 4), first(y, 4), 0.05);
    EXPECT_TRUE(isClose(four.r, r.at("four_r"), eightDigits));
    EXPECT_TRUE(isClose(four.p, r.at("four_p"), eightDigits));
    EXPECT_TRUE(isClose(four.ciLow, r.at("four_low"), eightDigits));
    EXPECT_TRUE(isClose(four.ciHigh, r.at("four_high"), eightDigits));
    EXPECT_TRUE(isClose(spearmanCorrelation(first(x, 4), first(y, 4)).p, r.at("four_rho_p"), eightDigits));
}

TEST(Correlation, TiedRanksCountEveryOrderAndLongOnesTakeT) {
    auto r = test::readReferenceValues("tolerance.csv");
    const SpearmanCorrelation tied = spearmanCorrelation(Values{1, 2, 2, 4, 5, 7}, Values{3, 1, 3, 5, 4, 9});
    EXPECT_TRUE(tied.ties);
    EXPECT_TRUE(isClose(tied.rho, r.at("tied_rho"), eightDigits));
    EXPECT_TRUE(isClose(tied.p, r.at("tied_p"), eightDigits));
    const SpearmanCorrelation large = spearmanCorrelation(Values{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12},
                                                          Values{2, 1, 4, 3, 7, 5, 6, 9, 12, 8, 11, 10});
    EXPECT_EQ(large.method, "t");
    EXPECT_TRUE(isClose(large.rho, r.at("large_rho"), eightDigits));
    EXPECT_TRUE(isClose(large.p, r.at("large_p"), eightDigits));
}

TEST(Correlation, DegeneratePairsAreAbsentWithAReason) {
    const double infinite = std::numeric_limits<double>::infinity();
    EXPECT_EQ(pearsonCorrelation(Values{1, 2}, Values{1, 2}, 0.05).absentBecause, "fewer than 3 pairs");
    EXPECT_EQ(pearsonCorrelation(Values{1, 1, 1}, Values{1, 2, 3}, 0.05).absentBecause,
              "all values of x are equal");
    EXPECT_EQ(spearmanCorrelation(Values{1, 2, 3}, Values{0, 0, 0}).absentBecause,
              "all values of y are equal");
    EXPECT_FALSE(pearsonCorrelation(Values{1, 2, infinite}, Values{1, 2, 3}, 0.05).r);
    const PearsonCorrelation three = pearsonCorrelation(Values{1, 2, 3}, Values{1, 3, 2}, 0.05);
    EXPECT_TRUE(isClose(three.r, 0.5, {.absolute = 1e-15}));  // analytic
    EXPECT_FALSE(three.ciLow);
    EXPECT_TRUE(three.p);
    const PearsonCorrelation line = pearsonCorrelation(Values{1, 2, 3, 4}, Values{3, 5, 7, 9}, 0.05);
    EXPECT_EQ(line.r, 1.0);
    EXPECT_FALSE(line.p || line.ciLow);
    EXPECT_FALSE(line.pAbsentBecause.empty());
    // Analytic: of the 3! orders of three, two have |rho| = 1.
    EXPECT_TRUE(isClose(spearmanCorrelation(Values{1, 2, 3}, Values{1, 2, 3}).p, 1.0 / 3.0, eightDigits));
}

TEST(Correlation, OrderAndUnitsDoNotMatter) {
    const PearsonCorrelation pearson = pearsonCorrelation(x, y, 0.05);
    Values backX(x.rbegin(), x.rend());
    Values backY(y.rbegin(), y.rend());
    EXPECT_TRUE(isClose(pearsonCorrelation(backX, backY, 0.05).r, *pearson.r, {.absolute = 1e-14}));
    for (double& value : backX) {
        value = value * 1e200 - 1e199;
    }
    EXPECT_TRUE(isClose(pearsonCorrelation(backX, backY, 0.05).r, *pearson.r, {.absolute = 1e-13}));
    EXPECT_EQ(spearmanCorrelation(backX, backY).p, spearmanCorrelation(x, y).p);
}

TEST(DemingLine, AgreesWithTheFormulaInR) {
    auto r = test::readReferenceValues("tolerance.csv");
    for (const auto& [lambda, name] : {std::pair{1.0, "1"}, std::pair{9.0, "9"}, std::pair{0.25, "0.25"}}) {
        const DemingLine line = demingLine(x, y, lambda, 0.05);
        const auto expected = [&, n = std::string{name}](const std::string& what) {
            return r.at("deming_" + what + "_" + n);
        };
        EXPECT_TRUE(isClose(line.slope, expected("slope"), eightDigits)) << name;
        EXPECT_TRUE(isClose(line.intercept, expected("intercept"), eightDigits)) << name;
        EXPECT_TRUE(isClose(line.slopeSe, expected("slope_se"), eightDigits)) << name;
        EXPECT_TRUE(isClose(line.slopeLow, expected("slope_low"), eightDigits)) << name;
        EXPECT_TRUE(isClose(line.slopeHigh, expected("slope_high"), eightDigits)) << name;
        EXPECT_TRUE(isClose(line.interceptLow, expected("intercept_low"), eightDigits)) << name;
        EXPECT_TRUE(isClose(line.interceptHigh, expected("intercept_high"), eightDigits)) << name;
    }
}

TEST(SpearmanCorrelation, ValuesThatTieInAChainHaveNoRanks) {
    // Each lies within the resolution of its neighbour, the ends do not: all ranks tie, and rho is 0/0.
    const Values chain{1.0, 1.0 + 0.9e-12, 1.0 + 1.8e-12};
    const SpearmanCorrelation result = spearmanCorrelation(chain, Values{1, 2, 3});
    EXPECT_FALSE(result.rho);
    EXPECT_FALSE(result.p);
    EXPECT_EQ(result.absentBecause, "all values of x are equal");
    EXPECT_EQ(result.pAbsentBecause, result.absentBecause);
}

TEST(DemingLine, ALineGivesItselfAndSwappingTheAxesTheInverse) {
    const DemingLine exact = demingLine(Values{0, 1, 2, 4}, Values{3, 1, -1, -5}, 2.0, 0.05);  // y = 3 − 2x
    EXPECT_TRUE(isClose(exact.slope, -2.0, {.absolute = 1e-13}));
    EXPECT_TRUE(isClose(exact.intercept, 3.0, {.absolute = 1e-13}));
    EXPECT_TRUE(isClose(exact.slopeSe, 0.0, {.absolute = 1e-12}));
    // Analytic: with lambda turned to its inverse, x over y has the inverse slope.
    const DemingLine there = demingLine(x, y, 4.0, 0.05);
    const DemingLine back = demingLine(y, x, 0.25, 0.05);
    EXPECT_TRUE(isClose(*there.slope * *back.slope, 1.0, {.absolute = 1e-12}));
}

TEST(DemingLine, DegeneratePairsAreAbsentWithAReason) {
    EXPECT_EQ(demingLine(Values{1, 2}, Values{1, 2}, 1.0, 0.05).absentBecause, "fewer than 3 pairs");
    EXPECT_EQ(demingLine(Values{2, 2, 2}, Values{1, 2, 3}, 1.0, 0.05).absentBecause,
              "all values of x are equal");
    EXPECT_FALSE(demingLine(Values{-1, 0, 1, 0}, Values{0, 1, 0, -1}, 1.0, 0.05).slope);  // Sxy = 0
    const DemingLine three = demingLine(Values{1, 2, 3}, Values{1, 3, 2}, 1.0, 0.05);
    EXPECT_TRUE(isClose(three.slope, 1.0, {.absolute = 1e-14}));  // analytic: Sxx = Syy
    EXPECT_FALSE(three.slopeLow);
    EXPECT_FALSE(three.intervalAbsentBecause.empty());
}

}  // namespace
}  // namespace aftercurve
