#include "core/index/ratio_identity.h"

#include <gtest/gtest.h>

#include <limits>
#include <vector>

#include "tests/support/close.h"

namespace aftercurve {
namespace {

using test::isClose;

// By hand: ratios 1, 1/2, 1/4 of references 2, 4, 8: mean 7/12; means 2 and 14/3, ratio 3/7; difference
// −13/84.
TEST(RatioIdentity, ByHand) {
    const std::vector<double> test = {2.0, 2.0, 2.0};
    const std::vector<double> reference = {2.0, 4.0, 8.0};
    const RatioIdentity r = ratioIdentity(test, reference);
    EXPECT_EQ(r.n, 3U);
    EXPECT_TRUE(isClose(*r.meanOfRatios, 700.0 / 12.0, {.relative = 1e-15}));
    EXPECT_TRUE(isClose(*r.ratioOfMeans, 300.0 / 7.0, {.relative = 1e-15}));
    EXPECT_TRUE(isClose(*r.covarianceTerm, -1300.0 / 84.0, {.relative = 1e-14}));
}

TEST(RatioIdentity, HoldsAtAnyScale) {
    const std::vector<double> test = {31.0, 250.0, 77.0, 12.5, 190.0, -3.0};
    const std::vector<double> reference = {155.0, 210.0, 98.0, 60.0, 305.0, 44.0};
    for (const double up : {1e-300, 1e-5, 1.0, 1e5, 1e300}) {
        std::vector<double> t;
        std::vector<double> r;
        for (std::size_t i = 0; i < test.size(); ++i) {
            t.push_back(up * test[i]);
            r.push_back(up * reference[i]);
        }
        const RatioIdentity found = ratioIdentity(t, r);
        ASSERT_TRUE(found.covarianceTerm) << up;
        EXPECT_TRUE(
            isClose(*found.ratioOfMeans - *found.meanOfRatios, *found.covarianceTerm, {.absolute = 1e-11}))
            << up;
    }
}

TEST(RatioIdentity, OneSubjectHasNoTermToSpeakOf) {
    const std::vector<double> test = {30.0};
    const std::vector<double> reference = {60.0};
    const RatioIdentity r = ratioIdentity(test, reference);
    EXPECT_EQ(r.meanOfRatios, 50.0);
    EXPECT_EQ(r.ratioOfMeans, 50.0);
    EXPECT_EQ(r.covarianceTerm, 0.0);
}

TEST(RatioIdentity, HostileValuesAreAbsentWithTheReason) {
    const std::vector<double> test = {1.0, 2.0};
    const double infinite = std::numeric_limits<double>::infinity();
    for (const double bad : {0.0, -1.0, infinite, std::numeric_limits<double>::quiet_NaN()}) {
        const std::vector<double> reference = {1.0, bad};
        const RatioIdentity r = ratioIdentity(test, reference);
        EXPECT_FALSE(r.meanOfRatios || r.ratioOfMeans || r.covarianceTerm);
        EXPECT_FALSE(r.absentBecause.empty());
    }
    EXPECT_FALSE(ratioIdentity({}, {}).absentBecause.empty());
    const std::vector<double> large = {1e300};
    const std::vector<double> small = {1e-300};
    EXPECT_FALSE(ratioIdentity(large, small).meanOfRatios);
    EXPECT_FALSE(ratioIdentity(large, small).absentBecause.empty());
}

}  // namespace
}  // namespace aftercurve
