// Exclusions of the laboratory in study.json: what docs/formats.md says of each key.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/files/exclusion_json.h"
#include "core/files/json_text.h"
#include "tests/core/files/problem_matchers.h"
#include "tests/support/study_files.h"

namespace aftercurve {
namespace {

using testing::AllOf;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::SizeIs;

constexpr const char* samplesText = "subject,food,time_min,glucose\n01,drink,0,4.5\n01,drink,30,6.5\n";

struct Reading {
    Exclusion exclusion;
    bool failed = false;
    std::vector<Problem> problems;
};

Reading readEntry(const std::string& text) {
    const Json entry = Json::parse(text);
    ProblemList problems{50};
    Reading reading;
    reading.exclusion = exclusionFrom(JsonObject{entry, "exclusions[0]", "study.json", problems});
    reading.failed = problems.failed();
    reading.problems = problems.take();
    return reading;
}

TEST(LaboratoryExclusions, EveryKeyIsRead) {
    const auto digestion = readEntry(
        R"({"material": "pea", "run": "2", "replicate": 3, "time_min": 30, "reason": "spilled", "by": "AB"})");
    EXPECT_THAT(digestion.problems, IsEmpty());
    EXPECT_EQ(digestion.exclusion.material, "pea");
    EXPECT_EQ(digestion.exclusion.run, "2");
    EXPECT_EQ(digestion.exclusion.replicate, 3);
    EXPECT_EQ(digestion.exclusion.timeMin, 30.0);
    EXPECT_EQ(digestion.exclusion.by, "AB");
    const auto fibre =
        readEntry(R"({"material": "bran", "method": "2009.01", "replicate": 1, "reason": "x"})");
    EXPECT_THAT(fibre.problems, IsEmpty());
    EXPECT_EQ(fibre.exclusion.method, "2009.01");
    EXPECT_FALSE(readEntry(R"({"run": "2", "reason": "x"})").failed);
    EXPECT_FALSE(readEntry(R"({"replicate": 1, "reason": "x"})").failed);
}

struct BadEntry {
    const char* name;
    std::string text;
    const char* column;
    const char* what;
};

class BadLaboratoryExclusion : public testing::TestWithParam<BadEntry> {};

TEST_P(BadLaboratoryExclusion, IsRefusedByItsPath) {
    const auto reading = readEntry(GetParam().text);
    EXPECT_TRUE(reading.failed);
    ASSERT_FALSE(reading.problems.empty());
    EXPECT_EQ(reading.problems[0].column, std::string{"exclusions[0]."} + GetParam().column);
    EXPECT_THAT(lineFor(reading.problems[0]), HasSubstr(GetParam().what));
    EXPECT_FALSE(reading.problems[0].remedy.empty());
}

INSTANTIATE_TEST_SUITE_P(
    Entries, BadLaboratoryExclusion,
    testing::Values(
        BadEntry{"withSubject", R"({"material": "pea", "subject": "01", "reason": "x"})", "material",
                 "write two entries"},
        BadEntry{"withFood", R"({"run": "2", "food": "drink", "reason": "x"})", "run", "write two entries"},
        BadEntry{"withVisit", R"({"method": "2009.01", "visit": 1, "reason": "x"})", "method",
                 "write two entries"},
        BadEntry{"withAnalyte", R"({"replicate": 2, "analyte": "glucose", "reason": "x"})", "replicate",
                 "write two entries"},
        BadEntry{"methodWithTime", R"({"method": "2009.01", "time_min": 30, "reason": "x"})", "time_min",
                 "a result of fibre has no time"},
        BadEntry{"methodWithRun", R"({"method": "2009.01", "run": "2", "reason": "x"})", "run",
                 "a result of fibre has no run"},
        BadEntry{"negative", R"({"material": "pea", "replicate": -1, "reason": "x"})", "replicate", "is -1"},
        BadEntry{"nought", R"({"material": "pea", "replicate": 0, "reason": "x"})", "replicate", "is 0"},
        BadEntry{"large", R"({"material": "pea", "replicate": 9000000000000000000, "reason": "x"})",
                 "replicate", "1000000"},
        BadEntry{"part", R"({"material": "pea", "replicate": 1.5, "reason": "x"})", "replicate", "1.5"},
        BadEntry{"numberAsRun", R"({"run": 2, "reason": "x"})", "run", "is 2; text"},
        BadEntry{"listAsMaterial", R"({"material": ["pea"], "reason": "x"})", "material", "text"},
        BadEntry{"objectAsMethod", R"({"method": {"a": 1}, "reason": "x"})", "method", "text"},
        BadEntry{"control", "{\"run\": \"2\\u0007\", \"reason\": \"x\"}", "run", "control"},
        BadEntry{"huge", R"({"material": ")" + std::string(100'000, 'p') + R"(", "reason": "x"})", "material",
                 "longer than 100 bytes"}),
    [](const auto& one) { return one.param.name; });

TEST(LaboratoryExclusions, RoundTripKeepsOtherKeysAndOldEntries) {
    Json root = Json::parse(R"({"exclusions": [
        {"subject": "07", "food": "drink", "visit": 2, "reason": "vomited", "ward": "B"},
        {"material": "pea", "run": "2", "replicate": 1, "reason": "spilled", "sheet": 4},
        {"method": "2009.01", "material": "bran", "reason": "ash"}]})");
    const std::string before = root.dump();
    std::vector<Exclusion> list;
    ProblemList unheard{50};
    for (const Json& entry : root["exclusions"]) {
        list.push_back(exclusionFrom(JsonObject{entry, "", "", unheard}));
    }
    putExclusions(list, root);
    EXPECT_EQ(root.dump(), before);
    list[1].replicate = 2;
    list.push_back({});
    list.back().run = "3";
    list.back().timeMin = 20.0;
    list.back().reason = "no shaking";
    putExclusions(list, root);
    EXPECT_EQ(root["exclusions"][0]["ward"], "B");
    EXPECT_EQ(root["exclusions"][1],
              Json::parse(R"({"material": "pea", "run": "2", "replicate": 2, "reason": "spilled"})"));
    EXPECT_EQ(root["exclusions"][3], Json::parse(R"({"time_min": 20, "run": "3", "reason": "no shaking"})"));
    std::vector<Exclusion> again;
    for (const Json& entry : root["exclusions"]) {
        again.push_back(exclusionFrom(JsonObject{entry, "", "", unheard}));
    }
    EXPECT_EQ(again, list);
}

TEST(LaboratoryExclusions, AStudyFolderIsReadAndSavedWithThem) {
    const test::StudyFiles files{
        samplesText,
        test::smallStudyJson(R"(, "exclusions": [{"material": "pea", "run": "2", "reason": "spilled"}])")};
    auto reading = files.read();
    ASSERT_TRUE(reading.study) << linesOf(reading.problems);
    ASSERT_THAT(reading.study->exclusions, SizeIs(1));
    EXPECT_EQ(reading.study->exclusions[0].run, "2");
    const test::StudyFiles bad{
        samplesText, test::smallStudyJson(
                         R"(, "exclusions": [{"material": "pea", "subject": "01", "reason": "spilled"}])")};
    EXPECT_FALSE(bad.read().study);
}

}  // namespace
}  // namespace aftercurve
