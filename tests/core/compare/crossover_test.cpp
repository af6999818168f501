#include "core/compare/crossover.h"

#include <gtest/gtest.h>

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

constexpr double alpha = 0.05;
constexpr auto ab = CrossoverSequence::ab;
constexpr auto ba = CrossoverSequence::ba;

struct Periods {
    double first;
    double second;
};

void add(std::vector<CrossoverSubject>& subjects, CrossoverSequence sequence,
         const std::vector<Periods>& values) {
    for (const Periods& p : values) {
        subjects.push_back({std::to_string(subjects.size() + 1), sequence, p.first, p.second});
    }
}

// Hills & Armitage 1979, Br J Clin Pharmacol 8:7-20, dry nights out of 14; data from memory.
std::vector<CrossoverSubject> hillsArmitage() {
    std::vector<CrossoverSubject> subjects;
    add(subjects, ab,
        {{8, 5},
         {14, 10},
         {8, 0},
         {9, 7},
         {11, 6},
         {3, 5},
         {6, 0},
         {0, 0},
         {13, 12},
         {10, 2},
         {7, 5},
         {13, 13},
         {8, 10},
         {7, 7},
         {9, 0},
         {10, 6},
         {2, 2}});
    add(subjects, ba,
        {{12, 11},
         {6, 8},
         {13, 9},
         {8, 8},
         {8, 9},
         {4, 8},
         {8, 14},
         {2, 4},
         {8, 13},
         {9, 7},
         {7, 10},
         {7, 6}});
    return subjects;
}

// Grizzle 1965, Biometrics 21:467-480; data from memory.
std::vector<CrossoverSubject> grizzle() {
    std::vector<CrossoverSubject> subjects;
    add(subjects, ab, {{.2, 1.0}, {0, -.7}, {-.8, .2}, {.6, 1.1}, {.3, .4}, {1.5, 1.2}});
    add(subjects, ba,
        {{1.3, .9}, {-2.3, 1.0}, {0, .6}, {-.8, -.3}, {-.4, -1.0}, {-2.9, 1.7}, {-1.9, -.3}, {-2.9, .9}});
    return subjects;
}

void expectNoTest(const CrossoverEffect& e) {
    EXPECT_FALSE(e.t || e.df || e.p || e.ciLow || e.ciHigh);
    EXPECT_FALSE(e.absentBecause.empty());
}

// Printed there (from memory): treatment 2.04, t 3.29; period t 1.27; carry-over t 1.30. More digits: the
// same data in base R 4.2.2.
TEST(Crossover, HillsAndArmitage) {
    const Crossover r = crossover(hillsArmitage(), alpha);
    EXPECT_EQ(r.subjectsAb, 17U);
    EXPECT_EQ(r.subjectsBa, 12U);
    EXPECT_TRUE(isClose(r.treatment.estimate, 2.036764706, {.relative = 1e-9}));
    EXPECT_TRUE(isClose(r.treatment.se, 0.618600023, {.relative = 1e-8}));
    EXPECT_TRUE(isClose(r.treatment.t, 3.292539007, {.relative = 1e-9}));
    EXPECT_EQ(r.treatment.df, 27.0);
    EXPECT_TRUE(isClose(r.treatment.p, 0.00277251139, {.relative = 1e-8}));
    EXPECT_TRUE(isClose(r.treatment.ciLow, 0.7675023, {.absolute = 6e-8}));
    EXPECT_TRUE(isClose(r.treatment.ciHigh, 3.3060271, {.absolute = 6e-8}));
    EXPECT_TRUE(isClose(r.period.estimate, 0.7867647059, {.relative = 1e-9}));
    EXPECT_TRUE(isClose(r.period.t, 1.271847198, {.relative = 1e-9}));
    EXPECT_TRUE(isClose(r.period.p, 0.2142736, {.relative = 1e-6}));
    EXPECT_TRUE(isClose(r.carryOver.estimate, -3.171568627, {.relative = 1e-9}));
    EXPECT_TRUE(isClose(r.carryOver.se, 2.440281478, {.relative = 1e-9}));
    EXPECT_TRUE(isClose(r.carryOver.t, -1.299673278, {.relative = 1e-9}));
    EXPECT_TRUE(isClose(r.carryOver.p, 0.2047004596, {.relative = 1e-9}));
}

