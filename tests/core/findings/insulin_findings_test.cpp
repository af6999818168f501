// Insulin measures from curves to tables and sentences. All numbers are worked out by hand beside the check.
#include "core/findings/insulin_findings.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "core/findings/analyse.h"
#include "core/findings/explain.h"
#include "core/findings/results_json.h"
#include "core/findings/table.h"
#include "tests/support/close.h"
#include "tests/support/feeding_study.h"
#include "tests/support/study_builder.h"

namespace aftercurve {
namespace {

using test::isClose;
using testing::HasSubstr;
using testing::Not;

Findings run(const Study& study) {
    auto findings = analyse(study, study.plan);
    EXPECT_TRUE(findings.ok());
    return std::move(findings).value();
}

/// A visit with glucose (mmol/L) and insulin (pmol/L) at 0, 30, 60, 90 and 120 min in the same rows.
void addVisit(test::StudyBuilder& builder, const std::string& subject, const std::string& food, int visit,
              const std::vector<double>& glucose, const std::vector<double>& insulin) {
    builder.curve(subject, food, visit, {0, 30, 60, 90, 120}, {glucose.begin(), glucose.end()});
    Study& study = builder.study();
    for (std::size_t i = 0; i < 5; ++i) {
        study.concentrations[1][study.draws.size() - 5 + i] = insulin[i];
    }
}

/// Fasting glucose 4.5 mmol/L and insulin 5 · k µIU/mL: HOMA-IR k. drink twice: 1 and 3 for subject 01.
test::StudyBuilder smallStudy() {
    test::StudyBuilder builder;
    builder.food("drink", FoodRole::reference).food("bread", FoodRole::test);
    builder.analyte("glucose", "mmol/L").analyte("insulin", "pmol/L");
    builder.study().foods[0].availableCarbohydrateG = 75.0;
    builder.study().plan.resamples = 0;
    builder.study().plan.inference.sensitivity = false;
    const std::vector<double> glucose{4.5, 7.5, 6.5, 5.5, 4.5};
    const auto insulin = [](double k) { return std::vector<double>{30.0 * k, 330, 270, 150, 60}; };
    addVisit(builder, "01", "drink", 1, glucose, insulin(1));
    addVisit(builder, "01", "drink", 2, glucose, insulin(3));
    addVisit(builder, "01", "bread", 1, glucose, insulin(4));
    addVisit(builder, "02", "drink", 1, glucose, insulin(4));
    addVisit(builder, "02", "bread", 1, glucose, insulin(8));
    addVisit(builder, "03", "drink", 1, glucose, insulin(3));
    return builder;
}

const InsulinSummary& summary(const Findings& findings, std::string_view key, std::string_view food) {
    for (const InsulinSummary& s : findings.insulinSummaries) {
        if (s.key == key && s.food == food) {
            return s;
        }
    }
    ADD_FAILURE() << key << " " << food;
    static const InsulinSummary none;
    return none;
}

TEST(InsulinFindings, ReplicatesAreAveragedFirstAndPairsAreTested) {
    const Findings findings = run(smallStudy().study());
    // Drink: 01 (1 + 3)/2 = 2, 02 4, 03 3. Bread: 01 4, 02 8. Differences 2 and 4: mean 3, SD √2, t 3.
    const InsulinSummary& drink = summary(findings, "homa_ir", "drink");
    EXPECT_EQ(drink.n, 3U);
    EXPECT_TRUE(isClose(drink.mean, 3.0, {.relative = 1e-13}));
    EXPECT_TRUE(isClose(drink.sd, 1.0, {.relative = 1e-13}));
    EXPECT_TRUE(isClose(drink.median, 3.0, {.relative = 1e-13}));
    EXPECT_TRUE(isClose(drink.lowerQuartile, 2.5, {.relative = 1e-13}));
    EXPECT_TRUE(isClose(drink.geometricMean, std::cbrt(24.0), {.relative = 1e-13}));
    EXPECT_EQ(drink.comparator, "");
    const InsulinSummary& bread = summary(findings, "homa_ir", "bread");
    EXPECT_EQ(bread.comparator, "drink");
    EXPECT_EQ(bread.t.n, 2U);
    EXPECT_TRUE(isClose(bread.t.meanDifference, 3.0, {.relative = 1e-12}));
    EXPECT_TRUE(isClose(bread.t.t, 3.0, {.relative = 1e-12}));
    // P(|T| ≥ 3) with 1 df: 1 − 2·atan(3)/π.
    EXPECT_TRUE(isClose(bread.t.p, 1.0 - 2.0 * std::atan(3.0) / std::acos(-1.0), {.relative = 1e-10}));
    EXPECT_TRUE(isClose(bread.signedRank.p, 0.5, {.relative = 1e-12}));
    EXPECT_EQ(summary(findings, "log_homa_ir", "drink").geometricMean, std::nullopt);
    EXPECT_EQ(bread.subjects[2].absentBecause, "no visit with bread");
}

TEST(InsulinFindings, OnlyMeasuresWhoseAnalytesTheStudyHas) {
    for (const InsulinMeasure& measure : run(smallStudy().study()).insulinMeasures) {
        EXPECT_EQ(measure.key.find("c_peptide"), std::string::npos);
    }
    test::StudyBuilder glucose;
    glucose.food("drink", FoodRole::reference).analyte("glucose", "mmol/L");
    glucose.curve("01", "drink", 1, {0, 60, 120}, {5, 8, 5});
    EXPECT_TRUE(run(glucose.study()).insulinMeasures.empty());
    EXPECT_TRUE(run(glucose.study()).insulinSummaries.empty());
}

TEST(InsulinFindings, WholeBodySensitivityIsOfTheReferenceAlone) {
    auto builder = smallStudy();
    Findings findings = run(builder.study());
    EXPECT_EQ(summary(findings, "whole_body_sensitivity", "bread").n, 0U);
    EXPECT_THAT(summary(findings, "whole_body_sensitivity", "bread").absentBecause,
                HasSubstr("not the reference"));
    // Subject 03: mg/dL 18.016 · 4.5 and mean 18.016 · 5.7; µIU/mL 15 and (90 + 330 + 270 + 150 + 60)/5/6
    // = 30.
    const double expected = 10000.0 / (18.016 * std::sqrt(4.5 * 5.7 * 15.0 * 30.0));
    EXPECT_TRUE(isClose(summary(findings, "whole_body_sensitivity", "drink").subjects[2].value, expected,
                        {.relative = 1e-12}));
    for (const InsulinMeasure& measure : findings.insulinMeasures) {
        EXPECT_EQ(measure.dose, "");
    }
    builder.study().foods[0].availableCarbohydrateG = 50.0;
    findings = run(builder.study());
    std::size_t told = 0;
    for (const InsulinMeasure& measure : findings.insulinMeasures) {
        told += measure.dose.find("holds 50 g") != std::string::npos ? 1U : 0U;
    }
    EXPECT_EQ(told, 8U);  // two measures, four visits with the drink
}

TEST(InsulinFindings, UnitsAreConvertedByTheFactorOfTheStudy) {
    auto builder = smallStudy();
    builder.study().analytes[1].unit = "µIU/mL";
    for (auto& value : builder.study().concentrations[1]) {
        *value /= 6.0;
    }
    EXPECT_TRUE(isClose(summary(run(builder.study()), "homa_ir", "bread").mean, 6.0, {.relative = 1e-12}));
    const double ratio = *summary(run(builder.study()), "insulin_glucose_area_ratio", "bread").mean;
    builder.study().insulinPmolPerUiu = 6.945;
    EXPECT_TRUE(isClose(summary(run(builder.study()), "homa_ir", "bread").mean, 6.0, {.relative = 1e-12}));
    EXPECT_TRUE(isClose(summary(run(builder.study()), "insulin_glucose_area_ratio", "bread").mean,
                        ratio * 6.945 / 6.0, {.relative = 1e-12}));
}

TEST(InsulinFindings, AnExcludedCurveLeavesTheVisitWithoutTheMeasure) {
    auto builder = smallStudy();
    Exclusion exclusion;
    exclusion.subject = "02";
    exclusion.food = "bread";
    exclusion.analyte = "insulin";
    exclusion.reason = "haemolysed";
    builder.study().exclusions = {exclusion};
    const Findings findings = run(builder.study());
    const InsulinSummary& bread = summary(findings, "homa_ir", "bread");
    EXPECT_EQ(bread.n, 1U);
    EXPECT_EQ(bread.subjects[1].absentBecause, "insulin excluded: haemolysed");
    EXPECT_EQ(bread.t.p, std::nullopt);
    EXPECT_FALSE(bread.comparisonAbsentBecause.empty());
    EXPECT_THAT(insulinSentence(builder.study(), findings.plan, bread), HasSubstr("could not be tested"));
}

TEST(InsulinFindings, ANoteTellsHowManyValuesLieOutside) {
    auto builder = smallStudy();
    builder.study().concentrations[1][0] = 5.0;  // below 1 µIU/mL
    std::size_t notes = 0;
    for (const Problem& problem : run(builder.study()).problems) {
        if (problem.what.find("HOMA-IR, 1/HOMA-IR") != std::string::npos) {
            ++notes;
            EXPECT_EQ(problem.severity, Severity::note);
            EXPECT_THAT(problem.what, HasSubstr("1 of 6 visits; the first is subject 01, drink, visit 1"));
        }
    }
    EXPECT_EQ(notes, 1U);
}

TEST(InsulinFindings, ASentenceOfAFastingMeasureSpeaksOfWashoutAndNeverOfAlikeness) {
    const Study study = smallStudy().study();
    const Findings findings = run(study);
    const std::string fasting = insulinSentence(study, findings.plan, summary(findings, "homa_ir", "bread"));
    EXPECT_THAT(fasting, HasSubstr("washout"));
    EXPECT_THAT(fasting, HasSubstr("not evidence that they are alike"));
    EXPECT_THAT(insulinSentence(study, findings.plan, summary(findings, "insulinogenic_index", "bread")),
                Not(HasSubstr("washout")));
}

TEST(InsulinFindings, TablesAndJsonHaveEveryRow) {
    const Study study = test::FeedingStudy(4).study;
    const Findings findings = run(study);
    const Table visits = buildTable("insulin_measures", study, findings);
    const Table foods = buildTable("insulin_summary", study, findings);
    // Twelve measures without C-peptide; 4 subjects with three visits; two foods.
    EXPECT_EQ(visits.rows.size(), 12U * 12U);
    EXPECT_EQ(foods.rows.size(), 12U * 2U);
    for (const Table* table : {&visits, &foods}) {
        for (const Row& row : table->rows) {
            ASSERT_EQ(row.cells.size(), table->columns.size());
        }
    }
    EXPECT_EQ(visits.rows[0].key, "homa_ir/bread/01/1");
    const auto other = [&visits](std::string_view) { return &visits; };
    const std::string working = workingOf(visits, 0, 4, other);
    EXPECT_THAT(working, HasSubstr("Fasting insulin (µIU/mL) = "));
    EXPECT_THAT(working, Not(HasSubstr("absent")));
    const auto json = nlohmann::json::parse(resultsJson(findings));
    EXPECT_EQ(json["insulin_measures"].size(), visits.rows.size());
    EXPECT_EQ(json["insulin_summary"][0]["measure"], "homa_ir");
    EXPECT_EQ(json["insulin_summary"][0]["food"], "bread");
}

}  // namespace
}  // namespace aftercurve
