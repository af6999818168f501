#include "core/compare/differences.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <vector>

namespace aftercurve {
namespace {

TEST(Differences, FoodMinusComparatorUnaltered) {
    const Differences d = pairedDifferences(std::vector{0.3, 5.0}, std::vector{0.2, -200.0});
    EXPECT_THAT(d.value, testing::ElementsAre(0.3 - 0.2, 205.0));
    EXPECT_EQ(d.resolution, 1e-11 * 200.0) << "of the values, not of their differences";
}

TEST(Differences, GivenAsSuch) {
    const Differences d = asDifferences(std::vector{1.0, -4.0});
    EXPECT_THAT(d.value, testing::ElementsAre(1.0, -4.0));
    EXPECT_EQ(d.resolution, 1e-11 * 4.0);
}

TEST(Differences, EqualWithinTheResolution) {
    EXPECT_TRUE(allEqual(asDifferences(std::vector<double>{})));
    EXPECT_TRUE(allEqual(asDifferences(std::vector{3.0})));
    EXPECT_NE(0.3 - 0.2, 0.2 - 0.1);
    EXPECT_TRUE(allEqual(pairedDifferences(std::vector{0.3, 0.2}, std::vector{0.2, 0.1})));
    EXPECT_FALSE(allEqual(pairedDifferences(std::vector{0.3, 0.2}, std::vector{0.2, 0.1001})));
    EXPECT_TRUE(allEqual({{1.0, 1.5}, 0.5}));
    EXPECT_FALSE(allEqual({{1.0, 1.5}, 0.49}));
}

TEST(Differences, NothingIsTiedAcrossTheWholeRangeByUnderflow) {
    EXPECT_FALSE(allEqual(asDifferences(std::vector{1e-300, 2e-300})));
    EXPECT_FALSE(allEqual(asDifferences(std::vector{1e300, -1e300})));
}

}  // namespace
}  // namespace aftercurve
