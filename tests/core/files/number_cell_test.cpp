#include "core/files/number_cell.h"

#include <gtest/gtest.h>

#include <cstdlib>
#include <random>
#include <string>

namespace aftercurve {
namespace {

TEST(NumberCell, IsTheNearestDoubleOfWhatIsWritten) {
    std::mt19937_64 random{20260302};
    for (int i = 0; i < 200'000; ++i) {
        std::string text = std::to_string(random() % 1'000'000'000);
        text.resize(1 + random() % text.size());
        const std::size_t decimals = random() % 14;
        if (decimals > 0) {
            text += '.';
        }
        for (std::size_t d = 0; d < decimals; ++d) {
            text += static_cast<char>('0' + random() % 10);
        }
        const NumberCell cell = readNumber(text);
        ASSERT_EQ(cell.kind, NumberKind::value) << text;
        // The C library's conversion is correctly rounded (glibc manual, Parsing of Floats).
        ASSERT_EQ(cell.value, std::strtod(text.c_str(), nullptr)) << text;
    }
}

TEST(NumberCell, AllWaysOfWritingANumberAreRead) {
    for (const char* text :
         {"5.25", " 5.25\t", "+5.25", "525e-2", "0.0525E2", "05.25", "5.250", "5.2500000000000000000000"}) {
        EXPECT_EQ(readNumber(text).kind, NumberKind::value) << text;
        EXPECT_EQ(readNumber(text).value, 5.25) << text;
    }
    EXPECT_EQ(readNumber("-5.25").value, -5.25);
    EXPECT_EQ(readNumber(".5").value, 0.5);
    EXPECT_EQ(readNumber("5.").value, 5.0);
    EXPECT_EQ(readNumber("1e-400").value, 0.0);
    EXPECT_EQ(readNumber("1e9").value, 1e9);
    EXPECT_EQ(readNumber("1000000001").kind, NumberKind::tooLarge);
    EXPECT_EQ(readNumber("9999999999999999").kind, NumberKind::tooLarge);
    EXPECT_EQ(readNumber("0000000000000001").value, 1.0);
}

TEST(NumberCell, WhatIsNotOneNumberIsNotRead) {
    for (const char* text : {"1.2.3", "1..2", "..", "-", "+", "--1", "1-", "1e", "e5", "1 2", "5,", "0x10",
                             "1_000", "5.4\n", "٥"}) {
        const NumberKind kind = readNumber(text).kind;
        EXPECT_NE(kind, NumberKind::value) << text;
        EXPECT_NE(kind, NumberKind::missing) << text;
    }
    EXPECT_EQ(readNumber("5,4").kind, NumberKind::decimalComma);
    EXPECT_EQ(readNumber(",5").kind, NumberKind::decimalComma);
    EXPECT_EQ(readNumber(",").kind, NumberKind::text);
    EXPECT_EQ(readNumber("<0.5").kind, NumberKind::belowLimit);
    EXPECT_EQ(readNumber("< 0.5 ").value, 0.5);
    EXPECT_EQ(readNumber("<-0.5").kind, NumberKind::beyondLimit);
    EXPECT_EQ(readNumber("<").kind, NumberKind::beyondLimit);
    EXPECT_EQ(readNumber("-nan").kind, NumberKind::notFinite);
    EXPECT_EQ(readNumber("-1e999").kind, NumberKind::tooLarge);
    EXPECT_EQ(readNumber("").kind, NumberKind::missing);
    EXPECT_EQ(readNumber(" NA ").kind, NumberKind::missing);
    EXPECT_EQ(readNumber("Na").kind, NumberKind::text);
}

}  // namespace
}  // namespace aftercurve
