// Proportional odds with a subject effect: properties, and what cannot be fitted. Against R and an
// independent sum: ordinal_mixed_reference_test.cpp, ordinal_mixed_grid_test.cpp.
#include "core/compare/ordinal_mixed.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "core/compare/gauss_hermite.h"
#include "tests/support/close.h"

namespace aftercurve {
namespace {

using test::isClose;

constexpr test::Tolerance eightDigits{.absolute = 1e-8, .relative = 1e-8};

/// Invented scores: by subject one digit a group, '-' is no score.
std::vector<OrdinalRow> rowsOf(const std::vector<std::string>& subjects) {
    std::vector<OrdinalRow> rows;
    for (std::size_t s = 0; s < subjects.size(); ++s) {
        for (std::size_t g = 0; g < subjects[s].size(); ++g) {
            if (subjects[s][g] != '-') {
                rows.push_back({s, g, static_cast<std::size_t>(subjects[s][g] - '0')});
            }
        }
    }
    return rows;
}

std::vector<OrdinalRow> mixedScores() {
    return rowsOf(
        {"012", "001", "123", "112", "000", "232", "01-", "122", "001", "333", "-01", "210", "113"});
}

void expectSame(const OrdinalMixed& a, const OrdinalMixed& b) {
    EXPECT_EQ(a.subjectSd, b.subjectSd);
    EXPECT_EQ(a.logLikelihood, b.logLikelihood);
    EXPECT_EQ(a.likelihoodRatio, b.likelihoodRatio);
    EXPECT_EQ(a.thresholds, b.thresholds);
    ASSERT_EQ(a.effects.size(), b.effects.size());
    for (std::size_t i = 0; i < a.effects.size(); ++i) {
        EXPECT_EQ(a.effects[i].logOdds, b.effects[i].logOdds);
        EXPECT_EQ(a.effects[i].se, b.effects[i].se);
    }
}

TEST(NormalQuadrature, IntegratesPolynomials) {
    for (const std::size_t n : {1U, 2U, 3U, 8U, 21U, 63U}) {
        const NormalQuadrature q = normalQuadrature(n);
        double sum = 0.0;
        double fourth = 0.0;
        for (std::size_t k = 0; k < n; ++k) {
            sum += q.weight[k];
            fourth += q.weight[k] * std::pow(q.node[k], 4);
            EXPECT_EQ(q.node[k], -q.node[n - 1 - k]);
            EXPECT_GT(q.weight[k], 0.0);
        }
        EXPECT_TRUE(isClose(sum, 1.0, {.absolute = 1e-13})) << n;
        if (n >= 3) {
            EXPECT_TRUE(isClose(fourth, 3.0, {.absolute = 1e-11})) << n;  // fourth moment of the normal
        }
    }
    // Analytic: the roots of z³ − 3z, with weights 1/6, 2/3, 1/6.
    const NormalQuadrature three = normalQuadrature(3);
    EXPECT_TRUE(isClose(three.node[2], std::sqrt(3.0), {.absolute = 1e-14}));
    EXPECT_TRUE(isClose(three.weight[1], 2.0 / 3.0, {.absolute = 1e-14}));
}

TEST(OrdinalMixed, AReversedScaleTurnsTheSigns) {
    std::vector<OrdinalRow> rows = mixedScores();
    const OrdinalMixed there = ordinalMixed(rows);
    ASSERT_TRUE(there.usable()) << there.absentBecause;
    for (OrdinalRow& row : rows) {
        row.category = 3 - row.category;
    }
    const OrdinalMixed back = ordinalMixed(rows);
    EXPECT_TRUE(isClose(back.logLikelihood, there.logLikelihood, eightDigits));
    EXPECT_TRUE(isClose(back.subjectSd, there.subjectSd, eightDigits));
    for (std::size_t i = 0; i < 2; ++i) {
        EXPECT_TRUE(isClose(*back.effects[i].logOdds, -*there.effects[i].logOdds, eightDigits));
        EXPECT_TRUE(isClose(back.effects[i].se, there.effects[i].se, {.relative = 1e-6}));
        EXPECT_TRUE(isClose(*back.effects[i].ciLow, -*there.effects[i].ciHigh, {.relative = 1e-6}));
    }
    for (std::size_t j = 0; j < 3; ++j) {
        EXPECT_TRUE(isClose(back.thresholds[j], -there.thresholds[2 - j], eightDigits));
    }
}

TEST(OrdinalMixed, NamesAndOrderOfRowsChangeNoByte) {
    std::vector<OrdinalRow> rows = mixedScores();
    const OrdinalMixed there = ordinalMixed(rows);
    std::reverse(rows.begin(), rows.end());
    for (OrdinalRow& row : rows) {
        row.subject = 1000 - 7 * row.subject;
    }
    expectSame(ordinalMixed(rows), there);
}

TEST(OrdinalMixed, EmptyCategoriesAndAShiftChangeNothing) {
    std::vector<OrdinalRow> rows = mixedScores();
    const OrdinalMixed there = ordinalMixed(rows);
    EXPECT_EQ(there.note, "");
    for (OrdinalRow& row : rows) {
        row.category += row.category > 1 ? 2 : 1;  // none in 0, none in 3
    }
    const OrdinalMixed gaps = ordinalMixed(rows);
    expectSame(gaps, there);
    EXPECT_EQ(gaps.counts.size(), 6U);
    EXPECT_NE(gaps.note.find("2 categories have no score"), std::string::npos);
}

TEST(OrdinalMixed, AnotherGroupAsTheFirstTurnsTheContrast) {
    std::vector<OrdinalRow> rows = mixedScores();
    const OrdinalMixed there = ordinalMixed(rows);
    for (OrdinalRow& row : rows) {
        row.group = row.group == 0 ? 1 : row.group == 1 ? 0 : 2;
    }
    const OrdinalMixed swapped = ordinalMixed(rows);
    EXPECT_TRUE(isClose(swapped.logLikelihood, there.logLikelihood, eightDigits));
    EXPECT_TRUE(isClose(*swapped.effects[0].logOdds, -*there.effects[0].logOdds, eightDigits));
    EXPECT_TRUE(isClose(*swapped.effects[1].logOdds, *there.effects[1].logOdds - *there.effects[0].logOdds,
                        eightDigits));
}

// Analytic: with σ = 0, two groups and two categories the estimate is the log of the cross ratio, its SE the
// root of the sum of reciprocal counts; the likelihoods are binomial.
TEST(OrdinalMixed, ATwoByTwoTableWithoutSpreadIsItsCrossRatio) {
    // 20 subjects, every answer pattern as often as if the two answers had nothing in common: 12 of 20 and 5
    // of 20 in category 1, both 3.
    std::vector<std::string> subjects;
    const std::map<std::string, int> patterns{{"11", 3}, {"10", 9}, {"01", 2}, {"00", 6}};
    for (const auto& [pattern, count] : patterns) {
        subjects.insert(subjects.end(), static_cast<std::size_t>(count), pattern);
    }
    const OrdinalMixed r = ordinalMixed(rowsOf(subjects));
    ASSERT_TRUE(r.usable()) << r.absentBecause;
    EXPECT_EQ(r.subjectSd, 0.0);
    EXPECT_TRUE(isClose(r.effects[0].logOdds, std::log((5.0 / 15.0) / (12.0 / 8.0)), eightDigits));
    EXPECT_TRUE(
        isClose(r.effects[0].se, std::sqrt(1.0 / 5 + 1.0 / 15 + 1.0 / 12 + 1.0 / 8), {.relative = 1e-6}));
    const double with = 12 * std::log(0.6) + 8 * std::log(0.4) + 5 * std::log(0.25) + 15 * std::log(0.75);
    const double without = 17 * std::log(17.0 / 40) + 23 * std::log(23.0 / 40);
    EXPECT_TRUE(isClose(r.logLikelihood, with, eightDigits));
    EXPECT_TRUE(isClose(r.likelihoodRatio, 2 * (with - without), eightDigits));
    EXPECT_EQ(r.df, 1.0);
    EXPECT_NE(r.note.find("at its bound"), std::string::npos);
}

TEST(OrdinalMixed, TooLittleGivesAReason) {
    EXPECT_EQ(ordinalMixed({}).absentBecause, "there is no score");
    EXPECT_EQ(ordinalMixed(rowsOf({"0123"})).absentBecause, "one subject: nothing to generalise from");
    EXPECT_EQ(ordinalMixed(rowsOf({"11", "11", "11"})).absentBecause, "every score is in one category");
    EXPECT_EQ(ordinalMixed(rowsOf({"-1", "-0"})).absentBecause,
              "the group that the others are set against has no score");
    EXPECT_NE(
        ordinalMixed(rowsOf({"1-", "0-", "-1", "-0", "-1"})).absentBecause.find("no subject has two scores"),
        std::string::npos);
    const std::vector<OrdinalRow> wide{{0, 0, 4000000000}, {1, 1, 0}};
    EXPECT_EQ(ordinalMixed(wide).absentBecause, "more than 50 categories");
    EXPECT_EQ((OrdinalOptions{.alpha = 1.0}.validate()), "alpha must lie between 0 and 1");
    EXPECT_NE((OrdinalOptions{.quadraturePoints = 64}.validate()), "");
    EXPECT_EQ(OrdinalOptions{}.validate(), "");
}

TEST(OrdinalMixed, SubjectsWhoNeverChangeHaveNoFiniteSpread) {
    const OrdinalMixed r = ordinalMixed(rowsOf({"000", "111", "222", "000", "222", "111", "000", "222"}));
    EXPECT_NE(r.absentBecause.find("no finite estimate"), std::string::npos);
    EXPECT_FALSE(r.subjectSd || r.logLikelihood || r.p || r.effects[0].logOdds || r.effects[0].se);
}

// Each subject's scores are in the order of the groups, so that shifts without scatter explain all of them.
TEST(OrdinalMixed, ScoresWithoutScatterHaveNoFiniteSpread) {
    const OrdinalMixed r = ordinalMixed(rowsOf({"011", "112", "123", "112", "001", "122", "223", "011"}));
    EXPECT_NE(r.absentBecause.find("no finite estimate"), std::string::npos);
    EXPECT_FALSE(r.effects[0].logOdds || r.effects[1].p || r.likelihoodRatio);
}

TEST(OrdinalMixed, ACoarseQuadratureIsNoted) {
    EXPECT_EQ(ordinalMixed(mixedScores()).note, "");
    EXPECT_NE(ordinalMixed(mixedScores(), {.quadraturePoints = 1}).note.find("the quadrature is off by"),
              std::string::npos);
}

// The group whose scores are all 0 fits as well as may be where its odds are 0: the others' fit is that
// without its scores (analytic: its terms are 1 in the limit).
TEST(OrdinalMixed, AGroupAllInTheLeastCategoryHasNoEstimateAndLeavesTheOthers) {
    const std::vector<std::string> both{"01", "00", "12", "11", "00", "23",
                                        "01", "12", "00", "33", "21", "13"};
    std::vector<std::string> withZeros = both;
    for (std::string& subject : withZeros) {
        subject += '0';
    }
    const OrdinalMixed two = ordinalMixed(rowsOf(both));
    const OrdinalMixed three = ordinalMixed(rowsOf(withZeros));
    ASSERT_TRUE(three.usable()) << three.absentBecause;
    EXPECT_TRUE(isClose(three.effects[0].logOdds, two.effects[0].logOdds, eightDigits));
    EXPECT_TRUE(isClose(three.effects[0].se, two.effects[0].se, {.relative = 1e-6}));
    EXPECT_TRUE(isClose(three.logLikelihood, two.logLikelihood, eightDigits));
    EXPECT_TRUE(isClose(three.subjectSd, two.subjectSd, eightDigits));
    const OrdinalEffect& zeros = three.effects[1];
    EXPECT_FALSE(zeros.logOdds || zeros.se || zeros.ciLow || zeros.ciHigh || zeros.p);
    EXPECT_EQ(zeros.absentBecause, "every score is in one end category: the estimate falls without end");
    EXPECT_EQ(zeros.n, 12U);
    EXPECT_EQ(three.df, 2.0);
    EXPECT_GT(*three.likelihoodRatio, *two.likelihoodRatio);
    EXPECT_NE(three.note.find("limit"), std::string::npos);
}

TEST(OrdinalMixed, AFirstGroupAllInTheLeastCategoryLeavesNoEffect) {
    const OrdinalMixed r = ordinalMixed(rowsOf({"001", "010", "012", "022", "011", "030", "013", "022"}));
    ASSERT_TRUE(r.usable()) << r.absentBecause;
    for (const OrdinalEffect& effect : r.effects) {
        EXPECT_FALSE(effect.logOdds || effect.se || effect.p);
        EXPECT_NE(effect.absentBecause.find("rises without end"), std::string::npos);
    }
    EXPECT_TRUE(r.thresholds.empty());
    EXPECT_TRUE(r.likelihoodRatio && r.p);
}

// Groups that meet in one category only lie apart too: the thresholds on its two sides may part for ever.
TEST(OrdinalMixed, GroupsThatMeetInOneCategoryLieApart) {
    const OrdinalMixed r = ordinalMixed(rowsOf({"012", "123", "112", "013", "012", "122", "021"}));
    ASSERT_EQ(r.effects.size(), 2U);
    EXPECT_FALSE(r.effects[1].logOdds);
    EXPECT_FALSE(r.effects[1].se);
}

TEST(OrdinalMixed, BothInTheLeastCategoryAreNotToldApart) {
    const OrdinalMixed r = ordinalMixed(rowsOf({"001", "000", "002", "002", "001"}));
    EXPECT_FALSE(r.effects[0].logOdds);
    EXPECT_FALSE(r.effects[0].se);
}

TEST(OrdinalMixed, AGroupWithoutAScoreSaysSo) {
    std::vector<OrdinalRow> rows = mixedScores();
    const OrdinalMixed there = ordinalMixed(rows);
    for (OrdinalRow& row : rows) {
        row.group += row.group > 0 ? 1 : 0;
    }
    const OrdinalMixed r = ordinalMixed(rows);
    EXPECT_EQ(r.effects[0].absentBecause, "no score");
    EXPECT_EQ(r.effects[1].logOdds, there.effects[0].logOdds);
    EXPECT_EQ(r.df, 2.0);
}

TEST(OrdinalMixed, AWiderLevelGivesAWiderInterval) {
    const OrdinalMixed narrow = ordinalMixed(mixedScores(), {.alpha = 0.1});
    const OrdinalMixed wide = ordinalMixed(mixedScores(), {.alpha = 0.01});
    EXPECT_EQ(narrow.effects[0].logOdds, wide.effects[0].logOdds);
    // Standard normal quantile of 0.995, table value.
    EXPECT_TRUE(isClose((*wide.effects[0].ciHigh - *wide.effects[0].logOdds) / *wide.effects[0].se,
                        2.575829304, {.relative = 1e-8}));
    EXPECT_LT(*narrow.effects[0].ciHigh, *wide.effects[0].ciHigh);
}

}  // namespace
}  // namespace aftercurve
