#include "core/bundle/results_comparison.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aftercurve {
namespace {

std::string results(const std::string& inside, const std::string& revision = "abc") {
    return R"({"format": "aftercurve-results", "version": 1, "software": {"version": "1", "revision": ")" +
           revision + "\"}" + inside + "}";
}

ResultsComparison compared(const std::string& was, const std::string& now,
                           const std::string& revision = "abc") {
    const auto comparison = compareResults(results(was), results(now, revision));
    EXPECT_TRUE(comparison.ok());
    return comparison.value();
}

TEST(ResultsComparison, TheSameIsTheSame) {
    const std::string text = R"(, "curves": [{"auc": 120.5, "n": 3, "why": null, "ok": true}])";
    const auto comparison = compared(text, text);
    EXPECT_TRUE(comparison.same());
    EXPECT_EQ(comparison.numbers, 3U);  // with "version"
    EXPECT_TRUE(comparison.listed.empty());
    EXPECT_FALSE(comparison.largest);
}

TEST(ResultsComparison, NamesTheLargestRelativeDifference) {
    // 1/100 and 1/4 by hand: |99 - 100| / 100, |3 - 4| / 4.
    const auto comparison =
        compared(R"(, "a": [{"x": 100, "y": 5}, {"x": 4.0}])", R"(, "a": [{"x": 99, "y": 5}, {"x": 3.0}])");
    EXPECT_FALSE(comparison.same());
    EXPECT_EQ(comparison.differingNumbers, 2U);
    ASSERT_TRUE(comparison.largest);
    EXPECT_EQ(comparison.largest->where, "a[1].x");
    EXPECT_DOUBLE_EQ(*comparison.largest->relative, 0.25);
    ASSERT_EQ(comparison.listed.size(), 2U);
    EXPECT_EQ(comparison.listed[0].where, "a[0].x");
    EXPECT_DOUBLE_EQ(*comparison.listed[0].relative, 0.01);
}

TEST(ResultsComparison, OneUnitInTheLastPlaceIsADifference) {
    const auto comparison = compared(R"(, "x": 0.1)", R"(, "x": 0.10000000000000002)");
    EXPECT_EQ(comparison.differingNumbers, 1U);
    EXPECT_FALSE(comparison.same());
}

TEST(ResultsComparison, LargestNumbersDoNotOverflow) {
    const auto comparison =
        compared(R"(, "x": 1.7e308, "y": 1e-300, "z": 0)", R"(, "x": -1.7e308, "y": 2e-300, "z": 1e-300)");
    EXPECT_EQ(comparison.differingNumbers, 3U);
    EXPECT_DOUBLE_EQ(*comparison.largest->relative, 2.0);
}

TEST(ResultsComparison, ANumberThatIsThereOnOneSideOnlyCountsWithOtherSoftwareToo) {
    EXPECT_FALSE(compared(R"(, "x": null)", R"(, "x": 1)", "def").same());
    EXPECT_FALSE(compared(R"(, "x": 1)", R"(, "x": null)", "def").same());
    EXPECT_FALSE(compared(R"(, "x": 1)", R"(, "y": 1)", "def").same());
    EXPECT_FALSE(compared(R"(, "x": [1, 2])", R"(, "x": [1])", "def").same());
}

TEST(ResultsComparison, TellsSoftwareApartFromNumbers) {
    const auto comparison = compared(R"(, "x": 1, "t": "old")", R"(, "x": 1, "t": "new", "y": 3)", "def");
    EXPECT_FALSE(comparison.sameSoftware());
    EXPECT_EQ(comparison.softwareNow.revision, "def");
    EXPECT_EQ(comparison.texts, 1U);
    EXPECT_EQ(comparison.added, 1U);
    EXPECT_TRUE(comparison.same());
    EXPECT_FALSE(compared(R"(, "t": "old")", R"(, "t": "new")").same());
    EXPECT_FALSE(compared("", R"(, "y": 3)").same());
}

TEST(ResultsComparison, ProblemsAreTexts) {
    const auto comparison =
        compared(R"(, "problems": [{"visit": 1}])", R"(, "problems": [{"visit": 2}, {"visit": 1}])", "def");
    EXPECT_EQ(comparison.differingNumbers, 0U);
    EXPECT_EQ(comparison.texts, 2U);
    EXPECT_TRUE(comparison.same());
}

TEST(ResultsComparison, RefusesWhatAreNoResults) {
    EXPECT_FALSE(compareResults("", results("")).ok());
    EXPECT_THAT(compareResults(std::string(mostResultsBytes + 1, ' '), "").problem().what,
                testing::HasSubstr("256 MiB"));
    EXPECT_FALSE(compareResults("[]", results("")).ok());
    EXPECT_FALSE(compareResults("{}", results("")).ok());
    EXPECT_FALSE(compareResults(results(R"(, "x": 1e999)"), results("")).ok());
    EXPECT_FALSE(
        compareResults(results(", \"x\": " + std::string(100, '[') + std::string(100, ']')), results(""))
            .ok());
    EXPECT_TRUE(compareResults(R"({"format": "aftercurve-results"})", results("")).ok());
}

TEST(ResultsComparison, ListsNoMoreThanItMay) {
    std::string was = ", \"x\": [0";
    std::string now = ", \"x\": [1";
    for (int i = 0; i < 500; ++i) {
        was += ",0";
        now += ",1";
    }
    const auto comparison = compared(was + "]", now + "]");
    EXPECT_EQ(comparison.differingNumbers, 501U);
    EXPECT_EQ(comparison.listed.size(), mostListedDifferences);
}

}  // namespace
}  // namespace aftercurve
