// A study folder with diary and assays, from its files to results.json and the report.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "core/findings/analyse.h"
#include "core/findings/results_json.h"
#include "core/report/report_html.h"
#include "tests/core/files/problem_matchers.h"
#include "tests/support/study_files.h"

namespace aftercurve {
namespace {

using testing::HasSubstr;

constexpr const char* key = R"(, "diary": {"file": "diary.csv", "planned_days": 2,
 "items": [{"id": "bloating"}, {"id": "cramps"}],
 "events": [{"subject": "01", "food": "barley", "what": "<b>headache</b>", "severity": "severe"}]},
 "exclusions": [{"subject": "03", "reason": "did not eat the food"}])";

struct Analysed {
    Study study;
    Findings findings;
};

Analysed analysed() {
    test::StudyFiles files{
        "subject,food,time_min,glucose\n01,drink,0,4.5\n01,drink,120,6.5\n01,barley,0,4.4\n01,barley,120,5."
        "5\n",
        test::smallStudyJson(key)};
    files.folder.write("diary.csv",
                       "subject,food,day,bloating,cramps\n"
                       "01,drink,1,0,0\n01,drink,2,0,0\n01,barley,1,2,1\n01,barley,2,1,1\n"
                       "02,drink,1,1,0\n02,drink,2,0,0\n02,barley,1,2,0\n"
                       "03,drink,1,3,3\n03,barley,1,3,3\n");
    auto reading = files.read();
    EXPECT_TRUE(reading.study) << linesOf(reading.problems);
    auto findings = analyse(*reading.study, reading.study->plan, reading.problems);
    EXPECT_TRUE(findings.ok());
    return {std::move(*reading.study), std::move(findings).value()};
}

TEST(ToleranceStudy, StandsInTheResultsByIdWithItsProblems) {
    const Analysed all = analysed();
    const auto json = nlohmann::json::parse(resultsJson(all.findings));
    const auto& tolerance = json["tolerance"];
    EXPECT_EQ(tolerance["comparator"], "drink");
    ASSERT_EQ(tolerance["tests"].size(), 9U);  // three measures of two items and the composite
    const auto& first = tolerance["tests"][0];
    EXPECT_EQ(first["item"], "bloating");
    EXPECT_EQ(first["measure"], "worst");
    EXPECT_EQ(first["food"], "barley");
    EXPECT_EQ(first["n_pairs"], 2);  // the third subject is excluded
    EXPECT_EQ(first["mean_difference"], 1.5);
    EXPECT_EQ(tolerance["adverse_events"].size(), 1U);
    EXPECT_EQ(tolerance["diary_missing"].size(), 1U);
    EXPECT_EQ(tolerance["diary_missing"][0]["missing"], "2");
    EXPECT_TRUE(json["bridge"].empty());
    EXPECT_THAT(all.findings.problems, HasProblem(Severity::warning, "study.json", "a severe adverse event"));
    EXPECT_THAT(all.findings.problems, HasProblem(Severity::note, "diary.csv", "1 of 8 planned diary days"));
    for (const Problem& problem : all.findings.problems) {  // the exclusion takes diary days out
        EXPECT_EQ(problem.what.find("takes nothing out"), std::string::npos) << problem.what;
    }
    EXPECT_EQ(all.findings.inputs.back().file, "diary.csv");
}

TEST(ToleranceStudy, StandsInTheReportEscaped) {
    const Analysed all = analysed();
    const std::string html = reportHtml(reportDocument(all.study, all.findings, {}), {});
    EXPECT_THAT(html, HasSubstr("Symptom scores against the comparator"));
    EXPECT_THAT(html, HasSubstr("Subjects kept a diary of each day"));
    EXPECT_THAT(html, HasSubstr("medical oversight"));
    EXPECT_THAT(html, HasSubstr("&lt;b&gt;headache"));
    EXPECT_EQ(html.find("<b>headache"), std::string::npos);
}

}  // namespace
}  // namespace aftercurve