// The analysis of variance of the same paper: F = t² for treatment adjusted for period, and period adjusted
// for treatment, each on 27 degrees of freedom; residual mean square 5.383715.
TEST(Crossover, HillsAndArmitageAgreesWithItsAnalysisOfVariance) {
    const Crossover r = crossover(hillsArmitage(), alpha);
    EXPECT_TRUE(isClose(*r.treatment.t * *r.treatment.t, 10.84081, {.absolute = 6e-6}));
    EXPECT_TRUE(isClose(*r.period.t * *r.period.t, 1.61760, {.absolute = 6e-6}));
    const double residualMeanSquare = 2.0 * *r.treatment.se * *r.treatment.se / (1.0 / 17.0 + 1.0 / 12.0);
    EXPECT_TRUE(isClose(residualMeanSquare, 5.383715, {.absolute = 6e-7}));
    EXPECT_TRUE(isClose(residualMeanSquare * 27.0, 145.36029, {.absolute = 6e-6}));
    EXPECT_TRUE(isClose(*r.treatment.t * *r.treatment.t * residualMeanSquare, 58.363844, {.absolute = 6e-7}));
    EXPECT_TRUE(isClose(*r.period.t * *r.period.t * residualMeanSquare, 8.708671, {.absolute = 6e-7}));
}

// The same data with the period ignored: base R's paired t test.
TEST(Crossover, HillsAndArmitageIgnoringThePeriodIsThePairedT) {
    std::vector<double> active;
    std::vector<double> placebo;
    for (const CrossoverRow& row : crossover(hillsArmitage(), alpha).rows) {
        active.push_back(row.sequence == ab ? row.period1 : row.period2);
        placebo.push_back(row.sequence == ab ? row.period2 : row.period1);
    }
    const PairedT r = pairedT(pairedDifferences(active, placebo), alpha);
    EXPECT_TRUE(isClose(r.t, 3.526533267, {.relative = 1e-9}));
    EXPECT_EQ(r.df, 28.0);
    EXPECT_TRUE(isClose(r.p, 0.001471257, {.relative = 1e-6}));
    EXPECT_TRUE(isClose(r.meanDifference, 2.172413793, {.relative = 1e-9}));
    EXPECT_TRUE(isClose(r.ciLow, 0.9105547, {.absolute = 6e-8}));
    EXPECT_TRUE(isClose(r.ciHigh, 3.4342729, {.absolute = 6e-8}));
}

// Printed there (from memory): carry-over F 4.57; sums of squares 3.56 (treatment), 6.24 (period), error
// 14.94/12 = 1.245. More digits: the same data in base R 4.2.2.
TEST(Crossover, Grizzle) {
    const Crossover r = crossover(grizzle(), alpha);
    EXPECT_TRUE(isClose(r.carryOver.t, 2.137941534, {.relative = 1e-9}));
    EXPECT_TRUE(isClose(*r.carryOver.t * *r.carryOver.t, 4.570794003, {.relative = 1e-9}));
    EXPECT_TRUE(isClose(r.carryOver.p, 0.0537881, {.absolute = 6e-8}));
    EXPECT_TRUE(isClose(r.treatment.estimate, 0.7208333, {.absolute = 6e-8}));
    EXPECT_TRUE(isClose(r.treatment.se, 0.426160928, {.relative = 2e-9}));
    EXPECT_TRUE(isClose(r.treatment.t, 1.691458052, {.relative = 1e-9}));
    EXPECT_TRUE(isClose(*r.treatment.t * *r.treatment.t, 2.86103, {.absolute = 6e-6}));
    EXPECT_TRUE(isClose(r.treatment.p, 0.1165321, {.absolute = 6e-8}));
    EXPECT_TRUE(isClose(*r.period.t * *r.period.t, 5.01304, {.absolute = 6e-6}));
    EXPECT_TRUE(isClose(r.period.p, 0.0448793, {.absolute = 6e-8}));
    EXPECT_EQ(r.carryOver.df, 12.0);
    // Sums of squares: a subject's sum holds two values, its difference too, so half of theirs.
    const double perMean = 1.0 / 6.0 + 1.0 / 8.0;
    const double betweenMeanSquare = *r.carryOver.se * *r.carryOver.se / perMean / 2.0;
    EXPECT_TRUE(isClose(betweenMeanSquare * 12.0, 12.006667, {.absolute = 6e-7}));
    EXPECT_TRUE(isClose(*r.carryOver.t * *r.carryOver.t * betweenMeanSquare, 4.573333, {.absolute = 6e-7}));
    const double errorMeanSquare = 2.0 * *r.treatment.se * *r.treatment.se / perMean;
    EXPECT_TRUE(isClose(errorMeanSquare * 12.0, 14.9441667, {.absolute = 6e-8}));
    EXPECT_TRUE(isClose(errorMeanSquare, 1.2453472, {.absolute = 6e-8}));
    EXPECT_TRUE(isClose(*r.treatment.t * *r.treatment.t * errorMeanSquare, 3.5629762, {.absolute = 6e-8}));
    EXPECT_TRUE(isClose(*r.period.t * *r.period.t * errorMeanSquare, 6.2429762, {.absolute = 6e-8}));
}

