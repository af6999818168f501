#include "core/base/number_text.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

namespace aftercurve {

TEST(NumberText, PlainNumberReadsBackAsTheSameDouble) {
    std::mt19937_64 random{20};
    std::uniform_real_distribution<double> exponent{-300.0, 300.0};
    for (int i = 0; i < 2000; ++i) {
        const double value = std::pow(10.0, exponent(random)) * (i % 2 == 0 ? 1.0 : -1.0);
        EXPECT_EQ(std::stod(plainNumber(value)), value);
    }
    EXPECT_EQ(plainNumber(120.0), "120");
    EXPECT_EQ(plainNumber(0.1), "0.1");
}

TEST(NumberText, ConfidenceHidesTheRoundingOfOneMinusAlpha) {
    EXPECT_EQ(confidencePercent(0.05), "95");
    EXPECT_EQ(confidencePercent(0.058), "94.2");
    EXPECT_EQ(confidencePercent(0.001), "99.9");
    EXPECT_EQ(confidencePercent(0.5), "50");
}

TEST(NumberText, FixedNumberHasNoNegativeZero) {
    EXPECT_EQ(fixedNumber(-0.001, 2), "0.00");
    EXPECT_EQ(fixedNumber(-0.006, 2), "-0.01");
    EXPECT_EQ(fixedNumber(2.5, 0), "2");  // to even, as IEEE 754 rounds exact ties
    EXPECT_EQ(fixedNumber(1e300, 1).size(), 303U);
}

}  // namespace aftercurve
