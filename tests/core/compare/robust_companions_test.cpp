// The robust companions of the paired t test, equivalence and influence against R on 220 sets of pairs:
// tests/reference/robust_companions.R, R 4.2.2, 13 significant digits. Compared to 9 or more.
#include <gtest/gtest.h>

#include <map>
#include <string>
#include <vector>

#include "core/compare/equivalence.h"
#include "core/compare/influence.h"
#include "core/compare/log_ratio.h"
#include "core/compare/normal_quantiles.h"
#include "core/compare/ratio_of_means.h"
#include "core/compare/sign_test.h"
#include "core/compare/trimmed_mean.h"
#include "tests/core/compare/robust_cases.h"
#include "tests/support/close.h"

namespace aftercurve {
namespace {

using test::isClose;
using test::ReferenceRow;
using test::RobustCase;
using test::Tolerance;

constexpr double alpha = 0.05;

class RobustAgainstR : public testing::Test {
  protected:
    const std::map<std::string, RobustCase> cases_ = test::readRobustCases();
    const std::vector<ReferenceRow> expected_ = test::readReference("robust_companions.csv");

    void SetUp() override { ASSERT_EQ(expected_.size(), 220U); }
};

std::string nameOf(FiellerSet set) {
    switch (set) {
        case FiellerSet::none:
            return "none";
        case FiellerSet::bounded:
            return "bounded";
        case FiellerSet::halfLine:
            return "halfLine";
        case FiellerSet::outside:
            return "outside";
        case FiellerSet::wholeLine:
            break;
    }
    return "wholeLine";
}

/// Relative, and absolute in the unit of the standard error, as a difference can cancel.
Tolerance within(const std::optional<double>& standardError) {
    return {.absolute = 1e-10 * standardError.value_or(0.0), .relative = 1e-10};
}

TEST_F(RobustAgainstR, SignTest) {
    int withInterval = 0;
    for (const ReferenceRow& row : expected_) {
        const std::string name = row.text("case");
        const SignTest r = signTest(cases_.at(name).differences(), alpha);
        EXPECT_EQ(static_cast<double>(r.positive), row.number("positive")) << name;
        EXPECT_EQ(static_cast<double>(r.negative), row.number("negative")) << name;
        EXPECT_EQ(static_cast<double>(r.zeros), row.number("zeros")) << name;
        EXPECT_TRUE(isClose(r.p, row.number("sign_p"), {.relative = 1e-11})) << name;
        const Tolerance close{.absolute = 1e-13, .relative = 1e-11};
        EXPECT_TRUE(isClose(r.median, row.number("median"), close)) << name;
        EXPECT_TRUE(isClose(r.ciLow, row.number("median_low"), close)) << name;
        EXPECT_TRUE(isClose(r.ciHigh, row.number("median_high"), close)) << name;
        EXPECT_TRUE(isClose(r.achievedConfidence, row.number("median_confidence"), close)) << name;
        withInterval += r.ciLow ? 1 : 0;
    }
    EXPECT_GT(withInterval, 150);
}

TEST_F(RobustAgainstR, TrimmedMean) {
    int tested = 0;
    for (const ReferenceRow& row : expected_) {
        const std::string name = row.text("case");
        const RobustCase& one = cases_.at(name);
        const TrimmedMean r = trimmedMean(one.differences(), alpha);
        const Tolerance close = within(row.number("trim20_se"));
        EXPECT_EQ(static_cast<double>(r.cutEachEnd), row.number("g20")) << name;
        EXPECT_TRUE(isClose(r.estimate, row.number("trim20"), {.absolute = 1e-13, .relative = 1e-10}))
            << name;
        EXPECT_TRUE(isClose(r.p, row.number("trim20_p"), {.relative = 1e-9})) << name;
        if (r.p) {
            ++tested;
            EXPECT_TRUE(isClose(r.se, row.number("trim20_se"), close)) << name;
            EXPECT_TRUE(isClose(r.t, row.number("trim20_t"), {.absolute = 1e-11, .relative = 1e-10})) << name;
            EXPECT_TRUE(isClose(r.ciLow, row.number("trim20_low"), close)) << name;
            EXPECT_TRUE(isClose(r.ciHigh, row.number("trim20_high"), close)) << name;
        }
        const TrimmedMean tenth = trimmedMean(one.differences(), alpha, 0.1);
        EXPECT_TRUE(isClose(tenth.p, row.number("trim10_p"), {.relative = 1e-9})) << name;
        const TrimmedMean both = marginalTrimmedMeans(one.food, one.comparator, alpha);
        EXPECT_TRUE(
            isClose(both.estimate, row.number("marginal"), within(row.number("marginal_se").value_or(1.0))))
            << name;
        // R takes var + var − 2·cov, which loses digits where both sides are nearly alike.
        EXPECT_TRUE(isClose(both.p, row.number("marginal_p"), {.relative = 2e-8})) << name;
    }
    EXPECT_GT(tested, 205);
}

TEST_F(RobustAgainstR, LogRatio) {
    for (const ReferenceRow& row : expected_) {
        const std::string name = row.text("case");
        const RobustCase& one = cases_.at(name);
        const LogRatio r = logRatio(one.food, one.comparator, alpha);
        EXPECT_TRUE(isClose(r.ratio, row.number("log_ratio"), {.relative = 1e-11})) << name;
        EXPECT_TRUE(isClose(r.ciLow, row.number("log_low"), {.relative = 1e-10})) << name;
        EXPECT_TRUE(isClose(r.ciHigh, row.number("log_high"), {.relative = 1e-10})) << name;
        EXPECT_TRUE(isClose(r.t, row.number("log_t"), {.absolute = 1e-11, .relative = 1e-10})) << name;
        EXPECT_TRUE(isClose(r.p, row.number("log_p"), {.relative = 1e-9})) << name;
    }
}

TEST_F(RobustAgainstR, RatioOfMeans) {
    int bounded = 0;
    for (const ReferenceRow& row : expected_) {
        const std::string name = row.text("case");
        const RobustCase& one = cases_.at(name);
        const RatioOfMeans r = ratioOfMeans(one.food, one.comparator, alpha);
        EXPECT_TRUE(isClose(r.ratio, row.number("ratio"), {.relative = 1e-12})) << name;
        EXPECT_EQ(nameOf(r.set), row.text("set")) << name;
        EXPECT_TRUE(isClose(r.g, row.number("g"), {.relative = 1e-10})) << name;
        EXPECT_TRUE(isClose(r.low, row.number("ratio_low"), {.relative = 1e-9})) << name;
        EXPECT_TRUE(isClose(r.high, row.number("ratio_high"), {.relative = 1e-9})) << name;
        if (r.set != FiellerSet::none) {
            EXPECT_TRUE(isClose(r.deltaSe, row.number("delta_se"), {.relative = 1e-9})) << name;
        }
        bounded += r.set == FiellerSet::bounded ? 1 : 0;
    }
    EXPECT_GT(bounded, 180);
}

// 60 sets whose comparator may lie near 0: all three kinds of set.
TEST(RatioOfMeansAgainstR, ComparatorNearZero) {
    std::map<std::string, RobustCase> cases;
    for (const ReferenceRow& row : test::readReference("ratio_cases.csv")) {
        cases[row.text("case")].food.push_back(row.number("food").value());
        cases[row.text("case")].comparator.push_back(row.number("comparator").value());
    }
    std::map<std::string, int> kinds;
    for (const ReferenceRow& row : test::readReference("ratio_expected.csv")) {
        const std::string name = row.text("case");
        const RobustCase& one = cases.at(name);
        const RatioOfMeans r = ratioOfMeans(one.food, one.comparator, alpha);
        EXPECT_EQ(nameOf(r.set), row.text("set")) << name;
        EXPECT_TRUE(isClose(r.ratio, row.number("ratio"), {.relative = 1e-10})) << name;
        EXPECT_TRUE(isClose(r.deltaSe, row.number("delta_se"), {.relative = 1e-10})) << name;
        EXPECT_TRUE(isClose(r.g, row.number("g"), {.relative = 1e-10})) << name;
        EXPECT_TRUE(isClose(r.low, row.number("low"), {.absolute = 1e-10, .relative = 1e-9})) << name;
        EXPECT_TRUE(isClose(r.high, row.number("high"), {.absolute = 1e-10, .relative = 1e-9})) << name;
        ++kinds[nameOf(r.set)];
    }
    EXPECT_EQ(kinds, (std::map<std::string, int>{{"bounded", 30}, {"outside", 20}, {"wholeLine", 10}}));
}

TEST_F(RobustAgainstR, Equivalence) {
    std::map<EquivalenceVerdict, int> verdicts;
    for (const ReferenceRow& row : expected_) {
        const std::string name = row.text("case");
        const RobustCase& one = cases_.at(name);
        const double margin = row.number("margin").value();
        const Equivalence d =
            equivalence(MarginScale::meanDifference, one.food, one.comparator, {-margin, margin}, alpha);
        EXPECT_TRUE(isClose(d.pLow, row.number("difference_p_low"), {.relative = 1e-9})) << name;
        EXPECT_TRUE(isClose(d.pHigh, row.number("difference_p_high"), {.relative = 1e-9})) << name;
        EXPECT_TRUE(isClose(d.ciLow, row.number("difference_ci_low"), {.absolute = 1e-12, .relative = 1e-9}))
            << name;
        const Equivalence g =
            equivalence(MarginScale::geometricMeanRatio, one.food, one.comparator, {0.8, 1.25}, alpha);
        EXPECT_TRUE(isClose(g.pLow, row.number("geometric_p_low"), {.relative = 1e-9})) << name;
        EXPECT_TRUE(isClose(g.pHigh, row.number("geometric_p_high"), {.relative = 1e-9})) << name;
        const Equivalence m =
            equivalence(MarginScale::ratioOfMeans, one.food, one.comparator, {0.8, 1.25}, alpha);
        EXPECT_TRUE(isClose(m.pLow, row.number("means_p_low"), {.relative = 1e-9})) << name;
        EXPECT_TRUE(isClose(m.pHigh, row.number("means_p_high"), {.relative = 1e-9})) << name;
        for (const auto* r : {&d, &g, &m}) {
            ++verdicts[r->verdict];
        }
        for (const auto* r : {&g, &m}) {
            if (r->ciLow) {
                EXPECT_EQ(r->verdict == EquivalenceVerdict::equivalent, *r->ciLow > 0.8 && *r->ciHigh < 1.25)
                    << name;
                EXPECT_EQ(r->verdict == EquivalenceVerdict::outside, *r->ciHigh < 0.8 || *r->ciLow > 1.25)
                    << name;
            }
        }
        if (d.ciLow) {
            EXPECT_EQ(d.verdict == EquivalenceVerdict::equivalent, *d.ciLow > -margin && *d.ciHigh < margin)
                << name;
            EXPECT_EQ(d.verdict == EquivalenceVerdict::outside, *d.ciHigh < -margin || *d.ciLow > margin)
                << name;
        }
    }
    EXPECT_GT(verdicts[EquivalenceVerdict::equivalent], 50);
    EXPECT_GT(verdicts[EquivalenceVerdict::notShown], 50);
    EXPECT_GT(verdicts[EquivalenceVerdict::outside], 5);
}

TEST_F(RobustAgainstR, InfluenceAndQuantiles) {
    std::map<std::string, Influence> found;
    std::map<std::string, NormalQuantiles> quantiles;
    int compared = 0;
    for (const ReferenceRow& row : test::readReference("robust_influence.csv")) {
        const std::string name = row.text("case");
        if (found.find(name) == found.end()) {
            found[name] = influence(cases_.at(name).differences(), alpha);
            quantiles[name] = normalQuantiles(cases_.at(name).differences().value);
        }
        const auto i = static_cast<std::size_t>(row.number("pair").value()) - 1;
        const LeftOutSubject& r = found[name].subjects.at(i);
        EXPECT_TRUE(isClose(r.meanDifference, row.number("mean"), {.absolute = 1e-12, .relative = 1e-9}))
            << name;
        EXPECT_TRUE(isClose(r.ciLow, row.number("low"), {.absolute = 1e-12, .relative = 1e-9})) << name;
        EXPECT_TRUE(isClose(r.ciHigh, row.number("high"), {.absolute = 1e-12, .relative = 1e-9})) << name;
        EXPECT_TRUE(isClose(r.p, row.number("p"), {.relative = 1e-9})) << name;
        EXPECT_TRUE(isClose(r.studentised, row.number("studentised"), {.absolute = 1e-10, .relative = 1e-8}))
            << name << ' ' << i;
        EXPECT_TRUE(isClose(quantiles[name].points.at(i).normal, row.number("z").value(),
                            {.absolute = 1e-14, .relative = 1e-11}))
            << name;
        ++compared;
    }
    EXPECT_GT(compared, 1000);
    for (const ReferenceRow& row : expected_) {
        const NormalQuantiles r = normalQuantiles(cases_.at(row.text("case")).differences().value);
        EXPECT_TRUE(isClose(r.slope, row.number("line_slope"), {.absolute = 1e-13, .relative = 1e-10}));
        EXPECT_TRUE(
            isClose(r.intercept, row.number("line_intercept"), {.absolute = 1e-12, .relative = 1e-10}));
    }
}

}  // namespace
}  // namespace aftercurve