TEST(Crossover, TableOfSubjectsHoldsSumsAndDifferences) {
    const Crossover r = crossover(hillsArmitage(), alpha);
    ASSERT_EQ(r.rows.size(), 29U);
    EXPECT_EQ(r.rows[0].sum, 13.0);
    EXPECT_EQ(r.rows[0].difference, 3.0);
    EXPECT_EQ(r.rows[17].sequence, ba);
    EXPECT_EQ(r.rows[17].difference, 1.0);
}

TEST(Crossover, WhoMissesAPeriodIsLeftOutWithTheReason) {
    std::vector<CrossoverSubject> subjects = hillsArmitage();
    const Crossover full = crossover(subjects, alpha);
    subjects.push_back({"a", ab, std::nullopt, 4.0});
    subjects.push_back({"b", ba, 4.0, std::nullopt});
    subjects.push_back({"c", ba, std::nullopt, std::nullopt});
    subjects.push_back({"d", ab, 1.0, std::numeric_limits<double>::quiet_NaN()});
    const Crossover r = crossover(subjects, alpha);
    EXPECT_EQ(r.treatment.t, full.treatment.t);
    EXPECT_EQ(r.carryOver.p, full.carryOver.p);
    ASSERT_EQ(r.leftOut.size(), 4U);
    EXPECT_EQ(r.leftOut[0].reason, "no value in period 1");
    EXPECT_EQ(r.leftOut[1].reason, "no value in period 2");
    EXPECT_EQ(r.leftOut[2].reason, "no value in either period");
    EXPECT_EQ(r.leftOut[3].reason, "a value is not a finite number");
}

TEST(Crossover, NoneInOneSequenceHasNoEffect) {
    for (const bool none : {true, false}) {
        std::vector<CrossoverSubject> subjects;
        if (!none) {
            add(subjects, ba, {{1, 2}, {3, 5}, {2, 2}});
        }
        const Crossover r = crossover(subjects, alpha);
        for (const CrossoverEffect* e : {&r.treatment, &r.period, &r.carryOver}) {
            EXPECT_FALSE(e->estimate || e->se);
            expectNoTest(*e);
        }
    }
}

TEST(Crossover, OneInEachSequenceHasEstimatesOnly) {
    std::vector<CrossoverSubject> subjects;
    add(subjects, ab, {{5, 1}});
    add(subjects, ba, {{2, 3}});
    const Crossover r = crossover(subjects, alpha);
    EXPECT_EQ(r.treatment.estimate, 2.5);  // (4 − (−1)) / 2
    EXPECT_EQ(r.period.estimate, 1.5);     // (4 + (−1)) / 2
    EXPECT_EQ(r.carryOver.estimate, 1.0);  // 6 − 5
    EXPECT_FALSE(r.treatment.se);
    expectNoTest(r.treatment);
    expectNoTest(r.carryOver);
}

// d = 4 | −1, 1: treatment 2, pooled variance 2 on 1 degree of freedom, SE ½√(2·(1 + ½)) = √3/2.
TEST(Crossover, OneInOneSequenceByHandWithANote) {
    std::vector<CrossoverSubject> subjects;
    add(subjects, ab, {{5, 1}});
    add(subjects, ba, {{2, 3}, {3, 2}});
    const Crossover r = crossover(subjects, alpha);
    EXPECT_TRUE(isClose(r.treatment.estimate, 2.0, {.relative = 1e-15}));
    EXPECT_TRUE(isClose(r.treatment.se, std::sqrt(0.75), {.relative = 1e-15}));
    EXPECT_EQ(r.treatment.df, 1.0);
    // Sums 6 | 5, 5 do not vary within a sequence.
    EXPECT_EQ(r.carryOver.estimate, 1.0);
    EXPECT_EQ(r.carryOver.se, 0.0);
    expectNoTest(r.carryOver);
    EXPECT_NE(r.note.find("AB has one subject"), std::string::npos);
}

