// Friedman's test: against R on 220 sets of blocks (tests/reference/robust_companions.R, R 4.2.2:
// friedman.test, the analysis of variance of the ranks, all orders written out), a published example and
// cases by hand.
#include "core/compare/friedman.h"

#include <gtest/gtest.h>

#include <limits>
#include <map>
#include <string>
#include <vector>

#include "tests/support/close.h"
#include "tests/support/reference_csv.h"

namespace aftercurve {
namespace {

using test::isClose;
using test::ReferenceRow;

std::vector<FoodBlock> blocksOf(const std::vector<std::vector<double>>& rows) {
    std::vector<FoodBlock> blocks;
    for (const auto& row : rows) {
        blocks.push_back({"s" + std::to_string(blocks.size() + 1), {row.begin(), row.end()}});
    }
    return blocks;
}

std::map<std::string, std::vector<FoodBlock>> readBlocks() {
    std::map<std::string, std::vector<FoodBlock>> cases;
    for (const ReferenceRow& row : test::readReference("friedman_cases.csv")) {
        auto& blocks = cases[row.text("case")];
        if (blocks.empty() || blocks.back().subject != row.text("subject")) {
            blocks.push_back({row.text("subject"), {}});
        }
        blocks.back().value.push_back(row.number("value"));
    }
    return cases;
}

TEST(Friedman, AgainstR) {
    const auto cases = readBlocks();
    const auto expected = test::readReference("friedman_expected.csv");
    ASSERT_EQ(expected.size(), 220U);
    int exact = 0;
    int ties = 0;
    for (const ReferenceRow& row : expected) {
        const std::string name = row.text("case");
        const auto foods = static_cast<std::size_t>(row.number("foods").value());
        const Friedman r = friedman(cases.at(name), foods);
        EXPECT_EQ(static_cast<double>(r.subjects), row.number("subjects")) << name;
        EXPECT_EQ(r.subjects + r.leftOut.size(), cases.at(name).size()) << name;
        EXPECT_TRUE(isClose(r.chiSquare, row.number("chi_square"), {.absolute = 1e-12, .relative = 1e-11}))
            << name;
        EXPECT_TRUE(isClose(r.chiSquareP, row.number("chi_square_p"), {.relative = 1e-10})) << name;
        EXPECT_TRUE(isClose(r.f, row.number("f"), {.absolute = 1e-11, .relative = 1e-9})) << name;
        EXPECT_TRUE(isClose(r.fP, row.number("f_p"), {.relative = 1e-9})) << name;
        if (row.number("exact_p")) {
            EXPECT_TRUE(isClose(r.exactP, row.number("exact_p"), {.relative = 1e-11})) << name;
            EXPECT_EQ(r.p, r.exactP) << name;
            EXPECT_EQ(r.method, "exact") << name;
            ++exact;
        }
        ties += r.ties ? 1 : 0;
    }
    EXPECT_GT(exact, 80);
    EXPECT_GT(ties, 80);
}

TEST(Friedman, PairsAgainstR) {
    const auto cases = readBlocks();
    std::map<std::string, Friedman> found;
    for (const ReferenceRow& row : test::readReference("friedman_pairs.csv")) {
        const std::string name = row.text("case");
        if (found.find(name) == found.end()) {
            FriedmanSettings settings;
            settings.comparator = 0;
            found[name] = friedman(cases.at(name), cases.at(name).front().value.size(), settings);
            settings.multiplicity = "hochberg";
            const Friedman other = friedman(cases.at(name), cases.at(name).front().value.size(), settings);
            found[name].againstComparator = other.againstComparator;
        }
        const auto a = static_cast<std::size_t>(row.number("a").value()) - 1;
        const auto b = static_cast<std::size_t>(row.number("b").value()) - 1;
        for (const FriedmanPair& pair : found[name].allPairs) {
            if (pair.foodA == a && pair.foodB == b) {
                const double difference = row.number("difference").value();
                EXPECT_TRUE(
                    isClose(pair.meanRankDifference, difference, {.absolute = 1e-12, .relative = 1e-10}));
                EXPECT_TRUE(isClose(pair.t, row.number("t"), {.absolute = 1e-11, .relative = 1e-9})) << name;
                EXPECT_TRUE(isClose(pair.p, row.number("p"), {.relative = 1e-9})) << name;
                EXPECT_TRUE(isClose(pair.pAdjusted, row.number("p_holm"), {.relative = 1e-9})) << name;
                EXPECT_EQ(*pair.ciLow > 0.0 || *pair.ciHigh < 0.0, *pair.p < 0.05) << name;
            }
        }
        if (a == 0) {
            const FriedmanPair& pair = found[name].againstComparator.at(b - 1);
            EXPECT_EQ(pair.foodA, b);
            EXPECT_EQ(pair.foodB, 0U);
            EXPECT_TRUE(isClose(pair.t, -row.number("t").value(), {.absolute = 1e-11, .relative = 1e-9}))
                << name;
            EXPECT_TRUE(isClose(pair.pAdjusted, row.number("p_hochberg_first"), {.relative = 1e-9})) << name;
        }
    }
    EXPECT_GT(found.size(), 150U);
}

// Hollander & Wolfe 1973, p. 140, rounding first base (data from memory, as in R's help on
// friedman.test): 11.143 with ties corrected, df 2, p 0.003805 by chi-square.
TEST(Friedman, RoundingFirstBase) {
    const std::vector<std::vector<double>> times = {
        {5.40, 5.50, 5.55}, {5.85, 5.70, 5.75}, {5.20, 5.60, 5.50}, {5.55, 5.50, 5.40}, {5.90, 5.85, 5.70},
        {5.45, 5.55, 5.60}, {5.40, 5.40, 5.35}, {5.45, 5.50, 5.35}, {5.25, 5.15, 5.00}, {5.85, 5.80, 5.70},
        {5.25, 5.20, 5.10}, {5.65, 5.55, 5.45}, {5.60, 5.35, 5.45}, {5.05, 5.00, 4.95}, {5.50, 5.50, 5.40},
        {5.45, 5.55, 5.50}, {5.55, 5.55, 5.35}, {5.45, 5.50, 5.55}, {5.50, 5.45, 5.25}, {5.65, 5.60, 5.40},
        {5.70, 5.65, 5.55}, {6.30, 6.30, 6.25}};
    const Friedman r = friedman(blocksOf(times), 3);
    EXPECT_TRUE(isClose(r.chiSquare, 11.142857142857, {.relative = 1e-12}));
    EXPECT_TRUE(isClose(r.chiSquareP, 0.003805041, {.relative = 1e-6}));
    EXPECT_EQ(r.df, 2.0);
    EXPECT_EQ(r.method, "exact") << "22 subjects, 3 foods are counted";
    EXPECT_LT(*r.exactP, 0.005);
    EXPECT_EQ(r.rankSums, (std::vector<double>{53.0, 47.0, 32.0})) << "as the book prints them, from memory";
}

// Three subjects, three foods, one order: T = b(k − 1) = 6, W = 1; of the 36 orders of the two other subjects
// one agrees with the first: p = 1/36. By hand.
TEST(Friedman, FullAgreement) {
    const Friedman r = friedman(blocksOf({{1, 2, 3}, {10, 20, 30}, {0, 5, 6}}), 3);
    EXPECT_EQ(r.chiSquare, 6.0);
    EXPECT_EQ(r.kendallW, 1.0);
    EXPECT_TRUE(isClose(r.exactP, 1.0 / 36.0, {.relative = 1e-14}));
    EXPECT_FALSE(r.f || r.fP);
    EXPECT_FALSE(r.fAbsentBecause.empty());
    EXPECT_FALSE(r.pairsAbsentBecause.empty());
    ASSERT_EQ(r.allPairs.size(), 3U);
    EXPECT_EQ(r.allPairs[1].meanRankDifference, -2.0);
    EXPECT_FALSE(r.allPairs[1].t || r.allPairs[1].p || r.allPairs[1].pAdjusted);
}

// With two foods the exact test is the two-sided sign test: 7 of 8, p = 2·9/2^8.
TEST(Friedman, TwoFoodsAreTheSignTest) {
    const Friedman r =
        friedman(blocksOf({{1, 2}, {1, 2}, {1, 2}, {1, 2}, {1, 2}, {1, 2}, {1, 2}, {3, 2}}), 2);
    EXPECT_TRUE(isClose(r.exactP, 18.0 / 256.0, {.relative = 1e-14}));
    // A subject with a tie changes no order and drops out of p.
    const Friedman tied =
        friedman(blocksOf({{1, 2}, {1, 2}, {1, 2}, {1, 2}, {1, 2}, {1, 2}, {1, 2}, {3, 2}, {4, 4}}), 2);
    EXPECT_TRUE(isClose(tied.exactP, 18.0 / 256.0, {.relative = 1e-14}));
    EXPECT_TRUE(isClose(tied.chiSquare, *r.chiSquare, {.relative = 1e-14}));
}

TEST(Friedman, LeftOutWithReason) {
    constexpr double nan = std::numeric_limits<double>::quiet_NaN();
    std::vector<FoodBlock> blocks = blocksOf({{1, 2, 3}, {2, 3, 1}, {1, 3, 2}});
    blocks.push_back({"half", {1.0, std::nullopt, 2.0}});
    blocks.push_back({"odd", {1.0, nan, 2.0}});
    blocks.push_back({"short", {1.0, 2.0}});
    const Friedman r = friedman(blocks, 3);
    EXPECT_EQ(r.subjects, 3U);
    ASSERT_EQ(r.leftOut.size(), 3U);
    EXPECT_EQ(r.leftOut[0].reason, "lacks a value for 1 of 3 foods");
    EXPECT_EQ(r.leftOut[1].reason, "has a value that is not a finite number");
    EXPECT_EQ(r.leftOut[2].subject, "short");
    EXPECT_EQ(r.chiSquare, friedman(blocksOf({{1, 2, 3}, {2, 3, 1}, {1, 3, 2}}), 3).chiSquare);
}

TEST(Friedman, AbsentWithReason) {
    for (const Friedman& r : {friedman({}, 3), friedman(blocksOf({{1}, {2}}), 1), friedman({}, 0),
                              friedman(blocksOf({{2, 2, 2}, {3, 3, 3}}), 3),
                              friedman(std::vector<FoodBlock>{{"a", {std::nullopt, std::nullopt}}}, 2),
                              friedman(blocksOf({std::vector<double>(101, 1.0)}), 101)}) {
        EXPECT_FALSE(r.chiSquare || r.p || r.f || r.exactP);
        EXPECT_FALSE(r.absentBecause.empty());
        EXPECT_TRUE(r.method.empty());
        EXPECT_TRUE(r.allPairs.empty());
    }
    const Friedman one = friedman(blocksOf({{1, 2, 3}}), 3);
    EXPECT_EQ(one.exactP, 1.0) << "one subject: every order is as far from the middle";
    EXPECT_FALSE(one.f);
    EXPECT_FALSE(one.pairsAbsentBecause.empty());
    FriedmanSettings odd;
    odd.multiplicity = "no such word";
    odd.comparator = 7;
    odd.exactSteps = 0;
    const Friedman r = friedman(blocksOf({{1, 2, 3}, {2, 3, 1}, {1, 3, 2}}), 3, odd);
    EXPECT_EQ(r.method, "chi-square");
    EXPECT_EQ(r.p, r.chiSquareP);
    EXPECT_TRUE(r.againstComparator.empty());
    EXPECT_FALSE(r.allPairs[0].pAdjusted);
    EXPECT_FALSE(r.pairsAbsentBecause.empty());
}

TEST(Friedman, BeyondTheWorkItSaysChiSquare) {
    std::vector<std::vector<double>> rows;
    for (int i = 0; i < 60; ++i) {
        rows.push_back(
            {1.0 * (i % 3), 1.0 * ((i + 1) % 3), 1.5, 2.0 * (i % 2), 0.5 * (i % 5), 1.0 * (i % 7)});
    }
    const Friedman r = friedman(blocksOf(rows), 6);
    EXPECT_FALSE(r.exactP);
    EXPECT_EQ(r.method, "chi-square");
    EXPECT_FALSE(r.exactAbsentBecause.empty());
}

TEST(Friedman, UnitAndOrderDoNotEnter) {
    const std::vector<std::vector<double>> rows = {{1, 2, 3, 3}, {2, 3, 1, 5}, {1, 3, 2, 2}, {4, 1, 1, 0}};
    const Friedman base = friedman(blocksOf(rows), 4);
    for (const double unit : {1e-300, 1e300}) {
        auto scaled = rows;
        for (auto& row : scaled) {
            for (double& x : row) {
                x *= unit;
            }
        }
        EXPECT_EQ(friedman(blocksOf(scaled), 4).p, base.p);
    }
    auto turned = rows;
    for (auto& row : turned) {
        std::swap(row[0], row[3]);
    }
    const Friedman other = friedman(blocksOf(turned), 4);
    EXPECT_EQ(other.exactP, base.exactP);
    EXPECT_EQ(other.chiSquare, base.chiSquare);
    EXPECT_EQ(other.rankSums[0], base.rankSums[3]);
}

}  // namespace
}  // namespace aftercurve
