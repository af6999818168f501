// The model of ordered symptom scores as findings. Its numbers: tests/core/compare/
// ordinal_mixed_grid_test.cpp; here, that it gets the right scores and that all of it is said.
#include "core/findings/tolerance_ordinal.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

#include "core/findings/findings.h"
#include "core/findings/tables/builders.h"
#include "core/findings/tolerance_words.h"
#include "tests/support/diary_builder.h"

namespace aftercurve {
namespace {

using testing::HasSubstr;

/// Worst scores of 13 invented subjects in three arms; −1: a diary without a score.
const std::vector<std::vector<int>> scores{{0, 1, 2},  {0, 0, 1},  {1, 2, 3}, {1, 1, 2}, {0, 0, 0},
                                           {2, 3, 2},  {0, 1, -1}, {1, 2, 2}, {0, 0, 1}, {3, 3, 3},
                                           {-1, 0, 1}, {2, 1, 0},  {1, 1, 3}};

void addDays(test::DiaryBuilder& builder, const std::string& subject, const std::string& food,
             std::optional<double> dose, int period, int worst) {
    const std::optional<int> score = worst < 0 ? std::nullopt : std::optional{worst};
    builder.day(subject, food, 1, {score ? std::optional{0} : score}, dose, period);
    builder.day(subject, food, 2, {score}, dose, period);
}

Study thirteen() {
    test::DiaryBuilder builder;
    builder.plannedDays(2).item("bloating");
    for (std::size_t s = 0; s < scores.size(); ++s) {
        const std::string subject = (s < 9 ? "0" : "") + std::to_string(s + 1);
        addDays(builder, subject, "crispbread", 10.0, 3, scores[s][2]);
        addDays(builder, subject, "drink", {}, 1, scores[s][0]);
        addDays(builder, subject, "crispbread", 5.0, 2, scores[s][1]);
    }
    return builder.study();
}

Findings findingsOf(const Study& study, const std::string& comparator) {
    Findings findings;
    findings.plan.comparator = comparator;
    findings.plan.multiplicity = Multiplicity::holm;
    findings.tolerance = toleranceFindings(study, findings.plan);
    return findings;
}

/// The same scores, given to the model by hand.
OrdinalMixed byHand() {
    std::vector<OrdinalRow> rows;
    for (std::size_t s = 0; s < scores.size(); ++s) {
        for (std::size_t g = 0; g < 3; ++g) {
            if (scores[s][g] >= 0) {
                rows.push_back({s, g, static_cast<std::size_t>(scores[s][g])});
            }
        }
    }
    return ordinalMixed(rows);
}

TEST(ToleranceOrdinal, TheWorstScoreOfEachSubjectIsFitted) {
    const Findings findings = findingsOf(thirteen(), "drink");
    ASSERT_EQ(findings.tolerance.ordinalModels.size(), 1U);
    const ToleranceOrdinalModel& one = findings.tolerance.ordinalModels.front();
    const OrdinalMixed expected = byHand();
    ASSERT_TRUE(one.model.usable()) << one.model.absentBecause;
    EXPECT_EQ(findings.tolerance.runs.arms[one.arms[0]].food, "drink");
    EXPECT_EQ(one.values, (std::vector<double>{0, 1, 2, 3}));
    EXPECT_EQ(one.model.n, 37U);
    EXPECT_EQ(one.withoutScore, 2U);
    EXPECT_EQ(one.model.counts, expected.counts);
    EXPECT_EQ(one.model.logLikelihood, expected.logLikelihood);
    ASSERT_EQ(one.pAdjusted.size(), 2U);
    for (std::size_t group = 1; group < 3; ++group) {
        const OrdinalEffect* effect = effectOf(one, group);
        ASSERT_NE(effect, nullptr);
        EXPECT_EQ(effect->logOdds, expected.effects[group - 1].logOdds);
        EXPECT_GT(*effect->logOdds, 0.0);  // more symptoms than with the drink
        EXPECT_GE(*one.pAdjusted[group - 1], *effect->p);
    }
    // Holm of two: the smaller p doubled.
    const double smaller = std::min(*expected.effects[0].p, *expected.effects[1].p);
    EXPECT_DOUBLE_EQ(std::min(*one.pAdjusted[0], *one.pAdjusted[1]), 2.0 * smaller);
}

TEST(ToleranceOrdinal, WithoutAComparatorTheFirstArmComesFirst) {
    const Findings findings = findingsOf(thirteen(), "");
    const ToleranceOrdinalModel& one = findings.tolerance.ordinalModels.front();
    EXPECT_EQ(one.arms, (std::vector<std::size_t>{0, 1, 2}));
    EXPECT_TRUE(one.model.usable());
}

TEST(ToleranceOrdinal, TableAndSentencesSayIt) {
    const Study study = thirteen();
    const Findings findings = findingsOf(study, "drink");
    const Table table = toleranceOrdinalTable(study, findings);
    ASSERT_EQ(table.rows.size(), 2U);
    EXPECT_EQ(table.rows[0].cells.size(), table.columns.size());
    EXPECT_THAT(std::get<std::string>(table.rows[0].cells.back()), HasSubstr("2 missing scores left out"));
    ASSERT_EQ(table.notes.size(), 2U);
    EXPECT_THAT(table.notes[0], HasSubstr("not tested"));
    std::string text;
    for (const Sentence& sentence : toleranceResults(study, findings)) {
        for (const SentenceSource& source : sentence.sources) {
            if (source.table == "tolerance_ordinal") {
                EXPECT_LT(source.row, table.rows.size());
                text += sentence.text;
            }
        }
    }
    EXPECT_THAT(text, HasSubstr("odds ratio of a higher score"));
    EXPECT_THAT(text, HasSubstr("37 scores of 13 subjects"));
    EXPECT_THAT(text, HasSubstr("likelihood ratio χ² = "));
    EXPECT_THAT(text, HasSubstr("not evidence that they are tolerated alike"));
    EXPECT_THAT(text, testing::Not(HasSubstr("no difference")));
}

TEST(ToleranceOrdinal, AnArmAllAtTheLeastScoreHasAReasonInEveryPlace) {
    Study study = thirteen();
    for (DiaryDay& day : study.diary.days) {
        if (day.doseG == 10.0) {
            day.scores = {0};
        }
    }
    const Findings findings = findingsOf(study, "drink");
    const Table table = toleranceOrdinalTable(study, findings);
    ASSERT_EQ(table.rows.size(), 2U);
    const Row& zeros = table.rows[1];
    EXPECT_TRUE(zeros.muted);
    EXPECT_THAT(std::get<std::string>(zeros.cells.back()), HasSubstr("falls without end"));
    EXPECT_TRUE(std::holds_alternative<std::monostate>(zeros.cells[6]));  // odds ratio
    bool said = false;
    for (const Sentence& sentence : toleranceResults(study, findings)) {
        said = said || sentence.text.find("none, every score is in one end category") != std::string::npos;
    }
    EXPECT_TRUE(said);
}

TEST(ToleranceOrdinal, ManyDistinctScoresHaveNoModelButAReason) {
    test::DiaryBuilder builder;
    builder.plannedDays(1).item("long");
    for (int s = 0; s < 12; ++s) {
        builder.day("s" + std::to_string(s), "drink", 1, {s});
        builder.day("s" + std::to_string(s), "crispbread", 1, {s / 2}, 5.0);
    }
    builder.study().diary.items.front().most = 20;
    const Findings findings = findingsOf(builder.study(), "drink");
    ASSERT_EQ(findings.tolerance.ordinalModels.size(), 1U);
    EXPECT_EQ(findings.tolerance.ordinalModels[0].model.absentBecause,
              "12 different scores: more than the 10 that this model is used for");
    EXPECT_EQ(toleranceOrdinalTable(builder.study(), findings).rows.size(), 1U);
}

TEST(ToleranceOrdinal, OneArmHasNoModel) {
    test::DiaryBuilder builder;
    builder.item("bloating").day("01", "drink", 1, {1}).day("02", "drink", 1, {2});
    const Findings findings = findingsOf(builder.study(), "drink");
    EXPECT_TRUE(findings.tolerance.ordinalModels.empty());
    EXPECT_THAT(toleranceOrdinalTable(builder.study(), findings).emptyText, HasSubstr("nothing to compare"));
}

}  // namespace
}  // namespace aftercurve
