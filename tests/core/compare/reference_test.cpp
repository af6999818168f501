// The comparisons against R on 200 sets of pairs: tests/reference/compare.R, R 4.2.2. The reference holds 13
// significant digits; compared to 10 or more, with an absolute share where a value can cancel to near 0.
#include <gtest/gtest.h>

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "core/compare/effect_size.h"
#include "core/compare/hodges_lehmann.h"
#include "core/compare/holm.h"
#include "core/compare/paired_t.h"
#include "core/compare/shapiro_wilk.h"
#include "core/compare/signed_rank.h"
#include "tests/support/close.h"
#include "tests/support/reference_csv.h"

namespace aftercurve {
namespace {

using test::isClose;
using test::ReferenceRow;
using test::Tolerance;

constexpr double alpha = 0.05;

struct Case {
    std::string name;
    Differences differences;
    ReferenceRow expected;
};

std::vector<Case> readCases() {
    struct Pairs {
        std::vector<double> food;
        std::vector<double> comparator;
    };
    std::map<std::string, Pairs> pairs;
    for (const ReferenceRow& row : test::readReference("compare_cases.csv")) {
        Pairs& p = pairs[row.text("case")];
        p.food.push_back(row.number("food").value());
        p.comparator.push_back(row.number("comparator").value());
    }
    std::vector<Case> cases;
    for (const ReferenceRow& row : test::readReference("compare_expected.csv")) {
        const Pairs& p = pairs.at(row.text("case"));
        cases.push_back({"case " + row.text("case"), pairedDifferences(p.food, p.comparator), row});
    }
    return cases;
}

class AgainstR : public testing::Test {
  protected:
    const std::vector<Case> cases_ = readCases();

    void SetUp() override { ASSERT_EQ(cases_.size(), 200U); }

    /// Absolute share in the unit of the differences.
    static Tolerance toSpread(const Case& c) {
        return {.absolute = 1e-12 * c.expected.number("sd").value(), .relative = 1e-11};
    }
};

TEST_F(AgainstR, PairedT) {
    for (const Case& c : cases_) {
        const PairedT r = pairedT(c.differences, alpha);
        EXPECT_EQ(static_cast<double>(r.n), c.expected.number("n")) << c.name;
        EXPECT_TRUE(isClose(r.meanDifference, c.expected.number("mean"), toSpread(c))) << c.name;
        EXPECT_TRUE(isClose(r.sdDifference, c.expected.number("sd"), {.relative = 1e-11})) << c.name;
        EXPECT_TRUE(isClose(r.t, c.expected.number("t"), {.absolute = 1e-12, .relative = 1e-11})) << c.name;
        EXPECT_EQ(r.df, c.expected.number("df")) << c.name;
        EXPECT_TRUE(isClose(r.p, c.expected.number("p"), {.relative = 1e-10})) << c.name;
        EXPECT_TRUE(isClose(r.ciLow, c.expected.number("ci_low"), toSpread(c))) << c.name;
        EXPECT_TRUE(isClose(r.ciHigh, c.expected.number("ci_high"), toSpread(c))) << c.name;
    }
}

TEST_F(AgainstR, SignedRank) {
    std::map<std::string, int> methods;
    for (const Case& c : cases_) {
        const SignedRank r = signedRank(c.differences);
        EXPECT_EQ(static_cast<double>(r.nonZero), c.expected.number("nonzero")) << c.name;
        EXPECT_EQ(static_cast<double>(r.zeros), c.expected.number("zeros")) << c.name;
        EXPECT_EQ(r.v, c.expected.number("v")) << c.name;
        EXPECT_TRUE(isClose(r.p, c.expected.number("v_p"), {.relative = 1e-11})) << c.name;
        EXPECT_EQ(r.method, c.expected.text("v_method")) << c.name;
        ++methods[r.method];
    }
    EXPECT_GT(methods["exact"], 100);
    EXPECT_GT(methods["normal-continuity"], 5);
}

TEST_F(AgainstR, HodgesLehmann) {
    for (const Case& c : cases_) {
        const HodgesLehmann r = hodgesLehmann(c.differences, alpha);
        EXPECT_TRUE(isClose(r.estimate, c.expected.number("hl"), toSpread(c))) << c.name;
        EXPECT_TRUE(isClose(r.ciLow, c.expected.number("hl_low"), toSpread(c))) << c.name;
        EXPECT_TRUE(isClose(r.ciHigh, c.expected.number("hl_high"), toSpread(c))) << c.name;
        EXPECT_TRUE(isClose(r.achievedConfidence, c.expected.number("hl_achieved"), {.relative = 1e-12}))
            << c.name;
    }
}

TEST_F(AgainstR, ShapiroWilk) {
    for (const Case& c : cases_) {
        const ShapiroWilk r = shapiroWilk(c.differences.value, c.differences.resolution);
        EXPECT_TRUE(isClose(r.w, c.expected.number("w"), {.relative = 1e-11})) << c.name;
        // Three equally spaced values have W = 1 and p = 1; R's asin(√W) turns the last bit of W into 4e-8.
        const bool steep = c.expected.number("n") == 3.0 && *r.w > 1.0 - 1e-14;
        EXPECT_TRUE(
            isClose(r.p, c.expected.number("w_p"), {.absolute = 1e-13, .relative = steep ? 1e-7 : 1e-9}))
            << c.name;
    }
}

TEST_F(AgainstR, EffectSize) {
    for (const Case& c : cases_) {
        const EffectSize r = effectSize(c.differences);
        EXPECT_TRUE(isClose(r.dz, c.expected.number("dz"), {.absolute = 1e-12, .relative = 1e-11})) << c.name;
        EXPECT_TRUE(isClose(r.gz, c.expected.number("gz"), {.absolute = 1e-12, .relative = 1e-11})) << c.name;
    }
}

TEST_F(AgainstR, HolmWithinFamilies) {
    std::map<std::string, std::vector<const Case*>> families;
    for (const Case& c : cases_) {
        families[c.expected.text("family")].push_back(&c);
    }
    EXPECT_GT(families.size(), 20U);
    for (const auto& [name, members] : families) {
        std::vector<std::optional<double>> p;
        for (const Case* c : members) {
            p.push_back(pairedT(c->differences, alpha).p);
        }
        const auto adjusted = holmAdjusted(p);
        for (std::size_t i = 0; i < members.size(); ++i) {
            EXPECT_TRUE(isClose(adjusted[i], members[i]->expected.number("p_holm"), {.relative = 1e-10}))
                << members[i]->name;
        }
    }
}

}  // namespace
}  // namespace aftercurve
