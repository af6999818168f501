#include "core/findings/model_findings.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <map>
#include <string>
#include <vector>

#include "core/compare/holm.h"
#include "core/files/study_folder.h"
#include "core/findings/analyse.h"
#include "core/findings/results_json.h"
#include "core/findings/table.h"
#include "tests/support/close.h"
#include "tests/support/reference_csv.h"
#include "tests/support/study_builder.h"

namespace aftercurve {
namespace {

using test::isClose;
using testing::ElementsAre;
using testing::HasSubstr;

const std::vector<double> times{0, 30, 60, 120};

Findings findingsOf(const Study& study) {
    auto findings = analyse(study, study.plan, {});
    EXPECT_TRUE(findings.ok());
    return std::move(findings).value();
}

bool hasProblem(const Findings& findings, Severity severity, const std::string& text) {
    return std::any_of(findings.problems.begin(), findings.problems.end(), [&](const Problem& p) {
        return p.severity == severity && p.what.find(text) != std::string::npos;
    });
}

struct Given {
    std::string subject;
    std::string food;
    int visit = 1;
    int period = 0;
    double rise = 0.0;  ///< the curve is a triangle whose incremental area is 30 · rise
};

/// Sequences by subject code; those not named have none.
Study studyOf(const std::vector<Given>& given, const std::map<std::string, std::string>& sequences = {}) {
    test::StudyBuilder builder;
    builder.food("bread", FoodRole::control).food("oats", FoodRole::test).food("rye", FoodRole::test);
    builder.analyte("glucose", "mmol/L");
    builder.study().plan.index = false;
    for (const Given& g : given) {
        builder.curve(g.subject, g.food, g.visit, times, {5.0, 5.0 + g.rise, 5.0, 5.0});
        for (std::size_t i = 0; i < times.size(); ++i) {
            builder.study().draws[builder.study().draws.size() - 1 - i].period = g.period;
        }
    }
    for (Subject& subject : builder.study().subjects) {
        if (sequences.contains(subject.id)) {
            subject.sequence = sequences.at(subject.id);
        }
    }
    return builder.study();
}

/// Three foods in Latin squares, six subjects.
std::vector<Given> latin() {
    const std::vector<std::string> foods{"bread", "oats", "rye"};
    const std::vector<double> rises{4.1, 2.2, 3.3, 3.9, 1.7, 2.6, 4.4, 2.9, 2.1,
                                    5.0, 2.0, 3.6, 3.2, 1.1, 2.8, 4.0, 3.1, 3.7};
    std::vector<Given> given;
    for (std::size_t s = 0; s < 6; ++s) {
        for (std::size_t period = 0; period < 3; ++period) {
            const std::size_t food = (s + period) % 3;
            given.push_back({"0" + std::to_string(s + 1), foods[food], 1, static_cast<int>(period + 1),
                             rises[3 * s + food]});
        }
    }
    return given;
}

const std::map<std::string, std::string> latinSequences{{"01", "BOR"}, {"02", "ORB"}, {"03", "RBO"},
                                                        {"04", "BOR"}, {"05", "ORB"}, {"06", "RBO"}};

}  // namespace

TEST(ModelFindings, HaveEveryFactorThatTheStudyGives) {
    const Findings findings = findingsOf(studyOf(latin(), latinSequences));
    ASSERT_EQ(findings.models.size(), 1U);
    const ModelFinding& model = findings.models[0];
    EXPECT_EQ(model.formula, "food + period + sequence + (1 | subject)");
    EXPECT_EQ(model.measure, "area_positive_incremental");
    EXPECT_EQ(model.unit, "mmol/L × min");
    EXPECT_TRUE(model.notes.empty());
    EXPECT_EQ(model.fit.rows, 18U);
    // Balanced: the adjusted mean is the mean. Bread's rises are 4.1 3.9 4.4 5.0 3.2 4.0.
    EXPECT_TRUE(isClose(model.fit.means[0].estimate, 30.0 * 24.6 / 6.0, {.relative = 1e-12}));
    ASSERT_EQ(model.fit.differences.size(), 3U);
    EXPECT_EQ(model.foods[model.fit.differences[0].minus], "bread");
    EXPECT_EQ(model.foods[model.fit.differences[1].minus], "bread");
    EXPECT_EQ(model.foods[model.fit.differences[2].level], "rye");
}

TEST(ModelFindings, HolmGoesOverTheDifferencesWithTheComparator) {
    Study study = studyOf(latin());
    const ModelFinding holm = findingsOf(study).models[0];
    const auto adjusted = holmAdjusted(std::vector{holm.fit.differences[0].p, holm.fit.differences[1].p});
    EXPECT_THAT(holm.pAdjusted, ElementsAre(adjusted[0], adjusted[1], std::nullopt));
    study.plan.multiplicity = Multiplicity::none;
    const ModelFinding none = findingsOf(study).models[0];
    EXPECT_THAT(none.pAdjusted,
                ElementsAre(none.fit.differences[0].p, none.fit.differences[1].p, std::nullopt));
}

TEST(ModelFindings, LeaveAFactorOutWithANoteWhereItIsNotGiven) {
    std::vector<Given> given = latin();
    for (Given& g : given) {
        g.period = 0;
    }
    ModelFinding model = findingsOf(studyOf(given)).models[0];
    EXPECT_EQ(model.formula, "food + (1 | subject)");
    EXPECT_THAT(model.notes, ElementsAre(HasSubstr("no period in the model: none is given"),
                                         HasSubstr("no sequence in the model: none is given")));
    given[4].period = 2;
    model = findingsOf(studyOf(given, {{"01", "BOR"}, {"02", "ORB"}})).models[0];
    EXPECT_THAT(model.notes,
                ElementsAre(HasSubstr("some visits have none"), HasSubstr("some subjects have none")));
    std::map<std::string, std::string> own;
    for (const auto& [subject, sequence] : latinSequences) {
        own[subject] = "s" + subject;
    }
    model = findingsOf(studyOf(latin(), own)).models[0];
    EXPECT_THAT(model.notes, ElementsAre(HasSubstr("each subject has one of its own")));
}

TEST(ModelFindings, APeriodThatCannotBeToldFromTheFoodIsLeftOutWithAWarning) {
    std::vector<Given> given = latin();
    for (Given& g : given) {
        g.period = g.food == "bread" ? 1 : (g.food == "oats" ? 2 : 3);
    }
    const Findings findings = findingsOf(studyOf(given));
    EXPECT_EQ(findings.models[0].formula, "food + (1 | subject)");
    EXPECT_TRUE(findings.models[0].periodLeftOut);
    EXPECT_TRUE(findings.models[0].fit.differences[0].p.has_value());
    EXPECT_TRUE(hasProblem(findings, Severity::warning, "food and period cannot be told apart"));
}

TEST(ModelFindings, OneRowAVisitThatCounts) {
    std::vector<Given> given = latin();
    given.push_back({"01", "bread", 2, 1, 4.6});
    given.push_back({"02", "bread", 2, 1, 3.0});
    Study study = studyOf(given, latinSequences);
    EXPECT_EQ(findingsOf(study).models[0].fit.rows, 20U);
    Exclusion exclusion;
    exclusion.subject = "02";
    exclusion.food = "bread";
    exclusion.visit = 2;
    exclusion.reason = "vomited";
    study.exclusions = {exclusion};
    EXPECT_EQ(findingsOf(study).models[0].fit.rows, 19U);
}

TEST(ModelFindings, SayWhyThereIsNoFitAndGiveNoNumber) {
    const Findings one = findingsOf(studyOf({{"01", "bread", 1, 1, 4.0}, {"01", "oats", 1, 2, 3.0}}));
    ASSERT_EQ(one.models.size(), 1U);
    EXPECT_THAT(one.models[0].fit.absentBecause, HasSubstr("one subject"));
    EXPECT_TRUE(hasProblem(one, Severity::warning, "not fitted, one subject"));
    const Table table = buildTable("model", studyOf({}), one);
    ASSERT_EQ(table.rows.size(), 1U);
    EXPECT_TRUE(table.rows[0].muted);
    EXPECT_EQ(table.rows[0].cells.size(), table.columns.size());
    EXPECT_THAT(resultsJson(one), HasSubstr("one subject: nothing to generalise from"));

    // A single food is no model, and no complaint.
    const Findings single = findingsOf(studyOf({{"01", "bread", 1, 1, 4.0}, {"02", "bread", 1, 1, 3.0}}));
    EXPECT_TRUE(single.models.empty());
    EXPECT_FALSE(hasProblem(single, Severity::error, "mixed model"));
}

TEST(ModelFindings, ASubjectVarianceOfZeroIsNoted) {
    // Each subject's rises sum to 6.
    const Findings findings = findingsOf(studyOf({{"01", "bread", 1, 0, 4},
                                                  {"01", "oats", 1, 0, 2},
                                                  {"02", "bread", 1, 0, 5},
                                                  {"02", "oats", 1, 0, 1},
                                                  {"03", "bread", 1, 0, 3.5},
                                                  {"03", "oats", 1, 0, 2.5}}));
    EXPECT_TRUE(findings.models[0].fit.boundary);
    EXPECT_TRUE(hasProblem(findings, Severity::note, "variance between subjects is estimated as 0"));
}

TEST(ModelFindings, TableHoldsMeansAndDifferences) {
    const Study study = studyOf(latin(), latinSequences);
    const Findings findings = findingsOf(study);
    const Table table = buildTable("model", study, findings);
    std::vector<std::string> keys;
    for (const Row& row : table.rows) {
        keys.push_back(row.key.substr(row.key.find('/', row.key.find('/') + 1) + 1));
    }
    EXPECT_THAT(keys, ElementsAre("bread", "oats", "rye", "oats/bread", "rye/bread", "rye/oats"));
    EXPECT_THAT(table.notes.at(0), HasSubstr("food + period + sequence + (1 | subject)"));
}

// The sample studies against lmerTest and emmeans: tests/reference/models.R.
/// Each food after each other one equally often: two squares of Williams.
std::vector<Given> williams() {
    const std::vector<std::string> order{"bor", "orb", "rbo", "rob", "bro", "obr"};
    const std::map<char, std::string> foods{{'b', "bread"}, {'o', "oats"}, {'r', "rye"}};
    const std::vector<double> rises{4.1, 2.2, 3.3, 3.9, 1.7, 2.6, 4.4, 2.9, 2.1,
                                    5.0, 2.0, 3.6, 3.2, 1.1, 2.8, 4.0, 3.1, 3.7};
    std::vector<Given> given;
    for (std::size_t s = 0; s < 6; ++s) {
        for (std::size_t period = 0; period < 3; ++period) {
            given.push_back({"0" + std::to_string(s + 1), foods.at(order[s][period]), 1,
                             static_cast<int>(period + 1), rises[3 * s + period]});
        }
    }
    return given;
}

TEST(ModelFindings, CarryOverStandsInTheModelWhereThePlanAsks) {
    Study study = studyOf(williams());
    EXPECT_EQ(findingsOf(study).models[0].formula, "food + period + (1 | subject)");
    study.plan.inference.carryOver = true;
    const ModelFinding model = findingsOf(study).models[0];
    EXPECT_EQ(model.formula, "food + period + carry-over + (1 | subject)");
    EXPECT_EQ(model.carryOverUnknown, 0U);
    EXPECT_EQ(model.fit.rows, 18U);
    ASSERT_EQ(model.fit.terms.size(), 3U);
    EXPECT_EQ(model.fit.terms[2].numeratorDf, 2U);
    EXPECT_TRUE(model.fit.terms[2].p);
}

TEST(ModelFindings, AValueWhoseFoodBeforeIsNotKnownIsLeftOutWithAWarning) {
    std::vector<Given> given = williams();
    given.erase(given.begin() + 1);
    Study study = studyOf(given);
    study.plan.inference.carryOver = true;
    const Findings findings = findingsOf(study);
    EXPECT_EQ(findings.models[0].carryOverUnknown, 1U);
    EXPECT_EQ(findings.models[0].fit.rows, 16U);
    EXPECT_TRUE(hasProblem(findings, Severity::warning, "1 value is not in the model with carry-over"));
}

TEST(ModelFindings, CarryOverNeedsPeriods) {
    std::vector<Given> given = williams();
    for (Given& one : given) {
        one.period = 0;
    }
    Study study = studyOf(given);
    study.plan.inference.carryOver = true;
    const ModelFinding model = findingsOf(study).models[0];
    EXPECT_EQ(model.formula, "food + (1 | subject)");
    EXPECT_TRUE(std::any_of(model.notes.begin(), model.notes.end(), [](const std::string& note) {
        return note.find("no carry-over in the model: some visits have no period") != std::string::npos;
    }));
}

TEST(ModelFindings, SampleStudiesAgreeWithR) {
    std::map<std::string, ModelFinding> models;
    for (const std::string name : {"barley-index", "pulse-wafer-crossover"}) {
        const StudyReading reading =
            readStudyFolder(std::filesystem::path{TEST_SOURCE_ROOT} / "sample_studies" / name);
        ASSERT_TRUE(reading.study);
        for (const ModelFinding& model : findingsOf(*reading.study).models) {
            if (model.measure == "area_positive_incremental") {
                models[name + "/" + model.analyte] = model;
            }
        }
    }
    ASSERT_EQ(models.size(), 3U);
    std::size_t compared = 0;
    for (const test::ReferenceRow& row : test::readReference("models_means.csv")) {
        if (!models.contains(row.text("study")) || row.text("method") != "satterthwaite") {
            continue;
        }
        const ModelFinding& model = models.at(row.text("study"));
        const auto mean =
            std::find_if(model.fit.means.begin(), model.fit.means.end(),
                         [&](const ModelMean& m) { return model.foods[m.level] == row.text("food"); });
        ASSERT_NE(mean, model.fit.means.end());
        EXPECT_TRUE(isClose(mean->estimate, row.number("estimate"), {.relative = 1e-9}));
        EXPECT_TRUE(isClose(mean->se, row.number("se"), {.relative = 1e-9}));
        EXPECT_TRUE(isClose(mean->df, row.number("df"), {.relative = 2e-6}));
        EXPECT_TRUE(isClose(mean->ciHigh, row.number("ci_high"), {.relative = 1e-7}));
        ++compared;
    }
    EXPECT_EQ(compared, 7U);
    for (const test::ReferenceRow& row : test::readReference("models_terms.csv")) {
        if (!models.contains(row.text("study")) || row.text("method") != "satterthwaite") {
            continue;
        }
        const ModelFinding& model = models.at(row.text("study"));
        const auto term = std::find_if(model.fit.terms.begin(), model.fit.terms.end(),
                                       [&](const ModelTerm& t) { return t.factor == row.text("term"); });
        ASSERT_NE(term, model.fit.terms.end());
        EXPECT_TRUE(isClose(term->f, row.number("f"), {.relative = 1e-9}));
        EXPECT_TRUE(isClose(term->denominatorDf, row.number("den_df"), {.relative = 2e-6}));
        ++compared;
    }
    EXPECT_EQ(compared, 15U);
}

}  // namespace aftercurve