TEST(Crossover, EqualDifferencesHaveNoTest) {
    std::vector<CrossoverSubject> subjects;
    // Constant in decimals, not in bits.
    add(subjects, ab, {{0.3, 0.2}, {0.2, 0.1}, {1.1, 1.0}});
    add(subjects, ba, {{0.7, 0.9}, {0.4, 0.6}});
    const Crossover r = crossover(subjects, alpha);
    EXPECT_TRUE(isClose(r.treatment.estimate, 0.15, {.relative = 1e-14}));
    EXPECT_EQ(r.treatment.se, 0.0);
    expectNoTest(r.treatment);
    expectNoTest(r.period);
    EXPECT_TRUE(r.carryOver.p.has_value());
}

TEST(Crossover, AnyScaleGivesTheSameTest) {
    const Crossover plain = crossover(grizzle(), alpha);
    for (const double unit : {1e-300, 1e-20, 1e20, 1e300}) {
        std::vector<CrossoverSubject> subjects = grizzle();
        for (CrossoverSubject& s : subjects) {
            *s.period1 *= unit;
            *s.period2 *= unit;
        }
        const Crossover r = crossover(subjects, alpha);
        EXPECT_TRUE(isClose(r.treatment.t, plain.treatment.t, {.relative = 1e-13}));
        EXPECT_TRUE(isClose(r.treatment.ciLow, *plain.treatment.ciLow * unit, {.relative = 1e-12}));
        EXPECT_TRUE(isClose(r.carryOver.p, plain.carryOver.p, {.relative = 1e-12}));
    }
}

TEST(Crossover, TooLargeForADoubleIsAbsentWithTheReason) {
    const double most = std::numeric_limits<double>::max();
    std::vector<CrossoverSubject> subjects;
    add(subjects, ab, {{most, -most}, {most, most / 2.0}});
    add(subjects, ba, {{-most, most}, {most / 3.0, most}});
    const Crossover r = crossover(subjects, alpha);
    EXPECT_FALSE(r.rows[0].difference);
    EXPECT_FALSE(r.treatment.ciHigh);
    EXPECT_FALSE(r.treatment.absentBecause.empty());
    EXPECT_TRUE(r.treatment.p.has_value());
}

// Swapping the names of the foods turns the treatment and the carry-over round and leaves the period; a
// shift of one period moves the period effect alone; a level of the subject moves the carry-over alone.
TEST(Crossover, Properties) {
    std::mt19937 random(11);
    const auto value = [&random] { return static_cast<double>(random() % 4096) / 64.0; };
    for (int round = 0; round < 50; ++round) {
        std::vector<CrossoverSubject> subjects;
        const std::size_t n = 4 + random() % 12;
        for (std::size_t i = 0; i < n; ++i) {
            subjects.push_back(
                {std::to_string(i), i < 2 || (i > 3 && random() % 2 == 0) ? ab : ba, value(), value()});
        }
        const Crossover r = crossover(subjects, alpha);
        std::vector<CrossoverSubject> swapped = subjects;
        std::vector<CrossoverSubject> later = subjects;
        std::vector<CrossoverSubject> lifted = subjects;
        for (std::size_t i = 0; i < n; ++i) {
            swapped[i].sequence = subjects[i].sequence == ab ? ba : ab;
            *later[i].period2 += 32.0;
            const double level = value();
            *lifted[i].period1 += level;
            *lifted[i].period2 += level;
        }
        const Crossover s = crossover(swapped, alpha);
        EXPECT_EQ(*s.treatment.estimate, -*r.treatment.estimate);
        EXPECT_TRUE(isClose(s.period.estimate, r.period.estimate, {.absolute = 1e-13}));
        EXPECT_EQ(*s.carryOver.estimate, -*r.carryOver.estimate);
        const Crossover l = crossover(later, alpha);
        EXPECT_TRUE(isClose(l.treatment.t, r.treatment.t, {.absolute = 1e-12, .relative = 1e-11}));
        EXPECT_TRUE(isClose(*l.period.estimate, *r.period.estimate - 32.0, {.absolute = 1e-12}));
        const Crossover h = crossover(lifted, alpha);
        EXPECT_TRUE(isClose(h.treatment.t, r.treatment.t, {.absolute = 1e-12, .relative = 1e-11}));
        EXPECT_EQ(*r.treatment.ciLow > 0.0 || *r.treatment.ciHigh < 0.0, *r.treatment.p < alpha);
    }
}

}  // namespace
}  // namespace aftercurve
