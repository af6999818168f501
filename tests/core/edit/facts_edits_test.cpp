// Composition, parts of a meal and conduct: read, changed, taken back, written.
#include "core/edit/facts_edits.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <limits>

#include "core/edit/edit.h"
#include "core/edit/study_json_patch.h"
#include "core/edit/unsaved_changes.h"
#include "core/files/json_text.h"
#include "core/files/study_json.h"
#include "tests/support/study_files.h"

namespace aftercurve {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

constexpr const char* facts = R"({"format": "aftercurve-study", "version": 1,
 "foods": [{"id": "toast", "role": "test", "portion_g": 90, "serving_g": 30, "energy_kj": 900.5, "protein_g": 8,
   "fat_g": 2, "sugars_g": 3, "starch_g": 40, "resistant_starch_g": 6, "slowly_digestible_starch_g": 10,
   "fibre_g": 12, "oven": "B",
   "parts": [{"label": "Toast", "carbohydrate_g": 30, "index": 70, "scale": "white-bread", "source": "invented"},
             {"label": "Jam", "carbohydrate_g": 20, "index": 51}]},
  {"id": "drink", "role": "reference"}],
 "analytes": [{"id": "glucose", "unit": "mmol/L"}, {"id": "insulin", "unit": "pmol/L", "pmol_per_uiu": 6.945}],
 "samples": ["a.csv"],
 "conduct": {"population": "healthy adults", "randomised": true, "fast_hours": 10, "room": "B2"}})";

Study readFacts(const std::string& json) {
    ProblemList problems{50};
    const auto declared = readStudyJson(json, ReadLimits{}, problems);
    for (const Problem& problem : problems.take()) {
        ADD_FAILURE() << problem.what;
    }
    return declared ? declared->study : Study{};
}

TEST(StudyFacts, AreReadKeyByKey) {
    const Study study = readFacts(facts);
    const FoodComposition& toast = study.foods[0].composition;
    EXPECT_EQ(toast.servingG, 30.0);
    EXPECT_EQ(toast.energyKj, 900.5);
    EXPECT_EQ(toast.proteinG, 8.0);
    EXPECT_EQ(toast.fatG, 2.0);
    EXPECT_EQ(toast.sugarsG, 3.0);
    EXPECT_EQ(toast.starchG, 40.0);
    EXPECT_EQ(toast.resistantStarchG, 6.0);
    EXPECT_EQ(toast.slowlyDigestibleStarchG, 10.0);
    EXPECT_EQ(toast.fibreG, 12.0);
    EXPECT_EQ(study.foods[1].composition, FoodComposition{});
    EXPECT_THAT(study.foods[0].parts,
                ElementsAre(MealPart{"Toast", 30.0, 70.0, IndexScale::whiteBread, "invented"},
                            MealPart{"Jam", 20.0, 51.0, IndexScale::glucose, ""}));
    EXPECT_EQ(study.conduct.population, "healthy adults");
    EXPECT_EQ(study.conduct.randomised, true);
    EXPECT_EQ(study.conduct.fastHours, 10.0);
    EXPECT_EQ(study.conduct.blinding, "");
    EXPECT_EQ(study.insulinPmolPerUiu, 6.945);
}

TEST(StudyFacts, WhatIsWrongIsNamedByItsPath) {
    const struct {
        const char* from;
        const char* to;
        const char* path;
    } wrongs[] = {{"\"fibre_g\": 12", "\"fibre_g\": -1", "foods[0].fibre_g"},
                  {"\"label\": \"Jam\", ", "", "foods[0].parts[1].label"},
                  {", \"index\": 51", "", "foods[0].parts[1].index"},
                  {"\"index\": 51", "\"index\": -5", "foods[0].parts[1].index"},
                  {"\"white-bread\"", "\"rye\"", "foods[0].parts[0].scale"},
                  {"\"randomised\": true", "\"randomised\": \"yes\"", "conduct.randomised"},
                  {"\"fast_hours\": 10", "\"fast_hours\": -10", "conduct.fast_hours"}};
    for (const auto& [from, to, path] : wrongs) {
        std::string json = facts;
        json.replace(json.find(from), std::string{from}.size(), to);
        ProblemList problems{50};
        EXPECT_FALSE(readStudyJson(json, ReadLimits{}, problems)) << path;
        const auto list = problems.take();
        ASSERT_FALSE(list.empty()) << path;
        EXPECT_EQ(list[0].column, path);
    }
}

