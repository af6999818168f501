#include "core/compare/studentized_range.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

#include "core/compare/distributions.h"
#include "tests/support/close.h"

namespace aftercurve {
namespace {

using test::isClose;

constexpr double infinite = std::numeric_limits<double>::infinity();

// Two groups: Q/√2 is |t|. Student's t by Boost.Math.
TEST(StudentizedRange, OfTwoGroupsIsStudentsT) {
    for (const double df : {0.3, 1.0, 2.0, 3.7, 10.0, 100.0, 1e6}) {
        for (const double t : {1e-3, 0.5, 2.0, 6.0, 30.0, 1e4}) {
            const double p = studentTTwoSidedP(t, df).value();
            if (p > 1e-200) {
                EXPECT_TRUE(
                    isClose(studentizedRangeUpperTail(t * std::sqrt(2.0), 2, df), p, {.relative = 1e-10}))
                    << t << " " << df;
            }
        }
    }
}

// Printed tables (upper 5 % and 1 % points of Pearson & Hartley, from memory): 3.15 3.88 4.33 4.65 4.91 for
// df 10 and so on; the further digits are those of R's qtukey.
TEST(StudentizedRange, PublishedTable) {
    struct Row {
        double tail, df;
        std::vector<double> q;
    };
    const std::vector<Row> table = {{0.05, 10, {3.151064, 3.876777, 4.326582, 4.654293, 4.912016}},
                                    {0.05, 20, {2.949998, 3.577935, 3.958293, 4.231857, 4.445237}},
                                    {0.05, 60, {2.828848, 3.398661, 3.737089, 3.977418, 4.163161}},
                                    {0.01, 10, {4.482028, 5.270162, 5.768591, 6.136093, 6.427536}},
                                    {0.01, 20, {4.023918, 4.639220, 5.018016, 5.293253, 5.509542}},
                                    {0.01, 60, {3.762208, 4.282198, 4.594443, 4.817782, 4.991324}}};
    for (const Row& row : table) {
        for (std::size_t i = 0; i < row.q.size(); ++i) {
            const auto q = studentizedRangeUpperQuantile(row.tail, i + 2, row.df);
            EXPECT_TRUE(isClose(q, row.q[i], {.absolute = 2e-6})) << row.df << " " << i + 2;
            EXPECT_TRUE(isClose(studentizedRangeUpperTail(*q, i + 2, row.df), row.tail, {.relative = 1e-9}));
        }
    }
}

// The remembered inner integral gives what the one done anew gives.
TEST(StudentizedRange, TableKeepsTheDigits) {
    for (const std::size_t groups : {2U, 3U, 6U, 30U, 100U}) {
        StudentizedRange range(groups);
        for (const double df : {1.0, 3.3, 27.5, infinite}) {
            for (const double q : {0.3, 2.0, 3.5, 5.0, 9.0}) {
                EXPECT_TRUE(isClose(range.upperTail(q, df), studentizedRangeUpperTail(q, groups, df),
                                    {.relative = 1e-9}));
            }
        }
    }
}

TEST(StudentizedRange, OutOfRangeIsAbsentAndTailsStayProbabilities) {
    const double none = std::numeric_limits<double>::quiet_NaN();
    EXPECT_FALSE(studentizedRangeUpperTail(none, 3, 10));
    EXPECT_FALSE(studentizedRangeUpperTail(3.0, 1, 10));
    EXPECT_FALSE(studentizedRangeUpperTail(3.0, 0, 10));
    EXPECT_FALSE(studentizedRangeUpperTail(3.0, 101, 10));
    for (const double df : {0.0, -1.0, none, -infinite}) {
        EXPECT_FALSE(studentizedRangeUpperTail(3.0, 3, df));
        EXPECT_FALSE(studentizedRangeUpperQuantile(0.05, 3, df));
    }
    for (const double tail : {0.0, 1.0, -0.1, 1.1, none}) {
        EXPECT_FALSE(studentizedRangeUpperQuantile(tail, 3, 10));
    }
    EXPECT_EQ(studentizedRangeUpperTail(0.0, 3, 10), 1.0);
    EXPECT_EQ(studentizedRangeUpperTail(-infinite, 3, 10), 1.0);
    EXPECT_EQ(studentizedRangeUpperTail(infinite, 3, 10), std::numeric_limits<double>::min());
    for (const double q : {1e-300, 1e-10, 40.0, 1e10, 1e300}) {
        for (const double df : {1e-3, 1.0, 50.0, 1e12, 1e300, infinite}) {
            const auto p = studentizedRangeUpperTail(q, 4, df);
            EXPECT_TRUE(p && *p > 0.0 && *p <= 1.0) << q << " " << df;
        }
    }
    const auto far = studentizedRangeUpperQuantile(1e-10, 4, 1e-3);  // beyond the largest double
    EXPECT_TRUE(!far || std::isfinite(*far));
}

TEST(StudentizedRange, FallsInQAndRisesInGroups) {
    for (const double df : {1.0, 8.5, infinite}) {
        double before = 1.0;
        for (double q = 0.25; q < 12.0; q += 0.25) {
            const double p = studentizedRangeUpperTail(q, 5, df).value();
            EXPECT_LT(p, before);
            EXPECT_GT(studentizedRangeUpperTail(q, 6, df).value(), p);
            before = p;
        }
    }
}

}  // namespace
}  // namespace aftercurve
