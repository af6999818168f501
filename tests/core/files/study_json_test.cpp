#include "core/files/study_json.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>

#include "tests/core/files/problem_matchers.h"
#include "tests/support/study_files.h"

namespace aftercurve {
namespace {

using test::smallStudyJson;
using testing::ElementsAre;
using testing::IsEmpty;
using testing::Optional;
using testing::SizeIs;

struct JsonReading {
    std::optional<StudyDeclaration> study;
    std::vector<Problem> problems;
};

JsonReading readJson(std::string_view text) {
    const ReadLimits limits;
    ProblemList problems{limits.problemsListed};
    auto declared = readStudyJson(text, limits, problems);
    return {std::move(declared), problems.take()};
}

/// smallStudyJson() with the first `from` replaced.
std::string with(const std::string& from, const std::string& to) {
    std::string json = smallStudyJson();
    const std::size_t at = json.find(from);
    EXPECT_NE(at, std::string::npos) << from;
    return json.replace(at, from.size(), to);
}

std::string withPlan(const std::string& members) {
    return smallStudyJson(", \"plan\": {" + members + "}");
}

TEST(StudyJson, EveryKeyIsRead) {
    const auto reading = readJson(R"({"format": "aftercurve-study", "version": 1, "title": "Pulses",
 "foods": [{"id": "drink", "role": "reference", "available_carbohydrate_g": 50, "portion_g": 250.5},
           {"id": "water", "label": "Water", "role": "control"}, {"id": "pea", "role": "test", "portion_g": null}],
 "analytes": [{"id": "insulin", "unit": "mU/L", "specimen": "serum", "pmol_per_uiu": 6.945}, {"id": "lactate", "unit": "mmol/l"}],
 "samples": ["a.csv", "b/c.csv"], "subjects": "who.csv",
 "exclusions": [{"subject": "07", "food": "pea", "visit": 2, "analyte": "insulin", "reason": "haemolysed", "by": "AB", "on": "2026-03-02"}],
 "plan": {"window_end_min": 180, "baseline": "time-zero", "missing_interior": "exclude", "measure": "peak",
  "secondary_measures": ["time_to_peak"], "comparator": "water", "alpha": 0.01, "multiplicity": "none", "index": false,
  "index_outlier_rule": "2sd-once", "resamples": 500, "seed": 18446744073709551615}, "other": [1, 2]})");
    ASSERT_TRUE(reading.study) << linesOf(reading.problems);
    EXPECT_THAT(reading.problems, IsEmpty());
    const Study& study = reading.study->study;
    EXPECT_EQ(study.title, "Pulses");
    EXPECT_THAT(study.foods,
                ElementsAre(Food{"drink", "drink", FoodRole::reference, 50.0, 250.5},
                            Food{"water", "Water", FoodRole::control, std::nullopt, std::nullopt},
                            Food{"pea", "pea", FoodRole::test, std::nullopt, std::nullopt}));
    EXPECT_THAT(study.analytes,
                ElementsAre(Analyte{"insulin", "µIU/mL", "serum"}, Analyte{"lactate", "mmol/L", ""}));
    EXPECT_EQ(reading.study->conversions[0].insulinPmolPerUiu, 6.945);
    EXPECT_EQ(reading.study->conversions[1].insulinPmolPerUiu, 6.00);
    EXPECT_THAT(study.sampleFiles, ElementsAre("a.csv", "b/c.csv"));
    EXPECT_EQ(study.subjectsFile, "who.csv");
    EXPECT_THAT(study.exclusions,
                ElementsAre(Exclusion{"07", "pea", 2, "insulin", "haemolysed", "AB", "2026-03-02"}));
    Plan plan;
    plan.windowEndMin = 180;
    plan.baseline = BaselineRule::timeZero;
    plan.missingInterior = MissingInteriorRule::exclude;
    plan.measure = "peak";
    plan.secondaryMeasures = {"time_to_peak"};
    plan.comparator = "water";
    plan.alpha = 0.01;
    plan.multiplicity = Multiplicity::none;
    plan.index = false;
    plan.indexOutlierRule = IndexOutlierRule::twoSdOnce;
    plan.resamples = 500;
    plan.seed = UINT64_MAX;
    EXPECT_EQ(study.plan, plan);
}

TEST(StudyJson, AbsentPlanKeysKeepTheirDefaults) {
    EXPECT_EQ(readJson(smallStudyJson()).study->study.plan, Plan{});
    EXPECT_EQ(readJson(withPlan("\"alpha\": null")).study->study.plan, Plan{});
    // Values are not judged here.
    EXPECT_EQ(readJson(withPlan("\"alpha\": 7, \"measure\": \"anything\"")).study->study.plan.alpha, 7.0);
}

struct BadJson {
    const char* name;
    std::string text;
    const char* column;
    const char* named;
};

class BadStudyJson : public testing::TestWithParam<BadJson> {};

TEST_P(BadStudyJson, IsNamedByItsPath) {
    const auto reading = readJson(GetParam().text);
    EXPECT_FALSE(reading.study);
    ASSERT_THAT(reading.problems, SizeIs(1)) << linesOf(reading.problems);
    const Problem& problem = reading.problems[0];
    EXPECT_EQ(problem.severity, Severity::error);
    EXPECT_EQ(problem.file, "study.json");
    EXPECT_EQ(problem.column, GetParam().column);
    EXPECT_THAT(lineFor(problem), testing::HasSubstr(GetParam().named));
    EXPECT_FALSE(problem.remedy.empty());
    EXPECT_TRUE(isFitForPrint(reading.problems));
}

const std::string formatWord = R"("aftercurve-study")";
const std::string glucose = R"({"id": "glucose", "unit": "mmol/L"})";

INSTANTIATE_TEST_SUITE_P(
    StudyJson, BadStudyJson,
    testing::Values(
        BadJson{"otherFormat", with(formatWord, "\"other\""), "format", "format is 'other'"},
        BadJson{"noFormat", with("\"format\"", "\"fromat\""), "format", "format is missing"},
        BadJson{"formatNumber", with(formatWord, "3"), "format", "format is 3; text in quotes is expected"},
        BadJson{
            "version3", with("\"version\": 1", "\"version\": 3"), "version",
            "version is 3: the study was written by a newer program; this program reads the versions 1 to 2"},
        BadJson{"version0", with("\"version\": 1", "\"version\": 0"), "version",
                "version is 0; this program reads the versions 1 to 2"},
        BadJson{"versionText", with("\"version\": 1", "\"version\": \"1\""), "version",
                "version is '1'; this program reads the versions 1 to 2"},
        BadJson{"versionFraction", with("\"version\": 1", "\"version\": 1.0"), "version",
                "this program reads the versions 1 to 2"},
        BadJson{"noVersion", with("\"version\": 1,", ""), "version", "version is missing"},
        BadJson{"noFoods", with("\"foods\"", "\"food\""), "foods", "foods is missing"},
        BadJson{"foodsObject", with("\"foods\": [", "\"foods\": {}, \"x\": ["), "foods",
                "foods is an object; a list"},
        BadJson{"foodsEmpty", with("\"foods\": [", "\"foods\": [], \"x\": ["), "foods",
                "foods is an empty list"},
        BadJson{"foodText", with("\"foods\": [", "\"foods\": [\"rye\", "), "foods[0]",
                "foods[0] is 'rye'; an object"},
        BadJson{"foodTwice", with("\"id\": \"barley\"", "\"id\": \"drink\""), "foods[1].id",
                "foods[1].id 'drink' appears twice"},
        BadJson{"foodIdEmpty", with("\"id\": \"barley\"", "\"id\": \"\""), "foods[1].id",
                "foods[1].id is empty"},
        BadJson{"foodIdNumber", with("\"id\": \"barley\"", "\"id\": 4"), "foods[1].id",
                "foods[1].id is 4; text in quotes"},
        BadJson{"foodIdControl", with("\"id\": \"barley\"", "\"id\": \"bar\\u001bley\""), "foods[1].id",
                "control characters: 'bar?ley'"},
        BadJson{"noRole", with(", \"role\": \"test\"", ""), "foods[1].role", "foods[1].role is missing"},
        BadJson{"otherRole", with("\"role\": \"test\"", "\"role\": \"tests\""), "foods[1].role",
                "use one of reference, control, test"},
        BadJson{"negativePortion", with("\"role\": \"test\"", "\"role\": \"test\", \"portion_g\": -1"),
                "foods[1].portion_g", "foods[1].portion_g is -1; it cannot be negative"},
        BadJson{"carbohydrateText",
                with("\"role\": \"test\"", "\"role\": \"test\", \"available_carbohydrate_g\": \"50 g\""),
                "foods[1].available_carbohydrate_g", "is '50 g'; a number"},
        BadJson{"analyteTwice", with(glucose, glucose + "," + glucose), "analytes[1].id",
                "analytes[1].id 'glucose' appears twice"},
        BadJson{"unknownUnit", with("mmol/L", "mmol/kg"), "analytes[0].unit",
                "'mmol/kg', which is not a known unit of glucose; use one of mmol/L, mg/dL"},
        BadJson{"insulinFactor", with(glucose, R"({"id": "insulin", "unit": "pmol/L", "pmol_per_uiu": 7})"),
                "analytes[0].pmol_per_uiu", "is 7; the factors in use are 6.00 and 6.945"},
        BadJson{"noSamples", with("\"samples\"", "\"sample\""), "samples", "samples is missing"},
        BadJson{"samplesText", with("[\"samples.csv\"]", "\"samples.csv\""), "samples",
                "samples is 'samples.csv'; a list"},
        BadJson{"samplesEmpty", with("[\"samples.csv\"]", "[]"), "samples", "samples is an empty list"},
        BadJson{"samplesNumber", with("[\"samples.csv\"]", "[1]"), "samples[0]", "samples[0] is 1; text"},
        BadJson{"samplesTwice", with("[\"samples.csv\"]", "[\"a.csv\", \"a.csv\"]"), "samples[1]",
                "samples[1] 'a.csv' appears twice"},
        BadJson{"titleList", with("\"Invented barley study\"", "[1]"), "title", "title is a list; text"},
        BadJson{"keyTwice", with("\"role\": \"test\"", "\"role\": \"test\", \"role\": \"control\""),
                "foods[1].role", "the key foods[1].role appears twice"},
        BadJson{"planList", smallStudyJson(", \"plan\": []"), "plan", "plan is a list; an object"},
        BadJson{"planBaseline", withPlan("\"baseline\": \"fasting\""), "plan.baseline",
                "plan.baseline is 'fasting', which is not a known rule; use one of fasting-mean, time-zero"},
        BadJson{"planMissing", withPlan("\"missing_interior\": \"drop\""), "plan.missing_interior",
                "use one of span, exclude"},
        BadJson{"planMultiplicity", withPlan("\"multiplicity\": \"b\""), "plan.multiplicity",
                "use one of none, holm"},
        BadJson{"planOutlier", withPlan("\"index_outlier_rule\": \"all\""), "plan.index_outlier_rule",
                "use one of none, 2sd-once, 2sd-repeated"},
        BadJson{"planAlphaText", withPlan("\"alpha\": \"0.05\""), "plan.alpha",
                "plan.alpha is '0.05'; a number"},
        BadJson{"planIndexNumber", withPlan("\"index\": 1"), "plan.index", "plan.index is 1; true or false"},
        BadJson{"planSeedNegative", withPlan("\"seed\": -1"), "plan.seed",
                "plan.seed is -1; a whole number from 0"},
        BadJson{"planResamplesFraction", withPlan("\"resamples\": 1.5"), "plan.resamples",
                "plan.resamples is 1.5; a whole number"},
        BadJson{"planResamplesHuge", withPlan("\"resamples\": 18446744073709551615"), "plan.resamples",
                "a whole number"},
        BadJson{"planSecondary", withPlan("\"secondary_measures\": [\"peak\", 3]"),
                "plan.secondary_measures[1]", "plan.secondary_measures[1] is 3"},
        BadJson{"exclusionAll", smallStudyJson(R"(, "exclusions": [{"reason": "x"}])"),
                "exclusions[0].subject", "would exclude the whole study"},
        BadJson{"exclusionVisit",
                smallStudyJson(R"(, "exclusions": [{"visit": 0, "food": "drink", "reason": "x"}])"),
                "exclusions[0].visit", "exclusions[0].visit is 0; visits are counted from 1"},
        BadJson{"exclusionSubject",
                smallStudyJson(R"(, "exclusions": [{"subject": 7, "food": "drink", "reason": "x"}])"),
                "exclusions[0].subject", "exclusions[0].subject is 7; text"},
        BadJson{"numberOverflow", withPlan("\"alpha\": 1e999"), "", "a number in the file is too large"},
        BadJson{"list", "[1, 2]", "", "does not hold a JSON object"},
        BadJson{"empty", "", "", "the file is empty (0 bytes)"},
        BadJson{"utf16", std::string("\xff\xfe{\0", 4), "", "UTF-16"},
        BadJson{"notUtf8", "{\"a\": \"\xff\"}", "", "not UTF-8"}),
    [](const auto& param) { return std::string{param.param.name}; });

TEST(StudyJson, WhatIsNotJsonIsRefusedAtItsLine) {
    const auto reading = readJson("{\n \"format\": \"aftercurve-study\",\n \"version\" 1\n}\n");
    EXPECT_FALSE(reading.study);
    EXPECT_THAT(reading.problems, HasProblem(Severity::error, "study.json:3", "the file is not JSON"));
    EXPECT_FALSE(readJson("subject,food\n").study);
    EXPECT_FALSE(readJson("{\"a\": 1} {").study);
    EXPECT_FALSE(readJson("{\"a\": \"\\ud800\"}").study);
}

TEST(StudyJson, DeepNestingIsRefusedAtOnce) {
    for (const std::string& text : {std::string(100'000, '['), "{\"a\":" + std::string(100'000, '['),
                                    std::string(100'000, '[') + std::string(100'000, ']')}) {
        EXPECT_THAT(readJson(text).problems,
                    HasProblem(Severity::error, "study.json", "nested deeper than 32 levels"));
    }
    std::string objects;
    for (int i = 0; i < 100'000; ++i) {
        objects += "{\"a\":";
    }
    EXPECT_THAT(readJson(objects).problems,
                HasProblem(Severity::error, "study.json", "nested deeper than 32 levels"));
    // The limit itself is fine: the root is one level, and 31 more.
    EXPECT_TRUE(readJson(smallStudyJson(", \"x\": " + std::string(31, '[') + std::string(31, ']'))).study);
    EXPECT_FALSE(readJson(smallStudyJson(", \"x\": " + std::string(32, '[') + std::string(32, ']'))).study);
}

TEST(StudyJson, ObjectsOfVeryManyKeysAreRefused) {
    std::string members;
    for (int i = 0; i < 1001; ++i) {
        members += (i == 0 ? "\"k" : ", \"k") + std::to_string(i) + "\": 0";
    }
    EXPECT_THAT(readJson(smallStudyJson(", \"x\": {" + members + "}")).problems,
                HasProblem(Severity::error, "study.json", "more than 1000 keys"));
}

TEST(StudyJson, AllFaultsAreListed) {
    const auto reading =
        readJson(R"({"format": "aftercurve-study", "version": 1, "foods": [{"id": "a"}, {"role": "test"}],
 "analytes": 3, "samples": [""], "plan": {"alpha": [], "index": "yes"}})");
    EXPECT_FALSE(reading.study);
    std::vector<std::string> columns;
    for (const Problem& problem : reading.problems) {
        columns.push_back(problem.column);
    }
    EXPECT_THAT(columns, ElementsAre("foods[0].role", "foods[1].id", "analytes", "samples[0]", "plan.alpha",
                                     "plan.index"));
}

TEST(StudyJson, ExclusionsThatMatchNothingOrHaveNoReasonAreWarnedOf) {
    const auto reading = readJson(smallStudyJson(
        R"(, "exclusions": [{"food": "rye", "reason": "x"}, {"food": "drink"}, {"analyte": "lactate", "reason": "y", "raeson": 1}])"));
    ASSERT_TRUE(reading.study);
    EXPECT_THAT(reading.problems, HasProblem(Severity::warning, "study.json",
                                             "exclusions[0].food is 'rye', which is not in the study"));
    EXPECT_THAT(reading.problems, HasProblem(Severity::warning, "study.json",
                                             "exclusions[1].reason is missing: no reason given"));
    EXPECT_THAT(reading.problems,
                HasProblem(Severity::warning, "study.json", "exclusions[2].analyte is 'lactate'"));
    EXPECT_THAT(reading.problems,
                HasProblem(Severity::note, "study.json", "exclusions[2].raeson is not a key"));
    EXPECT_THAT(reading.problems, SizeIs(4));
    EXPECT_EQ(reading.study->study.exclusions[1].reason, "no reason given");
}

TEST(StudyJson, AMisspeltPlanKeyIsNoted) {
    const auto reading = readJson(withPlan("\"alhpa\": 0.01"));
    ASSERT_TRUE(reading.study);
    EXPECT_THAT(reading.problems, HasProblem(Severity::note, "study.json", "plan.alhpa is not a key"));
}

}  // namespace
}  // namespace aftercurve