TEST(StudyFacts, ASaveKeepsWhatItDoesNotKnowAndChangesTheRest) {
    const Study was = readFacts(facts);
    Study now = was;
    Conduct conduct = was.conduct;
    conduct.blinding = "analysts";
    conduct.randomised = false;
    conduct.fastHours = std::nullopt;
    ASSERT_TRUE(apply(now, SetConduct{conduct}).ok());
    ASSERT_TRUE(apply(now, SetParts{0, {{"Milk", 12.5, 30.0, IndexScale::glucose, ""}}}).ok());
    now.foods[0].composition.fibreG = 13.25;
    Origins origins;
    origins.foods = {0, 1};
    origins.analytes = {0, 1};
    const auto patched = patchedStudyJson(facts, was, now, origins);
    ASSERT_TRUE(patched.ok());
    const Study read = readFacts(patched.value().text);
    EXPECT_EQ(read.conduct, now.conduct);
    EXPECT_EQ(read.foods, now.foods);
    EXPECT_THAT(patched.value().text, HasSubstr("\"room\": \"B2\""));
    EXPECT_THAT(patched.value().text, HasSubstr("\"oven\": \"B\""));
}

TEST(StudyFacts, AChangeIsTakenBackAndSurvivesTheLog) {
    Study study = readFacts(facts);
    const Study before = study;
    Conduct conduct;
    conduct.ethics = "2026/14";
    for (const Change& change :
         {Change{SetConduct{conduct}},
          Change{SetParts{0, {{"Milk", 12.5, 30.0, IndexScale::whiteBread, "invented"}}}}}) {
        const Result<Change> logged = changeFrom(changeJson(change));
        ASSERT_TRUE(logged.ok());
        const Result<Change> inverse = apply(study, logged.value());
        ASSERT_TRUE(inverse.ok());
        EXPECT_NE(study, before);
        EXPECT_FALSE(describe(before, change).empty());
        ASSERT_TRUE(apply(study, inverse.value()).ok());
        EXPECT_EQ(study, before);
    }
}

TEST(StudyFacts, WhatTheFileCouldNotHoldIsRefused) {
    Study study = readFacts(facts);
    const Study before = study;
    Conduct conduct;
    conduct.population = "two\nlines";
    EXPECT_FALSE(apply(study, SetConduct{conduct}).ok());
    conduct = {};
    conduct.fastHours = std::numeric_limits<double>::infinity();
    EXPECT_FALSE(apply(study, SetConduct{conduct}).ok());
    EXPECT_FALSE(apply(study, SetParts{7, {}}).ok());
    EXPECT_FALSE(apply(study, SetParts{0, {{"", 1.0, 1.0, IndexScale::glucose, ""}}}).ok());
    EXPECT_FALSE(apply(study, SetParts{0, {{"Milk", -1.0, 1.0, IndexScale::glucose, ""}}}).ok());
    EXPECT_FALSE(apply(study, SetParts{0, std::vector<MealPart>(101, {"Milk", 1.0, 1.0, {}, ""})}).ok());
    EXPECT_FALSE(apply(study, RemoveRow{StudyTable::foods, 0}).ok()) << "it has parts";
    EXPECT_EQ(study, before);
    ASSERT_TRUE(apply(study, SetParts{0, {}}).ok());
    EXPECT_TRUE(apply(study, RemoveRow{StudyTable::foods, 0}).ok());
}

TEST(StudyFacts, AFoodThatIsRemovedComesBackWithItsComposition) {
    Study study = readFacts(facts);
    ASSERT_TRUE(apply(study, SetParts{0, {}}).ok());
    const Study before = study;
    const Result<Change> back = apply(study, RemoveRow{StudyTable::foods, 0});
    ASSERT_TRUE(back.ok());
    ASSERT_TRUE(apply(study, back.value()).ok());
    EXPECT_EQ(study, before);
}

TEST(StudyFacts, RenamingAnAnalyteRenamesItsLimit) {
    Study study = readFacts(facts);
    study.plan.curvePlan.limits = {{"glucose", 7.8}, {"insulin", 300.0}};
    EXPECT_FALSE(apply(study, SetCell{StudyTable::analytes, 1, 0, "glucose"}).ok());
    study.plan.curvePlan.limits = {{"glucose", 7.8}, {"zinc", 3.0}};
    EXPECT_FALSE(apply(study, SetCell{StudyTable::analytes, 0, 0, "zinc"}).ok())
        << "the plan's limit would then mean another analyte";
}

}  // namespace
}  // namespace aftercurve
