#include "core/compare/mixed_model.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <random>
#include <string>
#include <vector>

#include "core/compare/paired_t.h"
#include "tests/support/close.h"

namespace aftercurve {
namespace {

using test::isClose;
using testing::HasSubstr;

const std::vector<DfMethod> bothMethods = {DfMethod::satterthwaite, DfMethod::kenwardRoger};

MixedModelOptions by(DfMethod method) {
    MixedModelOptions options;
    options.dfMethod = method;
    return options;
}

/// value[subject][food]; NaN is a missing cell.
MixedModelData foodBySubject(const std::vector<std::vector<double>>& value) {
    MixedModelData data;
    data.factors = {{"food", {}}};
    for (std::size_t f = 0; f < value.front().size(); ++f) {
        data.factors[0].levels.push_back("f" + std::to_string(f + 1));
    }
    for (std::size_t s = 0; s < value.size(); ++s) {
        for (std::size_t f = 0; f < value[s].size(); ++f) {
            if (!std::isnan(value[s][f])) {
                data.rows.push_back({s, {f}, value[s][f]});
            }
        }
    }
    return data;
}

// Hills & Armitage 1979, Br J Clin Pharmacol 8:7-20, data from memory (see crossover_test.cpp): what the
// analysis of variance gives for treatment adjusted for period, period and carry-over.
TEST(MixedModel, CrossoverOfHillsAndArmitage) {
    const std::vector<std::vector<double>> ab = {{8, 5},  {14, 10}, {8, 0},   {9, 7},  {11, 6}, {3, 5},
                                                 {6, 0},  {0, 0},   {13, 12}, {10, 2}, {7, 5},  {13, 13},
                                                 {8, 10}, {7, 7},   {9, 0},   {10, 6}, {2, 2}};
    const std::vector<std::vector<double>> ba = {{12, 11}, {6, 8}, {13, 9}, {8, 8}, {8, 9},  {4, 8},
                                                 {8, 14},  {2, 4}, {8, 13}, {9, 7}, {7, 10}, {7, 6}};
    MixedModelData data;
    data.factors = {{"food", {"A", "B"}}, {"period", {"1", "2"}}, {"sequence", {"AB", "BA"}}};
    std::size_t subject = 0;
    for (const bool first : {true, false}) {
        for (const auto& values : first ? ab : ba) {
            for (const std::size_t period : {0U, 1U}) {
                data.rows.push_back(
                    {subject, {first ? period : 1 - period, period, first ? 0U : 1U}, values[period]});
            }
            ++subject;
        }
    }
    for (const DfMethod method : bothMethods) {
        MixedModelOptions options = by(method);
        options.comparator = 1;
        const MixedModel r = mixedModel(data, options);
        ASSERT_EQ(r.terms.size(), 3U);
        EXPECT_TRUE(isClose(r.terms[0].f, 10.84081, {.absolute = 6e-6}));
        EXPECT_TRUE(isClose(r.terms[0].denominatorDf, 27.0, {.relative = 1e-9}));
        EXPECT_TRUE(isClose(r.terms[1].f, 1.61760, {.absolute = 6e-6}));
        EXPECT_TRUE(isClose(r.terms[2].f, 1.299673278 * 1.299673278, {.relative = 1e-8}));
        EXPECT_TRUE(isClose(r.terms[2].p, 0.2047004596, {.relative = 1e-8}));
        EXPECT_TRUE(isClose(r.varianceResidual, 5.383715, {.absolute = 6e-7}));
        ASSERT_EQ(r.differences.size(), 1U);
        EXPECT_TRUE(isClose(r.differences[0].estimate, 2.036764706, {.relative = 1e-9}));
        EXPECT_TRUE(isClose(r.differences[0].se, 0.618600023, {.relative = 1e-8}));
        EXPECT_TRUE(isClose(r.differences[0].t, 3.292539007, {.relative = 1e-9}));
        EXPECT_TRUE(isClose(r.differences[0].ciHigh, 3.3060271, {.absolute = 6e-8}));
    }
}

// NIST StRD SiRstv, the five instruments as subjects: mean squares 1.27865654E-02 on 4 and 1.08318280E-02 on
// 20 degrees of freedom are certified; REML of a balanced one-way layout is a closed form of them.
TEST(MixedModel, OneWayLayoutOfNist) {
    const std::vector<std::vector<double>> value = {{196.3052, 196.1240, 196.1890, 196.2569, 196.3403},
                                                    {196.3042, 196.3825, 196.1669, 196.3257, 196.0422},
                                                    {196.1303, 196.2005, 196.2889, 196.0343, 196.1811},
                                                    {196.2795, 196.1748, 196.1494, 196.1485, 195.9885},
                                                    {196.2119, 196.1051, 196.1850, 196.0052, 196.2090}};
    MixedModelData data;
    data.factors = {{"food", {"one"}}};
    for (std::size_t s = 0; s < value.size(); ++s) {
        for (const double x : value[s]) {
            data.rows.push_back({s, {0}, x});
        }
    }
    const double between = 1.27865654e-2;
    const double within = 1.08318280e-2;
    for (const DfMethod method : bothMethods) {
        const MixedModel r = mixedModel(data, by(method));
        EXPECT_FALSE(r.boundary);
        EXPECT_TRUE(isClose(r.varianceResidual, within, {.relative = 1e-8}));
        EXPECT_TRUE(isClose(r.varianceSubject, (between - within) / 5.0, {.relative = 1e-7}));
        ASSERT_EQ(r.means.size(), 1U);
        EXPECT_TRUE(isClose(r.means[0].se, std::sqrt(between / 25.0), {.relative = 1e-8}));
        EXPECT_TRUE(isClose(r.means[0].df, 4.0, {.relative = 1e-7}));
        EXPECT_TRUE(r.differences.empty());
        EXPECT_EQ(r.terms[0].absentBecause, "it has one level");
    }
}

// Two foods, every subject with both, subjects that differ: the model is the paired t test.
TEST(MixedModel, TwoFoodsCompleteIsThePairedT) {
    const std::vector<double> first = {1.9, 10.8, 21.1, 30.1, 38.9, 54.4, 65.5, 71.6};
    const std::vector<double> second = {0.7, 8.4, 20.8, 28.8, 40.1, 53.4, 63.7, 70.8};
    std::vector<std::vector<double>> value;
    for (std::size_t s = 0; s < first.size(); ++s) {
        value.push_back({first[s], second[s]});
    }
    const PairedT t = pairedT(pairedDifferences(second, first), 0.05);
    for (const DfMethod method : bothMethods) {
        const MixedModel r = mixedModel(foodBySubject(value), by(method));
        ASSERT_EQ(r.differences.size(), 1U);
        const ModelDifference& d = r.differences[0];
        EXPECT_EQ(d.level, 1U);
        EXPECT_EQ(d.minus, 0U);
        EXPECT_TRUE(isClose(d.estimate, t.meanDifference, {.relative = 1e-12}));
        EXPECT_TRUE(isClose(d.se, t.semDifference, {.relative = 1e-9}));
        EXPECT_TRUE(isClose(d.df, t.df, {.relative = 1e-8}));
        EXPECT_TRUE(isClose(d.t, t.t, {.relative = 1e-9}));
        EXPECT_TRUE(isClose(d.p, t.p, {.relative = 1e-8}));
        EXPECT_TRUE(isClose(d.ciLow, t.ciLow, {.relative = 1e-8}));
        EXPECT_TRUE(isClose(r.terms[0].f, *t.t * *t.t, {.relative = 1e-9}));
    }
}

// Subjects whose means are equal: the variance is at 0 and the fit is the ordinary two-sample one. Values
// 1 ± 1 and 3 ± 1 over four subjects: pooled variance 8/6, SE of the difference √(8/6 · ½).
TEST(MixedModel, BoundaryIsTheOrdinaryLinearModel) {
    const MixedModel r = mixedModel(foodBySubject({{0, 4}, {2, 2}, {0, 4}, {2, 2}}), {});
    EXPECT_TRUE(r.boundary);
    EXPECT_EQ(r.varianceSubject, 0.0);
    EXPECT_TRUE(isClose(r.varianceResidual, 8.0 / 6.0, {.relative = 1e-14}));
    ASSERT_EQ(r.differences.size(), 1U);
    EXPECT_TRUE(isClose(r.differences[0].estimate, 2.0, {.relative = 1e-14}));
    EXPECT_TRUE(isClose(r.differences[0].se, std::sqrt(4.0 / 6.0), {.relative = 1e-14}));
    EXPECT_EQ(r.differences[0].df, 6.0);
    EXPECT_EQ(r.terms[0].denominatorDf, 6.0);
}

TEST(MixedModel, ComparatorComesFirstAndIsSubtracted) {
    MixedModelOptions options;
    options.comparator = 1;
    const MixedModel r = mixedModel(
        foodBySubject({{1, 5, 3, 9}, {2, 4, 3.5, 8}, {4, 9, 6, 12}, {0, 3, 3, 5}, {3, 6, 7, 9}}), options);
    std::vector<std::vector<std::size_t>> pairs;
    for (const ModelDifference& d : r.differences) {
        pairs.push_back({d.level, d.minus});
        EXPECT_TRUE(isClose(d.estimate, *r.means[d.level].estimate - *r.means[d.minus].estimate,
                            {.absolute = 1e-12}));
    }
    EXPECT_EQ(pairs, (std::vector<std::vector<std::size_t>>{{0, 1}, {2, 1}, {3, 1}, {2, 0}, {3, 0}, {3, 2}}));
}

TEST(MixedModel, WithoutValuesEnoughThereIsAReasonAndNothingElse) {
    const double none = std::numeric_limits<double>::quiet_NaN();
    MixedModelData saturated = foodBySubject({{1, 2}, {3, 5}, {2, 8}});
    saturated.factors.push_back({"sequence", {"a", "b", "c"}});
    for (MixedModelRow& row : saturated.rows) {
        row.levels.push_back(row.subject);
    }
    MixedModelData notFinite = foodBySubject({{1, 2}, {3, 5}, {2, 8}});
    notFinite.rows[1].value = std::numeric_limits<double>::infinity();
    struct Case {
        MixedModelData data;
        std::string reason;
    };
    const std::vector<Case> cases = {
        {foodBySubject({{none, none}}), "there is no value"},
        {foodBySubject({{1, 2}}), "one subject"},
        {foodBySubject({{1, none}, {none, 3}, {4, none}}), "no subject has two values"},
        {foodBySubject({{1, 2}, {none, 3}, {4, none}}), "left within subjects"},
        {saturated, "left between subjects"},
        {notFinite, "not a finite number"},
        {foodBySubject({{5, 5}, {5, 5}, {5, 5}}), "the factors reproduce every value"},
        {foodBySubject({{0.1, 0.3}, {0.1, 0.3}, {0.1, 0.3}}), "the factors reproduce every value"},
        {foodBySubject({{0.1, 0.3}, {0.4, 0.6}, {0.8, 1.0}}), "factors and subjects reproduce every value"},
    };
    for (const Case& c : cases) {
        for (const DfMethod method : bothMethods) {
            const MixedModel r = mixedModel(c.data, by(method));
            EXPECT_THAT(r.absentBecause, HasSubstr(c.reason));
            EXPECT_TRUE(r.terms.empty() && r.means.empty() && r.differences.empty());
            EXPECT_FALSE(r.varianceResidual || r.varianceSubject || r.remlLogLikelihood);
        }
    }
}

// f1 is only given in period 1 and the others only in period 2: period and food cannot be told apart.
TEST(MixedModel, IncompleteDesignNamesWhatIsDroppedAndWhatCannotBeEstimated) {
    MixedModelData data;
    data.factors = {{"food", {"f1", "f2", "f3"}}, {"period", {"1", "2", "3"}}};
    std::mt19937 random(3);
    for (std::size_t s = 0; s < 8; ++s) {
        for (std::size_t period = 0; period < 3; ++period) {
            const std::size_t food = period == 0 ? 0 : 1 + (period + s) % 2;
            data.rows.push_back({s, {food, period}, static_cast<double>(random() % 1000 + 300 * (s % 4))});
        }
    }
    const MixedModel r = mixedModel(data, {});
    EXPECT_EQ(r.dropped, std::vector<std::string>{"period 3"});
    for (const ModelMean& mean : r.means) {
        EXPECT_FALSE(mean.estimate || mean.se || mean.df || mean.ciLow);
        EXPECT_FALSE(mean.absentBecause.empty());
    }
    for (const ModelDifference& d : r.differences) {
        EXPECT_EQ(d.p.has_value(), d.level == 2 && d.minus == 1);
        EXPECT_EQ(d.absentBecause.empty(), d.p.has_value());
    }
    EXPECT_EQ(r.terms[0].numeratorDf, 1U);  // f3 against f2, all that is left of food
    EXPECT_TRUE(isClose(r.terms[0].f, *r.differences[2].t * *r.differences[2].t, {.relative = 1e-10}));
    EXPECT_EQ(r.terms[1].numeratorDf, 1U);
}

TEST(MixedModel, FactorThatOthersExplainHasNoTest) {
    MixedModelData data = foodBySubject({{1, 4, 3}, {2, 4, 6}, {5, 6, 9}, {3, 3, 8}});
    data.factors.push_back({"period", {"1", "2", "3"}});
    for (MixedModelRow& row : data.rows) {
        row.levels.push_back(row.levels[0]);  // each food always in the same period
    }
    const MixedModel r = mixedModel(data, {});
    EXPECT_EQ(r.dropped, (std::vector<std::string>{"period 2", "period 3"}));
    for (const ModelTerm& term : r.terms) {
        EXPECT_EQ(term.numeratorDf, 0U);
        EXPECT_FALSE(term.f || term.p);
        EXPECT_FALSE(term.absentBecause.empty());
    }
}

TEST(MixedModel, UnusedLevelsAndSubjectsDoNotCount) {
    const MixedModel plain = mixedModel(foodBySubject({{1, 5}, {2, 4}, {4, 9}, {0, 3}}), {});
    MixedModelData data = foodBySubject({{1, 5}, {2, 4}, {4, 9}, {0, 3}});
    data.factors[0].levels = {"never", "f1", "not either", "f2"};
    for (MixedModelRow& row : data.rows) {
        row.levels[0] = row.levels[0] == 0 ? 1 : 3;
        row.subject = 10 + 7 * row.subject;
    }
    const MixedModel r = mixedModel(data, {});
    EXPECT_EQ(r.subjects, 4U);
    EXPECT_TRUE(r.dropped.empty());
    ASSERT_EQ(r.means.size(), 2U);
    EXPECT_EQ(r.means[0].level, 1U);
    EXPECT_EQ(r.means[1].level, 3U);
    EXPECT_EQ(r.differences[0].t, plain.differences[0].t);
}

MixedModelData randomStudy(std::mt19937& random) {
    MixedModelData data;
    data.factors = {{"food", {"f1", "f2", "f3"}}, {"period", {"1", "2", "3"}}};
    std::normal_distribution<double> normal;
    const std::size_t subjects = 5 + random() % 12;
    const double spread = static_cast<double>(random() % 4);
    for (std::size_t s = 0; s < subjects; ++s) {
        const double level = 100.0 + 10.0 * spread * normal(random);
        for (std::size_t period = 0; period < 3; ++period) {
            if (s < 3 || random() % 6 != 0) {
                const std::size_t food = (s + period) % 3;
                data.rows.push_back(
                    {s, {food, period}, level + 4.0 * static_cast<double>(food) + 10.0 * normal(random)});
            }
        }
    }
    return data;
}

void expectSameTests(const MixedModel& a, const MixedModel& b, double unit) {
    ASSERT_EQ(a.differences.size(), b.differences.size());
    EXPECT_EQ(a.boundary, b.boundary);
    for (std::size_t i = 0; i < a.differences.size(); ++i) {
        const ModelDifference& x = a.differences[i];
        const ModelDifference& y = b.differences[i];
        EXPECT_TRUE(isClose(x.t, y.t, {.absolute = 1e-8, .relative = 1e-8}));
        EXPECT_TRUE(isClose(x.df, y.df, {.relative = 1e-7}));
        EXPECT_TRUE(isClose(x.p, y.p, {.relative = 1e-7}));
        EXPECT_TRUE(isClose(x.se, *y.se * unit, {.relative = 1e-8}));
    }
    for (std::size_t f = 0; f < a.terms.size(); ++f) {
        EXPECT_TRUE(isClose(a.terms[f].f, b.terms[f].f, {.absolute = 1e-9, .relative = 1e-8}));
    }
}

TEST(MixedModel, UnitShiftAndOrderOfRowsDoNotMatter) {
    std::mt19937 random(20);
    for (int round = 0; round < 40; ++round) {
        const MixedModelData data = randomStudy(random);
        for (const DfMethod method : bothMethods) {
            const MixedModel plain = mixedModel(data, by(method));
            ASSERT_TRUE(plain.absentBecause.empty());
            for (const double unit : {1e-100, 18.016, 1e100}) {
                MixedModelData other = data;
                for (MixedModelRow& row : other.rows) {
                    row.value *= unit;
                }
                const MixedModel r = mixedModel(other, by(method));
                expectSameTests(r, plain, unit);
                // The density of values unit times as large.
                const double freedom = static_cast<double>(data.rows.size()) - 5.0;
                EXPECT_TRUE(isClose(r.remlLogLikelihood, *plain.remlLogLikelihood - freedom * std::log(unit),
                                    {.relative = 1e-9}));
            }
            MixedModelData shuffled = data;
            std::shuffle(shuffled.rows.begin(), shuffled.rows.end(), random);
            for (MixedModelRow& row : shuffled.rows) {
                row.value += 1000.0;
                row.subject = 50 - row.subject;
            }
            const MixedModel r = mixedModel(shuffled, by(method));
            expectSameTests(r, plain, 1.0);
            EXPECT_TRUE(isClose(r.means[0].estimate, *plain.means[0].estimate + 1000.0, {.relative = 1e-9}));
        }
    }
}

// The intervals exclude 0 where p < alpha, everything is finite, and the covariance of Kenward and Roger is
// never smaller than the plain one for these designs.
TEST(MixedModel, IntervalsAgreeWithTestsAndTheAdjustedSeIsNotSmaller) {
    std::mt19937 random(21);
    for (int round = 0; round < 60; ++round) {
        const MixedModelData data = randomStudy(random);
        const MixedModel plain = mixedModel(data, by(DfMethod::satterthwaite));
        const MixedModel adjusted = mixedModel(data, by(DfMethod::kenwardRoger));
        for (std::size_t i = 0; i < plain.differences.size(); ++i) {
            for (const ModelDifference* d : {&plain.differences[i], &adjusted.differences[i]}) {
                EXPECT_TRUE(std::isfinite(*d->t) && *d->p > 0.0 && *d->p <= 1.0 && *d->df > 0.0);
                EXPECT_EQ(*d->ciLow > 0.0 || *d->ciHigh < 0.0, *d->p < 0.05);
            }
            EXPECT_GE(*adjusted.differences[i].se, *plain.differences[i].se * (1.0 - 1e-9));
        }
    }
}

TEST(MixedModel, VeryLargeAndVerySmallValuesGiveNoInfinity) {
    for (const double unit : {1e-300, 1e-160, 1e160, 1e300, 1.7e308}) {
        const MixedModel r = mixedModel(
            foodBySubject(
                {{0.1 * unit, 0.5 * unit}, {-unit, 0.4 * unit}, {0.4 * unit, 0.9 * unit}, {0, unit}}),
            {});
        for (const auto& value : {r.varianceResidual, r.varianceSubject, r.remlLogLikelihood,
                                  r.differences[0].estimate, r.differences[0].se, r.differences[0].ciHigh}) {
            EXPECT_TRUE(!value || std::isfinite(*value));
        }
        EXPECT_TRUE(r.differences[0].p.has_value());
    }
}

// Subjects that differ some 100000 times as much as the residual: the within-subject part must keep its
// digits.
TEST(MixedModel, HugeDifferencesBetweenSubjectsKeepTheDigits) {
    std::mt19937 random(5);
    MixedModelData data = randomStudy(random);
    const MixedModel plain = mixedModel(data, {});
    for (MixedModelRow& row : data.rows) {
        row.value += 1e6 * static_cast<double>((row.subject * 7) % 11);
    }
    const MixedModel r = mixedModel(data, {});
    ASSERT_TRUE(r.absentBecause.empty());
    EXPECT_GT(*r.varianceSubject / *r.varianceResidual, 1e10);
    // With λ large the fit is the one with fixed subjects, whose df are whole: rows − subjects − 4.
    EXPECT_TRUE(
        isClose(r.differences[0].df, static_cast<double>(r.rows - r.subjects) - 4.0, {.relative = 1e-5}));
    EXPECT_TRUE(isClose(r.differences[0].se, plain.differences[0].se, {.relative = 0.5}));
}

}  // namespace
}  // namespace aftercurve
