// Fibre results and recipes in the findings: means by hand, what follows from the methods, problems, words.
#include "core/findings/fibre_findings.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <set>

#include "core/findings/analyse.h"
#include "core/findings/fibre_words.h"
#include "core/findings/results_json.h"
#include "core/findings/table.h"
#include "tests/support/close.h"
#include "tests/support/study_builder.h"

namespace aftercurve {
namespace {

using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;
using testing::SizeIs;

FibreResult determination(const std::string& method, const std::string& fraction, int replicate,
                          std::optional<double> value, bool dry = false,
                          std::optional<double> moisture = {}) {
    return {"bran",    method, fraction,
            replicate, value,  dry,
            moisture,  "",     static_cast<std::size_t>(replicate) + 1};
}

Study studyWith(std::vector<FibreResult> results, const std::string& region = "eu") {
    test::StudyBuilder builder;
    builder.food("drink", FoodRole::reference).food("bran", FoodRole::test).analyte("glucose", "mmol/L");
    Study study = builder.study();
    study.fibre.file = "fibre.csv";
    study.fibre.region = region;
    study.fibre.results = std::move(results);
    return study;
}

FibreFindings findingsOf(const Study& study) {
    return fibreFindings(study, study.plan);
}

std::vector<std::string> whatOf(const Study& study) {
    std::vector<std::string> all;
    for (const Problem& problem : problemsOf(study, findingsOf(study))) {
        all.push_back(lineFor(problem));
    }
    return all;
}

TEST(FibreFindings, MeansOnBothBases) {
    // 20 g as it is with 20 % water is 25 g dry; 30 g dry with 20 % water is 24 g as it is.
    const auto found = findingsOf(studyWith({determination("985.29", "total", 1, 20.0, false, 20.0),
                                             determination("985.29", "total", 2, 30.0, true, 20.0)}));
    ASSERT_THAT(found.results, SizeIs(1));
    EXPECT_EQ(found.results[0].asIsPer100g.value, 22.0);
    EXPECT_EQ(found.results[0].dryPer100g.value, 27.5);
    EXPECT_EQ(found.results[0].spread.range.value, 4.0);
    EXPECT_FALSE(found.results[0].spreadOnDry);
}

TEST(FibreFindings, MoistureMissingIsNotNought) {
    const Study study = studyWith(
        {determination("985.29", "total", 1, 20.0, true), determination("985.29", "total", 2, 22.0, true)});
    const auto found = findingsOf(study);
    EXPECT_EQ(found.results[0].asIsPer100g.absentBecause, "the moisture is not given");
    EXPECT_EQ(found.results[0].dryPer100g.value, 21.0);
    EXPECT_TRUE(found.results[0].spreadOnDry);
    EXPECT_EQ(found.results[0].spread.range.value, 2.0);
    EXPECT_THAT(whatOf(study), Contains(HasSubstr("give moisture_percent")));
    // One row on dry matter without its moisture: no mean of the other alone.
    const Study both = studyWith(
        {determination("985.29", "total", 1, 20.0), determination("985.29", "total", 2, 22.0, true)});
    const auto mixed = findingsOf(both);
    EXPECT_EQ(mixed.results[0].valued, 2U);
    EXPECT_THAT(whatOf(both), Contains(HasSubstr("give moisture_percent")));
    EXPECT_FALSE(mixed.results[0].asIsPer100g.value);
    EXPECT_FALSE(mixed.results[0].dryPer100g.value);
    EXPECT_EQ(mixed.results[0].spread.n, 0U);
}

TEST(FibreFindings, NoValueAtAll) {
    const auto found = findingsOf(studyWith({determination("985.29", "total", 1, {})}));
    EXPECT_EQ(found.results[0].missing, 1U);
    EXPECT_EQ(found.results[0].asIsPer100g.absentBecause, "no determination has a value");
    EXPECT_EQ(found.labels[0].statements[0].answer, StatementAnswer::notKnown);
}

TEST(FibreFindings, ServingAndEnergyOfAFoodOfTheStudy) {
    Study study = studyWith({determination("2017.16", "total", 1, 4.0)}, "ca");
    study.foods[1].portionG = 200.0;
    study.foods[1].composition.servingG = 50.0;
    study.foods[1].composition.energyKj = 836.8;  // 100 kcal in 100 g
    auto found = findingsOf(study);
    EXPECT_EQ(found.results[0].perServing.value, 2.0);
    EXPECT_EQ(found.labels[0].statements[0].answer, StatementAnswer::met);  // 2 g in a serving
    EXPECT_EQ(found.labels[0].statements[1].answer, StatementAnswer::notMet);
    EXPECT_EQ(found.labels[0].label, "2 g");
    study.fibre.region = "eu";
    found = findingsOf(study);
    EXPECT_EQ(found.labels[0].contents.energyKjPer100g, 418.4);
    EXPECT_EQ(found.labels[0].statements[1].answer, StatementAnswer::met);  // 4 g in 100 kcal
    EXPECT_EQ(found.labels[0].label, "4.0 g");
}

// From the table of methods: 991.43 measures resistant starch in part, 2009.01 wholly (RS1 to RS3).
TEST(FibreFindings, ATotalAndResistantStarch) {
    const auto partly = findingsOf(studyWith(
        {determination("991.43", "total", 1, 10.0), determination("2002.02", "resistant-starch", 1, 4.0)}));
    ASSERT_THAT(partly.disagreements, SizeIs(1));
    EXPECT_TRUE(partly.disagreements[0].explained);
    EXPECT_THAT(partly.disagreements[0].text, HasSubstr("between 10.0 g and 14.0 g"));
    EXPECT_THAT(partly.disagreements[0].text, HasSubstr("must not be added"));
    const auto wholly = findingsOf(studyWith(
        {determination("2009.01", "total", 1, 14.0), determination("2002.02", "resistant-starch", 1, 4.0)}));
    EXPECT_THAT(wholly.disagreements[0].text, HasSubstr("part of that total and must not be added"));
    const Study wrong = studyWith(
        {determination("2009.01", "total", 1, 3.0), determination("2002.02", "resistant-starch", 1, 4.0)});
    EXPECT_FALSE(findingsOf(wrong).disagreements[0].explained);
    EXPECT_THAT(whatOf(wrong), Contains(HasSubstr("cannot be smaller")));
}

TEST(FibreFindings, TwoTotals) {
    const auto more = findingsOf(
        studyWith({determination("991.43", "total", 1, 10.0), determination("2009.01", "total", 1, 14.0)}));
    ASSERT_THAT(more.disagreements, SizeIs(1));
    EXPECT_EQ(more.disagreements[0].differenceG, -4.0);
    EXPECT_TRUE(more.disagreements[0].explained);
    EXPECT_THAT(more.disagreements[0].text,
                HasSubstr("2009.01 gives 4.0 g more fibre in 100 g as it is than 991.43"));
    EXPECT_THAT(more.disagreements[0].text, HasSubstr("soluble fibre that stays in ethanol"));
    const Study less =
        studyWith({determination("991.43", "total", 1, 14.0), determination("2009.01", "total", 1, 10.0)});
    EXPECT_FALSE(findingsOf(less).disagreements[0].explained);
    EXPECT_THAT(whatOf(less), Contains(HasSubstr("does not lead to this")));
    // 0.5 g is the tolerance, the limit included (common practice, no source).
    EXPECT_THAT(findingsOf(studyWith({determination("991.43", "total", 1, 2.0),
                                      determination("2009.01", "total", 1, 2.5)}))
                    .disagreements,
                IsEmpty());
}

TEST(FibreFindings, FractionsThatDoNotSumToTheTotal) {
    const Study study =
        studyWith({determination("991.43", "total", 1, 10.0), determination("991.43", "insoluble", 1, 6.0),
                   determination("991.43", "soluble-high", 1, 2.0)});
    EXPECT_THAT(whatOf(study), ElementsAre(HasSubstr("sum to 8.0 g, the total is 10.0 g")));
    Study fine = study;
    fine.fibre.results[2].value = 4.0;
    EXPECT_THAT(whatOf(fine), IsEmpty());
}

TEST(FibreFindings, ProblemsNameWhatToDo) {
    EXPECT_THAT(
        whatOf(studyWith({determination("in house", "total", 1, 5.0)})),
        ElementsAre(testing::AllOf(HasSubstr("fibre.csv:2"), HasSubstr("not in the table of methods"))));
    EXPECT_THAT(whatOf(studyWith({determination("985.29", "soluble-low", 1, 5.0)})),
                ElementsAre(HasSubstr("does not give this fraction")));
    EXPECT_THAT(whatOf(studyWith({}, "atlantis")), ElementsAre(HasSubstr("there is no rule 'atlantis'")));
    // 2.8 · 0.74 = 2.072: 2.1 is beyond.
    EXPECT_THAT(whatOf(studyWith({determination("2017.16", "total", 1, 10.0),
                                  determination("2017.16", "total", 2, 12.1)})),
                ElementsAre(HasSubstr("differ by 2.10 g, more than 2.07 g")));
}

Recipe loaf() {
    Recipe recipe;
    recipe.id = "loaf";
    recipe.label = "Loaf";
    recipe.parts = {{"flour", 100.0, 4.0, {}, {}, {}, {}}, {"bran", 0.0, {}, {}, {}, {}, {}}};
    recipe.servingG = 50.0;
    recipe.replaced = "flour";
    recipe.by = "bran";
    recipe.replacedShare = 0.5;
    return recipe;
}

TEST(FibreFindings, ThePartsFibreIsTakenFromTheOneResult) {
    Study study = studyWith({determination("985.29", "total", 1, 40.0)});
    study.fibre.recipes = {loaf()};
    auto found = findingsOf(study);
    ASSERT_TRUE(found.recipes[0].after);
    EXPECT_EQ(found.recipes[0].after->fibre.per100g.value, 22.0);
    EXPECT_THAT(found.recipes[0].notes, ElementsAre(HasSubstr("the result by 985.29")));
    // Two results: the one whose method measures all that the definition includes; without a definition,
    // none.
    study.fibre.results.push_back(determination("2017.16", "total", 1, 50.0));
    found = findingsOf(study);
    EXPECT_EQ(found.recipes[0].after->fibre.per100g.value, 27.0);
    study.fibre.region.clear();
    found = findingsOf(study);
    EXPECT_EQ(found.recipes[0].after->fibre.per100g.absentBecause, "the fibre of bran is not given");
}

TEST(FibreFindings, WordsCarryTheirSourcesAndTheCaution) {
    Study study =
        studyWith({determination("2009.01", "total", 1, 40.0), determination("2009.01", "total", 2, 41.0),
                   determination("991.43", "total", 1, 30.0)});
    study.fibre.recipes = {loaf()};
    study.fibre.targetG = 11.0;
    const auto findings = analyse(study, study.plan);
    ASSERT_TRUE(findings.ok());
    const auto sentences = fibreSentences(study, findings.value());
    std::string all;
    for (const Sentence& sentence : sentences) {
        all += sentence.text + "\n";
        for (const SentenceSource& source : sentence.sources) {
            EXPECT_LT(source.row, buildTable(source.table, study, findings.value()).rows.size())
                << sentence.text;
        }
    }
    EXPECT_THAT(all, HasSubstr("total fibre of bran was 40.5 g in 100 g as it is (SD 0.71 g, n = 2)"));
    EXPECT_THAT(all, HasSubstr("does not measure soluble fibre that stays in ethanol"));
    EXPECT_THAT(all, HasSubstr("the authority decides"));
    EXPECT_THAT(all, HasSubstr("check with your authority"));
    for (const char* never : {"approved", "permitted", "may be claimed", "no difference", "equivalent"}) {
        EXPECT_THAT(all, Not(HasSubstr(never)));
    }
    EXPECT_THAT(fibreSentences(studyWith({}, ""), Findings{}), IsEmpty());
}

TEST(FibreFindings, TablesAndResultsHoldTheSame) {
    Study study =
        studyWith({determination("2009.01", "total", 1, 40.0), determination("2009.01", "total", 2, 41.0)});
    study.fibre.recipes = {loaf()};
    const auto findings = analyse(study, study.plan);
    ASSERT_TRUE(findings.ok());
    const auto json = nlohmann::json::parse(resultsJson(findings.value()));
    EXPECT_EQ(json["fibre"]["rule"]["key"], "eu");
    EXPECT_EQ(json["fibre"]["results"][0]["as_is_g_per_100_g"], 40.5);
    EXPECT_EQ(json["fibre"]["recipes"].size(), 2U);
    EXPECT_EQ(json["fibre"]["methods"].size(), fibreMethods().size());
    for (const char* key : {"fibre_results", "fibre_methods", "fibre_statements", "recipes"}) {
        const Table table = buildTable(key, study, findings.value());
        EXPECT_FALSE(table.rows.empty()) << key;
        std::set<std::string> keys;
        for (const Row& row : table.rows) {
            EXPECT_EQ(row.cells.size(), table.columns.size()) << key;
            EXPECT_TRUE(keys.insert(row.key).second) << key;
        }
        const Study none = studyWith({}, "");
        const Table empty = buildTable(key, none, Findings{});
        EXPECT_TRUE(empty.rows.empty()) << key;
        EXPECT_FALSE(empty.emptyText.empty()) << key;
    }
}

TEST(FibreFindings, ALotOfResultsStaysBounded) {
    std::vector<FibreResult> results;
    for (int i = 0; i < 300; ++i) {
        FibreResult one =
            determination(i % 2 == 0 ? "991.43" : "2009.01", "total", 1, i % 2 == 0 ? 10.0 : 20.0);
        one.laboratory = std::to_string(i);
        results.push_back(one);
    }
    const auto found = findingsOf(studyWith(std::move(results)));
    EXPECT_EQ(found.disagreements.size(), mostDisagreements);
}

}  // namespace
}  // namespace aftercurve
