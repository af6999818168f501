// Every expectation follows from the meaning of the fields in docs/formats.md, Exclusions.
#include "core/study/laboratory_exclusion.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/study/curve_series.h"
#include "core/study/laboratory_counted.h"
#include "core/tolerance/diary_runs.h"
#include "tests/support/study_builder.h"
#include "tests/support/trial_assays.h"

namespace aftercurve {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;
using testing::SizeIs;

AssayReading reading(const std::string& sample, const std::string& run, int replicate, double timeMin) {
    AssayReading one;
    one.sample = sample;
    one.run = run;
    one.replicate = replicate;
    one.timeMin = timeMin;
    one.blank = sample.empty();
    return one;
}

FibreResult determination(const std::string& material, const std::string& method, int replicate) {
    FibreResult one;
    one.material = material;
    one.method = method;
    one.replicate = replicate;
    one.fraction = "total";
    return one;
}

Exclusion digestions(const std::string& material, const std::string& run, std::optional<int> replicate = {},
                     std::optional<double> timeMin = {}) {
    Exclusion one;
    one.material = material;
    one.run = run;
    one.replicate = replicate;
    one.timeMin = timeMin;
    one.reason = "enzyme left out";
    return one;
}

Exclusion results(const std::string& material, const std::string& method, std::optional<int> replicate = {}) {
    Exclusion one = digestions(material, "", replicate);
    one.method = method;
    return one;
}

template <class Row>
bool takes(const Exclusion& exclusion, const Row& row) {
    return excludes(std::span{&exclusion, 1}, row) != nullptr;
}

TEST(LaboratoryExclusion, IsOneThatNamesSomethingOfTheLaboratory) {
    EXPECT_FALSE(isOfLaboratory({"01", "oats", 1, "glucose", "ill", "", "", 30.0}));
    EXPECT_TRUE(isOfLaboratory(digestions("pea", "")));
    EXPECT_TRUE(isOfLaboratory(digestions("", "2")));
    EXPECT_TRUE(isOfLaboratory(digestions("", "", 1)));
    EXPECT_TRUE(isOfLaboratory(results("", "2009.01")));
    const std::vector<Exclusion> both{{"01", "", {}, "", "ill", "", ""}, digestions("pea", "")};
    EXPECT_TRUE(anyOfSubjects(both));
    EXPECT_TRUE(anyOfLaboratory(both));
    EXPECT_FALSE(anyOfSubjects(std::span{both}.subspan(1)));
    EXPECT_FALSE(anyOfLaboratory(std::span{both}.first(1)));
    EXPECT_FALSE(anyOfSubjects({}));
}

TEST(LaboratoryExclusion, AFieldLeftEmptyMatchesAll) {
    const AssayReading pea = reading("pea", "2", 1, 30.0);
    for (const Exclusion& one : {digestions("pea", ""), digestions("", "2"), digestions("", "", 1),
                                 digestions("pea", "2", 1), digestions("pea", "2", 1, 30.0)}) {
        EXPECT_TRUE(takes(one, pea)) << laboratoryPlace(one);
    }
    for (const Exclusion& one : {digestions("Pea", ""), digestions("pea", "1"), digestions("pea", "2", 2),
                                 digestions("pea", "2", 1, 20.0), results("pea", "2009.01"),
                                 Exclusion{"pea", "", {}, "", "", "", ""}}) {
        EXPECT_FALSE(takes(one, pea)) << laboratoryPlace(one);
    }
}

TEST(LaboratoryExclusion, OnlyItsWholeRunTakesOutABlank) {
    const AssayReading blank = reading("", "2", 1, 30.0);
    EXPECT_TRUE(takes(digestions("", "2"), blank));
    for (const Exclusion& one : {digestions("", "1"), digestions("pea", "2"), digestions("", "2", 1),
                                 digestions("", "2", {}, 30.0), digestions("", "", 1)}) {
        EXPECT_FALSE(takes(one, blank)) << laboratoryPlace(one);
    }
}

TEST(LaboratoryExclusion, OfFibreGoesByTheNumberOfTheMethod) {
    const FibreResult bran = determination("bran", "AOAC 2009.01", 3);
    EXPECT_TRUE(takes(results("bran", "2009.01", 3), bran));
    EXPECT_TRUE(takes(results("", "AOAC 2009.01"), bran));
    EXPECT_FALSE(takes(results("bran", "2009.01", 2), bran));
    EXPECT_FALSE(takes(results("bran", "2017.16"), bran));
    EXPECT_FALSE(takes(results("flour", "2009.01"), bran));
    EXPECT_FALSE(takes(digestions("bran", ""), bran));  // no method: digestions
}

TEST(LaboratoryExclusion, TheFirstThatMatchesIsTheOne) {
    const std::vector<Exclusion> list{digestions("oat", ""), digestions("pea", ""), digestions("", "2")};
    EXPECT_EQ(excludes(list, reading("pea", "2", 1, 30.0)), &list[1]);
    EXPECT_EQ(excludes(list, reading("rye", "2", 1, 30.0)), &list[2]);
    EXPECT_EQ(excludes(list, reading("rye", "1", 1, 30.0)), nullptr);
}

TEST(LaboratoryExclusion, TakesNothingOfASubject) {
    test::StudyBuilder builder;
    builder.food("oats", FoodRole::test).analyte("glucose", "mmol/L").curve("01", "oats", 1, {0, 30}, {5, 7});
    Study& study = builder.study();
    CurveSeries curve;
    DiaryDay day;
    day.subject = "01";
    day.food = "oats";
    for (const Exclusion& one :
         {digestions("", "", 1), digestions("", "2", {}, 30.0), results("", "2009.01")}) {
        EXPECT_FALSE(excludes(one, study, curve));
        EXPECT_FALSE(excludesSample(one, study, curve, 1));
        EXPECT_FALSE(excludesDay(one, day));
    }
    const auto whole = curveSeriesOf(study, study.plan);
    study.exclusions = {digestions("", "", 1, 30.0)};
    EXPECT_EQ(curveSeriesOf(study, study.plan).front().value, whole.front().value);
}

TEST(CountedAssays, LeavesOutRowsAndNamesWhatTheyWere) {
    Study study;
    study.assays = test::trialAssays();
    EXPECT_FALSE(countedAssays(study).without);
    study.assays.readings.push_back(reading("", "B", 1, 0.0));
    study.exclusions = {digestions("flakes", "A", 2), digestions("white", "A", 1, 60.0), digestions("", "B")};
    study.exclusions[2].reason.clear();
    const auto counted = countedAssays(study);
    ASSERT_TRUE(counted.without);
    // 6 digestions of 8 times each: without 1 + 3 + 3 digestions, 1 reading and the blank.
    EXPECT_THAT(counted.without->readings, SizeIs(96 - 7 * 8 - 1));
    EXPECT_EQ(counted.without->samples, study.assays.samples);
    ASSERT_THAT(counted.leftOut, SizeIs(9));
    EXPECT_EQ(counted.leftOut[0], (LaboratoryLeftOut{"White bread, run A, replicate 1, 60 min",
                                                     "enzyme left out", LaboratoryPart::reading}));
    EXPECT_EQ(counted.leftOut[1].what, "White bread, run B, replicate 1");
    EXPECT_EQ(counted.leftOut[1].reason, "no reason given");
    EXPECT_EQ(counted.leftOut[4].what, "Barley flakes, run A, replicate 2");
    EXPECT_EQ(counted.leftOut[8],
              (LaboratoryLeftOut{"the blanks of run B", "no reason given", LaboratoryPart::blanks}));
    EXPECT_EQ(
        leftOutWords(counted.leftOut, 1),
        "White bread, run A, replicate 1, 60 min (enzyme left out); and 8 more, see the table of exclusions");
}

TEST(CountedFibre, NamesADeterminationOnceForAllItsFractions) {
    Study study;
    study.fibre.results = {determination("bran", "AOAC 2009.01", 1), determination("bran", "2009.01", 2)};
    study.fibre.results.push_back(study.fibre.results[1]);
    study.fibre.results.back().fraction = "insoluble";
    study.exclusions = {results("bran", "2009.01", 2)};
    const auto counted = countedFibre(study);
    EXPECT_THAT(counted.of(study.fibre).results, ElementsAre(study.fibre.results[0]));
    EXPECT_THAT(counted.leftOut,
                ElementsAre(LaboratoryLeftOut{"bran, 2009.01, replicate 2", "enzyme left out",
                                              LaboratoryPart::determination}));
}

TEST(WhyAllExcluded, SpeaksOnlyWhereNothingIsLeft) {
    Study study;
    study.assays = test::trialAssays();
    const AssaySample& flakes = study.assays.samples[1];
    study.exclusions = {digestions("flakes", "A")};
    EXPECT_THAT(whyAllExcluded(study, flakes), IsEmpty());
    study.exclusions.push_back(digestions("flakes", "B"));
    study.exclusions.back().reason = "spilled";
    EXPECT_EQ(whyAllExcluded(study, flakes), "all its digestions are excluded: enzyme left out; spilled");
    study.assays.readings.clear();
    EXPECT_THAT(whyAllExcluded(study, flakes), IsEmpty());  // not excluded: there is none
}

}  // namespace
}  // namespace aftercurve
