// What was done is said and nothing else. The wording of the sample studies stands in tests/data/words: their
// text with every number as "#", so that it is a golden file of wording alone.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <regex>
#include <sstream>

#include "core/files/study_folder.h"
#include "core/findings/analyse.h"
#include "core/findings/rounded_words.h"
#include "core/findings/sentence.h"
#include "tests/support/study_builder.h"

namespace aftercurve {

using testing::AllOf;
using testing::HasSubstr;
using testing::Not;

namespace {

std::string joined(const std::vector<Sentence>& sentences) {
    std::string text;
    for (const Sentence& sentence : sentences) {
        text += sentence.text + "\n";
    }
    return text;
}

std::string methodsOf(const Study& study) {
    auto findings = analyse(study, study.plan);
    EXPECT_TRUE(findings.ok());
    return joined(methodsSentences(study, findings.value()));
}

/// Two subjects with both foods.
Study small() {
    test::StudyBuilder builder;
    builder.food("bread", FoodRole::control).food("oats", FoodRole::test).analyte("glucose", "mmol/L");
    for (const char* subject : {"1", "2"}) {
        builder.curve(subject, "bread", 1, {0, 30, 60, 120}, {5, 8, 5, 5});
        builder.curve(subject, "oats", 1, {0, 30, 60, 120}, {5, subject[0] == '1' ? 7 : 6, 5, 5});
    }
    return builder.study();
}

std::string withoutNumbers(const std::string& text) {
    static const std::regex number{R"(\d+(\.\d+)?(e-?\d+)?)"};
    return std::regex_replace(text, number, "#");
}

/// Without the last sentence of the methods, which names version and revision.
std::string wordingOf(const std::string& sample) {
    auto reading = readStudyFolder(std::string{TEST_SOURCE_ROOT} + "/sample_studies/" + sample);
    EXPECT_TRUE(reading.study);
    auto findings = analyse(*reading.study, reading.study->plan);
    auto methods = methodsSentences(*reading.study, findings.value());
    EXPECT_THAT(methods.back().text, HasSubstr("Computed with Aftercurve"));
    methods.pop_back();
    return withoutNumbers(joined(methods) + "\n" +
                          joined(resultsSentences(*reading.study, findings.value())));
}

}  // namespace

TEST(MethodsSentences, SayWhatRan) {
    EXPECT_THAT(
        methodsOf(small()),
        AllOf(HasSubstr("In a crossover within subjects, 2 subjects were given 2 foods: Label of bread "
                        "(control) and Label of oats (test)."),
              HasSubstr("Blood was sampled at 0, 30, 60 and 120 min"),
              HasSubstr("Measured were glucose in a specimen that is not stated (mmol/L)."),
              HasSubstr("paired t test (hypothesis: the mean difference is 0; two-sided, level 0.05)"),
              HasSubstr("Whether the order of the foods was randomised is not stated."),
              HasSubstr("No plan was registered beforehand")));
}

TEST(MethodsSentences, SayNothingThatWasNotDone) {
    Study study = small();
    study.plan.resamples = 0;
    study.plan.multiplicity = Multiplicity::none;
    study.plan.inference.sensitivity = false;
    study.plan.inference.timeCourse = TimeCourseModel::none;
    EXPECT_THAT(methodsOf(study),
                AllOf(HasSubstr("p was not adjusted for several foods."), Not(HasSubstr("Bootstrap")),
                      Not(HasSubstr("time course")), Not(HasSubstr("other choices")), Not(HasSubstr("index")),
                      Not(HasSubstr("on record:")), Not(HasSubstr("margin")),
                      Not(HasSubstr("limit of quantification")), Not(HasSubstr("insulin"))));
}

TEST(MethodsSentences, NameEachExclusionWithItsReason) {
    Study study = small();
    Exclusion exclusion;
    exclusion.subject = "2";
    exclusion.food = "oats";
    exclusion.visit = 1;
    exclusion.reason = "ate <before> the visit & said so";
    exclusion.by = "physician";
    exclusion.on = "2026-03-02";
    study.exclusions = {exclusion};
    auto findings = analyse(study, study.plan);
    bool found = false;
    for (const Sentence& sentence : methodsSentences(study, findings.value())) {
        if (sentence.text.starts_with("1 exclusion was on record: ")) {
            found = true;
            EXPECT_EQ(
                sentence.text,
                "1 exclusion was on record: subject 2, Label of oats, visit 1 (ate <before> the visit & "
                "said so; by physician, 2026-03-02).");
            EXPECT_EQ(sentence.sources, (std::vector<SentenceSource>{{"exclusions", 0}}));
        }
    }
    EXPECT_TRUE(found);
}

TEST(MethodsSentences, NameTheRulesOfThePlan) {
    Study study = small();
    study.plan.baseline = BaselineRule::timeZero;
    study.plan.missingInterior = MissingInteriorRule::exclude;
    study.plan.multiplicity = Multiplicity::hochberg;
    study.plan.washoutDays = 1.0;
    study.plan.inference.margins.differenceLow = -20.0;
    study.plan.inference.margins.differenceHigh = 20.0;
    study.conduct.randomised = true;
    study.conduct.blinding = "the laboratory";
    study.belowLimit = {{0, 0, 2.0}};
    study.concentrations[0][0] = std::nullopt;
    study.plan.belowLimit = BelowLimitRule::limit;
    EXPECT_THAT(
        methodsOf(study),
        AllOf(HasSubstr("Baseline was the value at 0 min alone."),
              HasSubstr("Curves with a missing value inside the window were left out"),
              HasSubstr("by the method of Hochberg"),
              HasSubstr("At least 1 day was asked for between two visits of a subject."),
              HasSubstr("The order of the foods was randomised."), HasSubstr("Blinding: the laboratory."),
              HasSubstr("1 concentration below the limit of quantification counted as the limit."),
              HasSubstr("against margins of the plan, −20 to 20 mmol/L × min.")));
}

TEST(MethodsSentences, WithoutASampleThatIsSaid) {
    EXPECT_THAT(joined(methodsSentences(Study{}, Findings{})),
                HasSubstr("No sample of any subject is on record."));
}

TEST(MethodsSentences, WordingOfTheSampleStudies) {
    for (const char* sample : {"barley-index", "pulse-wafer-crossover"}) {
        std::ifstream file(std::string{TEST_DATA} + "/words/" + sample + ".txt");
        ASSERT_TRUE(file) << sample;
        std::stringstream golden;
        golden << file.rdbuf();
        EXPECT_EQ(wordingOf(sample), golden.str()) << sample;
    }
}

TEST(RoundedWords, NumbersHaveTheDigitsOfRunningText) {
    EXPECT_EQ(roundedText(-12.345), "−12.35");
    EXPECT_EQ(roundedText(123.44), "123.4");
    EXPECT_EQ(roundedText(0.0), "0.00");
    EXPECT_EQ(roundedText(-0.001), "−0.001");
    EXPECT_EQ(roundedText(0.002601366170615038), "0.0026");
    EXPECT_EQ(roundedText(0.00123456), "0.00123");
    EXPECT_EQ(fixedText(-0.04, 1), "0.0");
    EXPECT_EQ(fixedText(-39.74, 1), "−39.7");
    EXPECT_EQ(dfText(46.0), "46");
    EXPECT_EQ(dfText(45.98), "46");
    EXPECT_EQ(dfText(17.31), "17.3");
}

TEST(RoundedWords, PluralsAndLists) {
    EXPECT_EQ(countedWords(1, "subject"), "1 subject");
    EXPECT_EQ(countedWords(0, "subject"), "0 subjects");
    EXPECT_EQ(countedWords(2, "visit"), "2 visits");
    EXPECT_EQ(listedWords({}), "");
    EXPECT_EQ(listedWords({"a"}), "a");
    EXPECT_EQ(listedWords({"a", "b"}), "a and b");
    EXPECT_EQ(listedWords({"a", "b", "c"}), "a, b and c");
    EXPECT_EQ(measureInWords("peak_rise"), "peak rise");
    EXPECT_EQ(lowered("Ähre"), "Ähre");
}

}  // namespace aftercurve
