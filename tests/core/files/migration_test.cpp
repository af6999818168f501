// Versions of study.json: what is read, what is written, and what an unknown key may expect.
#include "core/files/migration.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <string>

#include "tests/core/files/problem_matchers.h"
#include "tests/support/study_files.h"

namespace aftercurve {
namespace {

namespace fs = std::filesystem;
using test::smallStudyJson;
using test::StudyFiles;
using testing::HasSubstr;

constexpr const char* samplesCsv = "subject,food,time_min,glucose\n01,drink,0,5\n01,barley,0,4\n";

std::string withVersion(std::string json, const std::string& version) {
    return json.replace(json.find("\"version\": 1"), 12, "\"version\": " + version);
}

TEST(Migration, Version1IsReadAsItWasAndVersion2MeansTheSame) {
    const std::string old =
        smallStudyJson(R"(, "plan": {"alpha": 0.01}, "exclusions": [{"subject": "01", "reason": "ill"}])");
    const auto first = StudyFiles{samplesCsv, old}.read();
    const auto second = StudyFiles{samplesCsv, withVersion(old, "2")}.read();
    ASSERT_TRUE(first.study && second.study) << linesOf(first.problems) << linesOf(second.problems);
    EXPECT_EQ(first.study->studyJson, old);
    EXPECT_EQ(first.study->plan.alpha, 0.01);
    ASSERT_EQ(first.study->exclusions.size(), 1u);
    EXPECT_EQ(first.study->exclusions[0].subject, "01");
    Study same = *second.study;
    same.studyJson = first.study->studyJson;
    same.inputs = first.study->inputs;
    EXPECT_EQ(same, *first.study);
    EXPECT_EQ(first.problems, second.problems);
}

TEST(Migration, ANewerVersionIsRefusedWithWordsAndNeverWrittenOver) {
    for (const char* version : {"3", "2.5", "99999999999999999999", "18446744073709551615", "1e300"}) {
        const std::string json = withVersion(smallStudyJson(), version);
        const StudyFiles files{samplesCsv, json};
        EXPECT_THAT(files.read(), Refused("study.json", "was written by a newer program")) << version;
        EXPECT_THAT(savePlan(files.folder.path(), Study{}).problem().what, HasSubstr("newer program"));
        EXPECT_EQ(files.folder.read("study.json"), json);
    }
    for (const char* version : {"0", "-1", "1.0", "true", "\"2\"", "[]", "{}", "null"}) {
        const StudyFiles files{samplesCsv, withVersion(smallStudyJson(), version)};
        EXPECT_THAT(files.read(), Refused("study.json", "version is")) << version;
        EXPECT_FALSE(savePlan(files.folder.path(), Study{}).ok()) << version;
    }
}

TEST(Migration, SavingVersion1WritesVersion2AndKeepsTheOldTextOnce) {
    const StudyFiles files{samplesCsv};
    Study study = *files.read().study;
    ASSERT_TRUE(savePlan(files.folder.path(), study).ok());
    EXPECT_EQ(keptVersionName(1), "study.version-1.json");
    EXPECT_EQ(files.folder.read("study.version-1.json"), smallStudyJson());
    EXPECT_EQ(nlohmann::json::parse(files.folder.read("study.json"))["version"], 2);
    EXPECT_EQ(files.read().study->title, study.title);

    // A second save of version 1, put back by hand, does not touch what was kept first.
    files.folder.write("study.json", smallStudyJson(", \"mine\": 1"));
    ASSERT_TRUE(savePlan(files.folder.path(), study).ok());
    EXPECT_EQ(files.folder.read("study.version-1.json"), smallStudyJson());

    // A study of version 2 has nothing to keep.
    const StudyFiles current{samplesCsv, withVersion(smallStudyJson(), "2")};
    ASSERT_TRUE(savePlan(current.folder.path(), *current.read().study).ok());
    EXPECT_FALSE(fs::exists(current.folder.path() / "study.version-1.json"));
}

TEST(Migration, UnknownKeysStayOnEveryLevel) {
    const StudyFiles files{samplesCsv, R"({"mine": {"deep": [1, {"x": null}]}, "format": "aftercurve-study",
 "version": 1, "foods": [{"id": "drink", "role": "reference", "batch": "B-7"}, {"id": "barley", "role": "test"}],
 "analytes": [{"id": "glucose", "unit": "mmol/L", "device": {"serial": 4}}], "samples": ["samples.csv"],
 "exclusions": [{"subject": "01", "reason": "ill", "page": 12}], "plan": {"alpha": 0.01, "registered": true}})"};
    const auto reading = files.read();
    ASSERT_TRUE(reading.study) << linesOf(reading.problems);
    Study study = *reading.study;
    study.plan.alpha = 0.02;
    study.exclusions.push_back({"", "barley", {}, "", "spilt", "AB", "2026-03-02"});
    ASSERT_TRUE(savePlan(files.folder.path(), study).ok());
    const auto json = nlohmann::ordered_json::parse(files.folder.read("study.json"));
    EXPECT_EQ(json.begin().key(), "mine");
    EXPECT_EQ(json["mine"].dump(), R"({"deep":[1,{"x":null}]})");
    EXPECT_EQ(json["version"], 2);
    EXPECT_EQ(json["foods"][0]["batch"], "B-7");
    EXPECT_EQ(json["analytes"][0]["device"]["serial"], 4);
    EXPECT_EQ(json["exclusions"][0]["page"], 12);
    EXPECT_EQ(json["plan"]["registered"], true);
    EXPECT_EQ(json["plan"]["alpha"], 0.02);
}

TEST(Migration, StepsAddNothingButTheVersion) {
    const Json old = Json::parse(smallStudyJson(R"(, "exclusions": [{"subject": "01", "k": 1}])"));
    Json expected = old;
    expected["version"] = 2;
    const Json once = migratedStudy(old).value();
    EXPECT_EQ(once.dump(), expected.dump());
    EXPECT_EQ(migratedStudy(once).value().dump(), once.dump());
    EXPECT_FALSE(migratedStudy(Json::object()).ok());
}

}  // namespace
}  // namespace aftercurve
