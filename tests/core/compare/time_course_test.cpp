// The model of curves where the truth is known by hand, and where there is too little or nothing to fit.
#include "core/compare/time_course.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <random>
#include <string>
#include <vector>

#include "core/compare/repeated_measures.h"
#include "tests/support/close.h"

namespace aftercurve {
namespace {

using test::isClose;
using testing::Contains;
using testing::HasSubstr;

const std::vector<CurveCovariance> allCovariances = {
    CurveCovariance::independent, CurveCovariance::continuousTimeAr1, CurveCovariance::unstructured};

TimeCourseOptions with(CurveCovariance covariance) {
    TimeCourseOptions options;
    options.covariance = covariance;
    options.comparator = 0;
    return options;
}

TimeCourseData crossover(std::size_t subjects, std::size_t foods, std::vector<double> times, unsigned seed,
                         double missing = 0.0) {
    std::mt19937 random(seed);
    std::normal_distribution<double> normal;
    TimeCourseData data;
    data.timesMin = std::move(times);
    for (std::size_t f = 0; f < foods; ++f) {
        data.foods.push_back("food " + std::to_string(f + 1));
    }
    for (std::size_t s = 0; s < subjects; ++s) {
        const double u = 1.5 * normal(random);
        for (std::size_t f = 0; f < foods; ++f) {
            const double v = normal(random);
            double e = normal(random);
            for (std::size_t t = 0; t < data.timesMin.size(); ++t) {
                e = 0.4 * e + normal(random);
                if (static_cast<double>(random() % 1000) >= 1000.0 * missing) {
                    data.rows.push_back({s, f, 0, t, 5.0 + u + v + e + 0.2 * static_cast<double>(f * t), {}});
                }
            }
        }
    }
    return data;
}

void expectNoNumbers(const TimeCourse& r) {
    EXPECT_TRUE(r.terms.empty() && r.means.empty() && r.differences.empty());
    EXPECT_FALSE(r.varianceSubject || r.varianceSubjectFood || r.varianceResidual || r.rho ||
                 r.remlLogLikelihood || r.aic || r.converged);
}

void expectSound(const TimeCourse& r) {
    for (const TimeCourseTerm& t : r.terms) {
        EXPECT_EQ(t.p.has_value(), t.absentBecause.empty()) << t.term;
        EXPECT_TRUE(!t.p || (*t.p > 0.0 && *t.p <= 1.0 && std::isfinite(*t.f) && *t.denominatorDf > 0.0));
    }
    for (const TimeCourseDifference& d : r.differences) {
        EXPECT_TRUE(d.absentBecause.empty() || !d.ciLow);
        EXPECT_TRUE(!d.p ||
                    (*d.p > 0.0 && *d.p <= 1.0 && *d.pAdjusted >= *d.p && std::isfinite(*d.estimate)));
    }
}

// Balanced, variances above 0: REML is the analysis of variance, so that F of food x time with independent
// residuals is that of the mean squares: within curves, the classical error of time x subject and of food x
// time x subject pooled.
TEST(TimeCourse, BalancedIndependentIsTheSplitPlotAnalysisOfVariance) {
    const TimeCourseData data = crossover(9, 3, {15, 30, 60, 90}, 4);
    const TimeCourse r = timeCourse(data, with(CurveCovariance::independent));
    ASSERT_TRUE(r.absentBecause.empty());
    ASSERT_TRUE(r.boundary.empty());
    const RepeatedMeasures table = repeatedMeasures(data);
    const double pooled = (*table.terms[1].errorSumOfSquares + *table.terms[2].errorSumOfSquares) / 72.0;
    EXPECT_TRUE(isClose(r.varianceResidual, pooled, {.relative = 1e-8}));
    EXPECT_TRUE(isClose(r.terms[0].f, table.terms[0].f, {.relative = 1e-8}));
    EXPECT_TRUE(isClose(r.terms[0].denominatorDf, 16.0, {.relative = 1e-6}));
    EXPECT_TRUE(isClose(r.terms[1].f, *table.terms[1].sumOfSquares / 3.0 / pooled, {.relative = 1e-8}));
    EXPECT_TRUE(isClose(r.terms[2].f, *table.terms[2].sumOfSquares / 6.0 / pooled, {.relative = 1e-8}));
    EXPECT_TRUE(isClose(r.terms[2].denominatorDf, 72.0, {.relative = 1e-6}));
    const double foodMs = *table.terms[0].errorSumOfSquares / 16.0;
    EXPECT_TRUE(isClose(r.varianceSubjectFood, (foodMs - pooled) / 4.0, {.relative = 1e-6}));
}

// Each subject one food, all complete, unstructured: the covariance is that within foods with n - foods.
TEST(TimeCourse, ParallelUnstructuredIsTheCovarianceWithinFoods) {
    TimeCourseData data = crossover(12, 1, {20, 40, 90}, 8);
    data.foods = {"a", "b"};
    for (TimeCourseRow& row : data.rows) {
        row.food = row.subject % 2;
    }
    const TimeCourse r = timeCourse(data, with(CurveCovariance::unstructured));
    ASSERT_TRUE(r.absentBecause.empty()) << r.absentBecause;
    EXPECT_FALSE(r.varianceSubject || r.varianceSubjectFood);
    std::vector<std::vector<double>> rest(12, std::vector<double>(3));
    for (std::size_t f = 0; f < 2; ++f) {
        for (std::size_t t = 0; t < 3; ++t) {
            double mean = 0.0;
            for (std::size_t s = f; s < 12; s += 2) {
                mean += data.rows[3 * s + t].value / 6.0;
            }
            for (std::size_t s = f; s < 12; s += 2) {
                rest[s][t] = data.rows[3 * s + t].value - mean;
            }
        }
    }
    for (std::size_t a = 0; a < 3; ++a) {
        for (std::size_t b = 0; b < 3; ++b) {
            double sum = 0.0;
            for (const auto& x : rest) {
                sum += x[a] * x[b];
            }
            EXPECT_TRUE(
                isClose(r.withinCovariance.at(3 * a + b), sum / 10.0, {.absolute = 1e-7, .relative = 1e-7}));
        }
    }
    // A difference at one time is the two-sample t test of that time.
    EXPECT_TRUE(isClose(r.differences[0].df, 10.0, {.relative = 1e-6}));
}

TEST(TimeCourse, UnitShiftAndOrderDoNotMatter) {
    for (const CurveCovariance covariance : allCovariances) {
        const TimeCourseData data = crossover(8, 2, {15, 30, 75}, 11, 0.1);
        const TimeCourse plain = timeCourse(data, with(covariance));
        ASSERT_TRUE(plain.absentBecause.empty()) << plain.absentBecause;
        for (const double unit : {1e-290, 18.016, 1e100, 1e300}) {
            TimeCourseData other = data;
            std::mt19937 random(2);
            std::shuffle(other.rows.begin(), other.rows.end(), random);
            for (TimeCourseRow& row : other.rows) {
                row.value = (row.value + 50.0) * unit;
                row.subject = 30 - 2 * row.subject;
            }
            const TimeCourse r = timeCourse(other, with(covariance));
            ASSERT_EQ(r.differences.size(), plain.differences.size());
            for (std::size_t i = 0; i < plain.differences.size(); ++i) {
                EXPECT_TRUE(isClose(r.differences[i].t, plain.differences[i].t,
                                    {.absolute = 1e-6, .relative = 1e-6}));
                EXPECT_TRUE(isClose(r.differences[i].df, plain.differences[i].df, {.relative = 1e-5}));
            }
            for (std::size_t t = 0; t < 3; ++t) {
                EXPECT_TRUE(isClose(r.terms[t].f, plain.terms[t].f, {.relative = 1e-6}));
            }
            for (const auto& x : {r.varianceSubject, r.varianceResidual, r.remlLogLikelihood, r.aic}) {
                EXPECT_TRUE(!x || std::isfinite(*x));
            }
        }
    }
}

TEST(TimeCourse, NoVarianceBetweenSubjectsIsABoundary) {
    TimeCourseData data = crossover(8, 2, {15, 30, 45}, 3);
    // Subjects' means made equal, within each food as well.
    for (std::size_t begin = 0; begin < data.rows.size(); begin += 3) {
        const double mean =
            (data.rows[begin].value + data.rows[begin + 1].value + data.rows[begin + 2].value) / 3.0;
        for (std::size_t i = begin; i < begin + 3; ++i) {
            data.rows[i].value -= mean;
        }
    }
    const TimeCourse r = timeCourse(data, with(CurveCovariance::independent));
    EXPECT_THAT(r.boundary, testing::ElementsAre("subject", "subject x food"));
    EXPECT_EQ(r.varianceSubject, 0.0);
    EXPECT_EQ(r.varianceSubjectFood, 0.0);
    // The linear model: rows - cells.
    EXPECT_TRUE(isClose(r.differences[0].df, 42.0, {.relative = 1e-6}));
}

TEST(TimeCourse, EmptyCellLeavesWhatCanBeTold) {
    TimeCourseData data = crossover(9, 3, {15, 30, 60, 90}, 6);
    std::erase_if(data.rows, [](const TimeCourseRow& row) { return row.food == 1 && row.time == 2; });
    const TimeCourse r = timeCourse(data, with(CurveCovariance::independent));
    EXPECT_THAT(r.terms[0].absentBecause, HasSubstr("food 2 has no value"));
    EXPECT_FALSE(r.terms[0].p || r.terms[1].p);
    EXPECT_EQ(r.terms[2].numeratorDf, 5U);
    EXPECT_TRUE(r.terms[2].p);
    EXPECT_EQ(r.means[6].absentBecause, "there is no value");
    EXPECT_FALSE(r.differences[2].p || r.differences[2].pAdjusted);
    EXPECT_TRUE(r.differences[3].p);
    expectSound(r);
}

TEST(TimeCourse, PeriodThatIsTheFoodIsDroppedAndNamed) {
    TimeCourseData data = crossover(8, 2, {15, 30, 60}, 9);
    data.periods = {"1", "2"};
    for (TimeCourseRow& row : data.rows) {
        row.period = row.food;
    }
    const TimeCourse r = timeCourse(data, with(CurveCovariance::independent));
    EXPECT_THAT(r.notes, Contains(HasSubstr("period 2 cannot be told")));
    EXPECT_FALSE(r.terms[0].p);                 // food
    EXPECT_TRUE(r.terms[1].p && r.terms[2].p);  // time and the interaction hold
    EXPECT_FALSE(r.differences[0].estimate);
    EXPECT_THAT(r.differences[0].absentBecause, HasSubstr("periods"));
    data.rows[0].period.reset();
    const TimeCourse without = timeCourse(data, with(CurveCovariance::independent));
    EXPECT_THAT(without.notes, Contains(HasSubstr("period left out")));
    EXPECT_TRUE(without.differences[0].p);
}

TEST(TimeCourse, PartsThatCannotBeToldApartAreLeftOutWithANote) {
    TimeCourseData two = crossover(9, 2, {15, 30}, 12);
    const TimeCourse ar1 = timeCourse(two, with(CurveCovariance::continuousTimeAr1));
    ASSERT_TRUE(ar1.absentBecause.empty()) << ar1.absentBecause;
    EXPECT_TRUE(ar1.varianceSubject && !ar1.varianceSubjectFood);
    EXPECT_THAT(ar1.notes, Contains(HasSubstr("equally far apart")));
    const TimeCourse free = timeCourse(two, with(CurveCovariance::unstructured));
    EXPECT_THAT(free.notes, Contains(HasSubstr("subject x food left out")));
    const TimeCourse one = timeCourse(crossover(9, 1, {15, 30, 60}, 12), with(CurveCovariance::independent));
    EXPECT_TRUE(one.varianceSubject && !one.varianceSubjectFood);
    EXPECT_EQ(one.terms[0].absentBecause, "it has one level");
    EXPECT_TRUE(one.terms[1].p);
    EXPECT_TRUE(one.differences.empty());
    expectSound(one);
}

TEST(TimeCourse, WithoutEnoughThereIsAReasonAndNoNumber) {
    const double infinity = std::numeric_limits<double>::infinity();
    const TimeCourseData good = crossover(6, 2, {15, 30, 60}, 1);
    const auto changed = [&](auto change) {
        TimeCourseData data = good;
        change(data);
        return data;
    };
    const auto setAll = [](auto value) {
        return [value](TimeCourseData& data) {
            for (TimeCourseRow& row : data.rows) {
                row.value = value(row);
            }
        };
    };
    struct Case {
        TimeCourseData data;
        std::string reason;
    };
    const std::vector<Case> cases = {
        {changed([](TimeCourseData& d) { d.rows.clear(); }), "no value"},
        {changed([](TimeCourseData& d) { d.rows.resize(1); }), "one subject"},
        {changed([](TimeCourseData& d) { d.rows.resize(6); }), "one subject"},
        {changed([&](TimeCourseData& d) { d.rows[4].value = infinity; }), "not a finite number"},
        {changed([&](TimeCourseData& d) { d.rows[4].value = infinity - infinity; }), "not a finite number"},
        {changed([](TimeCourseData& d) { d.rows.push_back(d.rows[3]); }), "two values at one time"},
        {changed(setAll([](const TimeCourseRow&) { return 4.0; })), "reproduce every value"},
        {changed(
             setAll([](const TimeCourseRow& r) { return 0.1 * static_cast<double>(r.food + 3 * r.time); })),
         "reproduce every value"},
        {changed(setAll([](const TimeCourseRow& r) {
             return 0.7 * static_cast<double>((r.subject * 5 + r.food * 3) % 7) +
                    0.1 * static_cast<double>(r.time);
         })),
         ""},
        {changed([](TimeCourseData& d) {
             std::erase_if(d.rows, [](const TimeCourseRow& r) { return r.subject != r.food; });
         }),
         "degree of freedom"},
    };
    for (const CurveCovariance covariance : allCovariances) {
        for (const Case& c : cases) {
            const TimeCourse r = timeCourse(c.data, with(covariance));
            EXPECT_FALSE(r.absentBecause.empty()) << c.reason;
            EXPECT_THAT(r.absentBecause, HasSubstr(c.reason));
            expectNoNumbers(r);
        }
    }
    EXPECT_THAT(
        timeCourse(crossover(2, 2, {15, 30, 60}, 1), with(CurveCovariance::unstructured)).absentBecause,
        HasSubstr("needs at least 5 curves"));
    std::vector<double> many;
    for (int t = 1; t <= 21; ++t) {
        many.push_back(10.0 * t);
    }
    EXPECT_THAT(timeCourse(crossover(30, 2, many, 1), with(CurveCovariance::unstructured)).absentBecause,
                HasSubstr("more than 20 times"));
}

TEST(TimeCourse, StopsWhenTold) {
    int calls = 0;
    double last = 0.0;
    const TimeCourse r =
        timeCourse(crossover(8, 2, {15, 30, 60}, 1), with(CurveCovariance::continuousTimeAr1),
                   [&](double fraction, std::string_view) {
                       EXPECT_GT(fraction, last);
                       EXPECT_LT(fraction, 1.0);
                       last = fraction;
                       return ++calls < 5;
                   });
    EXPECT_EQ(r.absentBecause, "stopped");
    EXPECT_EQ(calls, 5);
    expectNoNumbers(r);
}

// Small and lopsided studies: a fit that is sound, or a reason.
TEST(TimeCourse, LopsidedStudiesGiveSoundNumbersOrAReason) {
    std::size_t fitted = 0;
    for (unsigned seed = 1; seed <= 25; ++seed) {
        TimeCourseData data = crossover(2 + seed % 5, 1 + seed % 3, {15, 30, 60}, seed, 0.25);
        if (seed % 4 == 0) {
            std::erase_if(data.rows, [](const TimeCourseRow& r) { return r.food == 0 && r.subject > 0; });
        }
        for (const CurveCovariance covariance : allCovariances) {
            const TimeCourse r = timeCourse(data, with(covariance));
            if (!r.absentBecause.empty()) {
                expectNoNumbers(r);
                continue;
            }
            ++fitted;
            expectSound(r);
            EXPECT_TRUE(std::isfinite(*r.remlLogLikelihood));
        }
    }
    EXPECT_GE(fitted, 25U);
}

}  // namespace
}  // namespace aftercurve
