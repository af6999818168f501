#include "ui/figures/figure_text.h"

#include <gtest/gtest.h>

#include <QFontMetricsF>
#include <array>

#include "ui/figures/plot_elements.h"
#include "ui/figures/plot_frame.h"

namespace aftercurve {
namespace {

TEST(FigureText, WritesNumbersWithARealMinusAndNoNegativeZero) {
    EXPECT_EQ(numberText(-1.25, 1), QStringLiteral("−1.2"));
    EXPECT_EQ(numberText(-0.04, 1), QStringLiteral("0.0"));
    EXPECT_EQ(numberText(1234.5, 0), QStringLiteral("1234"));
}

TEST(FigureText, SuitsDecimalsToTheSize) {
    EXPECT_EQ(decimalsFor(std::array{0.123}), 3);
    EXPECT_EQ(decimalsFor(std::array{-1.5, 0.2}), 2);
    EXPECT_EQ(decimalsFor(std::array{-41.3, 8.0}), 1);
    EXPECT_EQ(decimalsFor(std::array{2500.0}), 0);
}

TEST(FigureText, NamesTheConfidenceOfThePlan) {
    EXPECT_EQ(confidenceText(0.05), QStringLiteral("95 %"));
    EXPECT_EQ(confidenceText(0.1), QStringLiteral("90 %"));
    EXPECT_EQ(confidenceText(0.025), QStringLiteral("97.5 %"));
}

TEST(FigureText, CutsAndCleansLabels) {
    EXPECT_EQ(plainLabel("a\x01\nb"), QStringLiteral("a b"));
    EXPECT_EQ(plainLabel(std::string(200, 'x')).size(), 60);
    EXPECT_EQ(analyteName("c-peptide"), QStringLiteral("C-peptide"));
}

TEST(Sideways, KeepsDotsApartAndIsRepeatable) {
    const std::vector<double> values{5.0, 1.0, 5.0, 9.0, 5.0};
    const auto offsets = sideways(values, 0.5);
    EXPECT_EQ(offsets, sideways(values, 0.5));
    EXPECT_EQ(offsets[1], 0.0);
    EXPECT_EQ(offsets[3], 0.0);
    EXPECT_NE(offsets[0], offsets[2]);
    EXPECT_NE(offsets[2], offsets[4]);
    for (const double offset : sideways(std::vector<double>(100, 2.0), 1.0)) {
        EXPECT_LE(std::abs(offset), 1.0);
    }
}

TEST(Span, GivesARangeForAnyData) {
    Span none;
    EXPECT_GT(none.padded(0.1, 0.1).size(), 0.0);
    Span one;
    one.take(5.0);
    one.take(std::nan(""));
    EXPECT_GT(one.padded(0.1, 0.1).size(), 0.0);
    EXPECT_TRUE(one.padded(0.1, 0.1).contains(5.0));
}

TEST(Wrapped, GoesLineByLineAndBreaksAfterHyphensWhereAWordIsTooWide) {
    const QFont font;
    const QFontMetricsF metrics(font);
    const double narrow = metrics.horizontalAdvance(QStringLiteral("Highest-")) + 1.0;
    EXPECT_EQ(wrapped(QStringLiteral("Highest-dosage crisp"), font, narrow).toStdString(),
              "Highest-\ndosage\ncrisp");
    EXPECT_EQ(wrapped(QStringLiteral("unhyphenatedword a"), font, narrow).toStdString(),
              "unhyphenatedword\na");
    const double wide = metrics.horizontalAdvance(QStringLiteral("one two")) + 1.0;
    EXPECT_EQ(wrapped(QStringLiteral("one two three\nfour"), font, wide).toStdString(),
              "one two\nthree\nfour");
    EXPECT_EQ(wrapped(QStringLiteral("a-b"), font, wide).toStdString(), "a-b");
}

}  // namespace
}  // namespace aftercurve
