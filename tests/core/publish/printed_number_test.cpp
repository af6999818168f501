#include "core/publish/printed_number.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "core/publish/clean_text.h"
#include "tests/core/publish/published_tables.h"

namespace aftercurve {

namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();

}  // namespace

TEST(PrintedP, IsExactToThreeDecimalsAndNeverZeroOrOne) {
    EXPECT_EQ(printedP(0.0), "< 0.001");
    EXPECT_EQ(printedP(1e-300), "< 0.001");
    EXPECT_EQ(printedP(0.00099999), "< 0.001");
    EXPECT_EQ(printedP(0.001), "0.001");
    EXPECT_EQ(printedP(0.0412), "0.041");
    EXPECT_EQ(printedP(0.999), "0.999");
    EXPECT_EQ(printedP(0.9991), "> 0.999");
    EXPECT_EQ(printedP(1.0), "> 0.999");
    EXPECT_EQ(printedP(std::nan("")), "not finite");
}

TEST(PrintedNumber, HasTheDecimalsOfItsColumnAndARealMinus) {
    EXPECT_EQ(printedNumber(-3.14159, {2, false}), "\u22123.14");
    EXPECT_EQ(printedNumber(0.0, {2, false}), "0.00");
    EXPECT_EQ(printedNumber(-0.0, {1, false}), "0.0");
    EXPECT_EQ(printedNumber(12.0, {0, false}), "12");
}

TEST(PrintedNumber, ShowsTwoDigitsOfWhatItsDecimalsWouldHide) {
    // 0.00123 has its first digit in the third place, so two digits need four decimals.
    EXPECT_EQ(printedNumber(0.00123, {2, false}), "0.0012");
    EXPECT_EQ(printedNumber(0.0567, {2, false}), "0.06");
    // With an interval in the row, the interval says how precise it is.
    EXPECT_EQ(printedNumber(-0.00123, {2, true}), "0.00");
}

TEST(PrintedNumber, WritesVerySmallAndVeryLargeOnesAsPowers) {
    EXPECT_EQ(printedNumber(1.25e-7, {2, false}), "1.2 × 10⁻⁷");
    EXPECT_EQ(printedNumber(-4e300, {2, false}), "\u22124.0 × 10³⁰⁰");
    EXPECT_EQ(printedNumber(1e9, {2, true}), "1.0 × 10⁹");
    EXPECT_EQ(printedNumber(999999999.0, {0, false}), "999999999");
    EXPECT_EQ(printedNumber(infinite, {2, false}), "not finite");
    EXPECT_EQ(printedNumber(-infinite, {2, false}), "not finite");
}

TEST(DecimalsForWidth, ShowTwoSignificantDigitsOfTheWidth) {
    EXPECT_EQ(decimalsForWidth(34.0, 0), 0);
    EXPECT_EQ(decimalsForWidth(3.4, 0), 1);
    EXPECT_EQ(decimalsForWidth(0.34, 1), 2);
    EXPECT_EQ(decimalsForWidth(0.034, 1), 3);
    EXPECT_EQ(decimalsForWidth(0.1, 0), 2);
    EXPECT_EQ(decimalsForWidth(300.0, 2), 2);
    EXPECT_EQ(decimalsForWidth(-0.034, 0), 3);
    EXPECT_EQ(decimalsForWidth(1e-300, 2), 12);
    EXPECT_EQ(decimalsForWidth(0.0, 2), 2);
    EXPECT_EQ(decimalsForWidth(infinite, 2), 2);
}

TEST(PrintedDecimals, AnIntervalRaisesItsBoundsAndItsEstimateRowByRow) {
    const auto decimals = printedDecimals(test::porridgeTable());
    // Widths 52.5, 0.0134 and none: one, three and one decimal.
    EXPECT_EQ(decimals[0][2], (PrintedDecimals{1, true}));
    EXPECT_EQ(decimals[1][2], (PrintedDecimals{3, true}));
    EXPECT_EQ(decimals[1][3], (PrintedDecimals{3, true}));
    EXPECT_EQ(decimals[1][4], (PrintedDecimals{3, true}));
    EXPECT_EQ(decimals[1][6], (PrintedDecimals{1, false}));
    EXPECT_EQ(decimals[2][2], (PrintedDecimals{1, false}));
}

TEST(PrintedDecimals, FindTheEstimateByItsKeyThenByTheInputsThenToTheLeft) {
    Table table;
    const auto number = [](const char* key, const char* title, int decimals,
                           std::vector<std::string> inputs = {}) {
        return Column{key, title, "", ColumnKind::number, decimals, "", std::move(inputs)};
    };
    table.columns = {number("ratio", "Ratio", 1),
                     number("other", "Other", 1),
                     number("ratio_ci_low", "Ratio from", 1, {"other"}),
                     number("ratio_ci_high", "Ratio to", 1, {"other"}),
                     number("t_low", "t, low margin", 1),
                     number("t_high", "t, high margin", 1)};
    table.rows = {test::rowOf({1.0, 1.0, 0.99, 1.01, 5.0, 5.001})};
    auto decimals = printedDecimals(table);
    EXPECT_EQ(decimals[0][0].decimals, 3);
    EXPECT_EQ(decimals[0][1].decimals, 1);
    // Two t values are no interval.
    EXPECT_EQ(decimals[0][4], (PrintedDecimals{1, false}));

    table.columns = {number("df", "df", 0), number("mean", "Mean", 2), number("sem", "SEM", 2),
                     number("ci_low", "from", 2), number("ci_high", "to", 2)};
    table.rows = {test::rowOf({9.0, 1.0, 0.001, 0.998, 1.002})};
    decimals = printedDecimals(table);
    EXPECT_EQ(decimals[0][0].decimals, 0);
    EXPECT_EQ(decimals[0][1].decimals, 4);
    EXPECT_EQ(decimals[0][2].decimals, 4);
}

TEST(CleanText, KeepsLettersAndShowsWhatCannotBeCarried) {
    EXPECT_EQ(cleanText("Süß – 10 µg"), "Süß – 10 µg");
    EXPECT_EQ(cleanText("a\r\nb\nc\td"), "a b c d");
    EXPECT_EQ(cleanText("a\r\nb\tc", LineBreaks::kept), "a\nb\tc");
    EXPECT_EQ(cleanText(std::string_view{"a\0b\x1b", 4}), "a\uFFFDb\uFFFD");
    EXPECT_EQ(cleanText("x\u202Ey\u2066z\uFFFE"), "x\uFFFDy\uFFFDz\uFFFD");
    EXPECT_EQ(cleanText("\xff\xc3(\xc3"), "\uFFFD\uFFFD(\uFFFD");
    EXPECT_EQ(lettersIn("Süß"), 3U);
}

}  // namespace aftercurve
