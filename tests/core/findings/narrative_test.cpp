#include "core/findings/narrative.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/findings/analyse.h"
#include "tests/support/study_builder.h"

namespace aftercurve {

using testing::AllOf;
using testing::HasSubstr;
using testing::Not;

namespace {

struct Analysed {
    Study study;
    Findings findings;
};

/// Rises of oats minus those of bread are the differences given; areas are 30 times as large.
Analysed withDifferences(const std::vector<double>& differences) {
    test::StudyBuilder builder;
    builder.food("bread", FoodRole::control).food("oats", FoodRole::test).analyte("glucose", "mmol/L");
    int number = 1;
    for (const double d : differences) {
        const std::string subject = std::to_string(number++);
        builder.curve(subject, "bread", 1, {0, 30, 60, 120}, {5, 8, 5, 5});
        builder.curve(subject, "oats", 1, {0, 30, 60, 120}, {5, 8 + d, 5, 5});
    }
    builder.study().plan.index = false;
    auto findings = analyse(builder.study(), builder.study().plan);
    return {builder.study(), std::move(findings).value()};
}

std::string sentence(const Analysed& a) {
    return comparisonSentence(a.study, a.findings.plan, a.findings.comparisons.at(0));
}

}  // namespace

TEST(Narrative, AClearDifferenceIsToldWithDirectionIntervalAndTest) {
    // Differences in area −30, −33, −27, −31.5, −28.5: mean −30, SD √5.625, SEM 1.06066; t(0.975, 4)
    // = 2.776445.
    EXPECT_EQ(
        sentence(withDifferences({-1, -1.1, -0.9, -1.05, -0.95})),
        "Mean glucose incremental area was lower after Label of oats than after Label of bread: difference "
        "−30.00 mmol/L × min (95 % CI −32.94 to −27.06; paired t(4) = −28.28, p < 0.001; n = 5).");
}

TEST(Narrative, ALargePIsNeverToldAsNoDifference) {
    const std::string text = sentence(withDifferences({-1, 1.2, -0.4, 0.3}));
    EXPECT_THAT(
        text, AllOf(HasSubstr("does not tell the foods apart"), HasSubstr("not evidence that they are alike"),
                    Not(HasSubstr("no difference")), Not(HasSubstr("equivalent"))));
}

TEST(Narrative, WithoutATestItSaysWhy) {
    EXPECT_THAT(sentence(withDifferences({-1})), HasSubstr("it could not be tested"));
    EXPECT_THAT(sentence(withDifferences({})), HasSubstr("No subject has a value"));
}

TEST(Narrative, PIsPrintedAsJournalsWant) {
    EXPECT_EQ(pText(0.00001), "p < 0.001");
    EXPECT_EQ(pText(0.0123), "p = 0.012");
    EXPECT_EQ(pText(0.9999), "p > 0.999");
    EXPECT_EQ(pText(0.0496), "p = 0.050");
}

TEST(Narrative, MethodsSayWhatRan) {
    const Analysed a = withDifferences({-1, -1.1});
    EXPECT_THAT(methodsParagraph(a.study, a.findings),
                AllOf(HasSubstr("from 0 to 120 min"), HasSubstr("paired t test"), HasSubstr("Holm"),
                      HasSubstr("Of 4 curves, 0 were excluded"), Not(HasSubstr("index"))));
}

}  // namespace aftercurve
