#include "core/compare/scaled.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

namespace aftercurve {
namespace {

TEST(Scaled, LargestComesToHalfOrMoreAndBackExactly) {
    for (const double unit : {5e-324, 1e-300, 1.0, 1e300}) {
        const std::vector<double> x = {-3.0 * unit, 1.0 * unit, 0.0};
        const auto scaled = scaledNearOne(x);
        ASSERT_TRUE(scaled);
        EXPECT_GE(std::abs(scaled->value[0]), 0.5);
        EXPECT_LT(std::abs(scaled->value[0]), 1.0);
        for (std::size_t i = 0; i < x.size(); ++i) {
            EXPECT_EQ(scaledBack(scaled->value[i], scaled->exponent), x[i]);
        }
    }
}

TEST(Scaled, NothingAndZerosStay) {
    EXPECT_TRUE(scaledNearOne(std::vector<double>{})->value.empty());
    EXPECT_EQ(scaledNearOne(std::vector<double>{0.0, 0.0})->value, (std::vector<double>{0.0, 0.0}));
}

TEST(Scaled, NotFiniteIsRefused) {
    EXPECT_FALSE(scaledNearOne(std::vector<double>{1.0, std::numeric_limits<double>::quiet_NaN()}));
    EXPECT_FALSE(scaledNearOne(std::vector<double>{1.0, -std::numeric_limits<double>::infinity()}));
    EXPECT_FALSE(scaledBack(0.75, 1025));
}

}  // namespace
}  // namespace aftercurve
