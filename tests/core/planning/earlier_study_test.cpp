#include "core/planning/earlier_study.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <map>

#include "core/files/study_folder.h"
#include "core/planning/planning_sentence.h"
#include "tests/support/close.h"
#include "tests/support/reference_csv.h"
#include "tests/support/study_builder.h"

namespace aftercurve {

namespace {

using test::isClose;
using testing::HasSubstr;

constexpr const char* area = "area_positive_incremental";

Study sample(const std::string& name) {
    return *readStudyFolder(std::string{TEST_SOURCE_ROOT} + "/sample_studies/" + name).study;
}

const EarlierSpread* find(const std::vector<EarlierSpread>& all, SpreadSource source,
                          const std::string& food = {}) {
    for (const EarlierSpread& one : all) {
        if (one.source == source && (food.empty() || one.food == food)) {
            return &one;
        }
    }
    return nullptr;
}

}  // namespace

// SD of differences: sample_studies_comparisons.csv (R). Interval: chi-square quantiles of 11 df, 3.815748
// and 21.920049 (printed tables).
TEST(EarlierStudy, PairedDifferencesWithTheIntervalOfTheirSd) {
    const Study study = sample("barley-index");
    const auto all = earlierSpreads(study, study.plan, "", "");
    ASSERT_TRUE(all.ok());
    const EarlierSpread* one = find(all.value(), SpreadSource::differences, "pearled-porridge");
    ASSERT_NE(one, nullptr);
    ASSERT_TRUE(one->spread);
    EXPECT_EQ(one->spread->kind, SpreadKind::sdOfDifferences);
    EXPECT_TRUE(isClose(one->spread->value, 42.446514333550247, {.relative = 1e-12}));
    EXPECT_EQ(one->n, 12U);
    EXPECT_EQ(one->df, 11.0);
    EXPECT_TRUE(isClose(one->low, 42.446514333550247 * std::sqrt(11 / 21.920049), {.relative = 1e-6}));
    EXPECT_TRUE(isClose(one->high, 42.446514333550247 * std::sqrt(11 / 3.815748), {.relative = 1e-6}));
    EXPECT_THAT(sentenceFor(*one, study, 0.05), HasSubstr("42.45 mmol/L"));
    EXPECT_THAT(sentenceFor(*one, study, 0.05),
                HasSubstr("12 subjects, 11.00 df; 95 % interval 30.07 to 72.07"));
}

// By hand from the measures of each curve in sample_studies_curves.csv (R).
TEST(EarlierStudy, RepeatedReferenceVisitsPooled) {
    std::map<std::string, std::vector<double>> visits;
    for (const test::ReferenceRow& row : test::readReference("sample_studies_curves.csv")) {
        if (row.text("study") == "barley-index" && row.text("food") == "glucose-drink" &&
            row.text("analyte") == "glucose" && row.text("excluded") == "FALSE") {
            visits[row.text("subject")].push_back(*row.number(area));
        }
    }
    double squares = 0.0;
    double df = 0.0;
    for (const auto& [subject, values] : visits) {
        double mean = 0.0;
        for (const double value : values) {
            mean += value / static_cast<double>(values.size());
        }
        for (const double value : values) {
            squares += (value - mean) * (value - mean);
        }
        df += static_cast<double>(values.size()) - 1.0;
    }
    ASSERT_GT(df, 10.0);
    const Study study = sample("barley-index");
    const auto all = earlierSpreads(study, study.plan, "glucose", area);
    const EarlierSpread* one = find(all.value(), SpreadSource::repeats, "glucose-drink");
    ASSERT_NE(one, nullptr);
    ASSERT_TRUE(one->spread);
    EXPECT_EQ(one->df, df);
    EXPECT_TRUE(isClose(one->spread->value, std::sqrt(squares / df), {.relative = 1e-11}));
    EXPECT_EQ(one->spread->kind, SpreadKind::sdWithin);
    EXPECT_EQ(find(all.value(), SpreadSource::repeats, "pearled-porridge"), nullptr);
}

// sample_studies_index.csv (R), rows `all`.
TEST(EarlierStudy, IndexValuesOverSubjects) {
    const Study study = sample("barley-index");
    const auto all = earlierSpreads(study, study.plan, "", "");
    std::size_t checked = 0;
    for (const test::ReferenceRow& row : test::readReference("sample_studies_index.csv")) {
        if (row.text("study") != "barley-index" || row.text("subject") != "all") {
            continue;
        }
        const EarlierSpread* one = find(all.value(), SpreadSource::indexValues, row.text("food"));
        ASSERT_NE(one, nullptr);
        EXPECT_TRUE(isClose(one->spread->value, *row.number("sd"), {.relative = 1e-11}));
        EXPECT_TRUE(isClose(one->mean, *row.number("mean"), {.relative = 1e-11}));
        ++checked;
    }
    EXPECT_EQ(checked, 2U);
}

// A complete two-food study without repeats: the residual variance of the model is half the variance of the
// differences where subjects vary at all (balanced analysis of variance), its df n − 1. Values 3, 5, 9, 4
// against 1, 2, 2, 3: differences 2, 3, 7, 1, variance 26.75/3.
TEST(EarlierStudy, ModelOfABalancedStudyIsHalfTheVarianceOfDifferences) {
    test::StudyBuilder builder;
    builder.food("bread", FoodRole::control).food("oats", FoodRole::test).analyte("glucose", "mmol/L");
    const std::vector<double> oats{23, 35, 49, 14};
    const std::vector<double> bread{21, 32, 42, 13};
    for (std::size_t i = 0; i < oats.size(); ++i) {
        // A triangle from 0 over 60 min to 120 min: area 60 times its height.
        builder.curve(std::to_string(i), "oats", 1, {0, 60, 120}, {5.0, 5.0 + oats[i] / 10, 5.0});
        builder.curve(std::to_string(i), "bread", 1, {0, 60, 120}, {5.0, 5.0 + bread[i] / 10, 5.0});
    }
    Study& study = builder.study();
    study.plan.index = false;
    const auto all = earlierSpreads(study, study.plan, "", "");
    ASSERT_TRUE(all.ok()) << all.problem().what;
    const EarlierSpread* model = find(all.value(), SpreadSource::model);
    ASSERT_NE(model, nullptr);
    ASSERT_TRUE(model->spread) << model->absentBecause;
    const double variance = 20.75 / 3.0 * 36.0;  // differences 2, 3, 7, 1 of mean 3.25, times 6 (60 min / 10)
    EXPECT_TRUE(isClose(model->spread->value, std::sqrt(variance / 2.0), {.relative = 1e-9}));
    EXPECT_TRUE(isClose(model->df, 3.0, {.relative = 1e-6}));
    const EarlierSpread* differences = find(all.value(), SpreadSource::differences);
    EXPECT_TRUE(isClose(differences->spread->value, std::sqrt(variance), {.relative = 1e-9}));
    // CV by logarithms: SD of ln(23/21), ln(35/32), ln(49/42), ln(14/13), by hand from the definition.
    const std::vector<double> logs{std::log(23.0 / 21), std::log(35.0 / 32), std::log(49.0 / 42),
                                   std::log(14.0 / 13)};
    const double mean = (logs[0] + logs[1] + logs[2] + logs[3]) / 4;
    double squares = 0.0;
    for (const double value : logs) {
        squares += (value - mean) * (value - mean);
    }
    const EarlierSpread* ratios = find(all.value(), SpreadSource::logRatios);
    EXPECT_TRUE(isClose(ratios->spread->value, 100.0 * std::sqrt(std::exp(squares / 3 / 2) - 1.0),
                        {.relative = 1e-8}));
    EXPECT_EQ(ratios->spread->kind, SpreadKind::cvWithin);
}

TEST(EarlierStudy, DegenerateStudiesSayWhy) {
    test::StudyBuilder builder;
    builder.food("bread", FoodRole::control).food("oats", FoodRole::test).analyte("glucose", "mmol/L");
    Study& study = builder.study();
    study.plan.index = false;
    for (int subjects = 0; subjects <= 3; ++subjects) {
        if (subjects > 0) {
            const std::string code = std::to_string(subjects);
            builder.curve(code, "oats", 1, {0, 60, 120}, {5.0, 5.0, 5.0});
            builder.curve(code, "bread", 1, {0, 60, 120}, {5.0, 6.0, 5.0});
        }
        const auto all = earlierSpreads(study, study.plan, "", "");
        if (!all.ok()) {
            EXPECT_EQ(subjects, 0);
            continue;
        }
        for (const EarlierSpread& one : all.value()) {
            EXPECT_FALSE(one.spread) << wordFor(one.source) << ' ' << subjects;
            EXPECT_FALSE(one.absentBecause.empty()) << wordFor(one.source) << ' ' << subjects;
            EXPECT_THAT(sentenceFor(one, study, 0.05), HasSubstr("not estimable"));
        }
    }
    const auto none = earlierSpreads(study, study.plan, "insulin", area);
    ASSERT_TRUE(none.ok());
    EXPECT_TRUE(none.value().empty());
}

TEST(PlanningSentence, HoldsTheNumbersPutInAndTheAnswer) {
    DifferenceQuestion question;
    question.difference = 40.0;
    question.spread = {SpreadKind::sdOfDifferences, 50.0};
    const SizeRequest request{0.8, 0.1, 6};
    const std::string text = sizeSentence(question, request, subjectsFor(question, request), "mmol/L × min");
    for (const char* part :
         {"15 subjects who complete", "a true difference of 40 mmol/L × min",
          "SD of the differences of 50 mmol/L × min", "two-sided level 0.05", "asked for 80.0 %",
          "Enrol 18 subjects: 10.0 % are expected to drop out", "whole blocks of 6"}) {
        EXPECT_THAT(text, HasSubstr(part));
    }
    question.difference = 1e-9;
    EXPECT_THAT(sizeSentence(question, request, subjectsFor(question, request), ""),
                HasSubstr("more than 100000 subjects"));
    question.spread.value = 0.0;
    EXPECT_THAT(powerSentence(question, 12, powerWith(question, 12), ""), HasSubstr("SD is 0"));
    EXPECT_THAT(detectableSentence(question, 12, 0.8, detectableWith(question, 12, 0.8), ""),
                HasSubstr("SD is 0"));
}

TEST(PlanningSentence, PowerIsNeverWrittenAs100PercentUnlessItIs) {
    DifferenceQuestion question;
    question.difference = 3.0;
    question.spread = {SpreadKind::sdOfDifferences, 1.0};
    const PowerAnswer power = powerWith(question, 8);
    ASSERT_LT(*power.value, 1.0);
    EXPECT_THAT(powerSentence(question, 8, power, ""), testing::Not(HasSubstr("100.0 %")));
}

}  // namespace aftercurve
