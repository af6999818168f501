#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "core/findings/analyse.h"
#include "core/findings/results_json.h"
#include "core/findings/table.h"
#include "core/report/report_html.h"
#include "tests/support/feeding_study.h"

namespace aftercurve {

using test::FeedingStudy;
using testing::AllOf;
using testing::HasSubstr;
using Json = nlohmann::json;

namespace {

Findings findingsOf(const Study& study) {
    auto findings = analyse(study, study.plan);
    EXPECT_TRUE(findings.ok());
    return std::move(findings).value();
}

const Row* rowOf(const Table& table, const std::string& key) {
    for (const Row& row : table.rows) {
        if (row.key == key) {
            return &row;
        }
    }
    return nullptr;
}

Cell cell(const Table& table, const Row& row, const std::string& column) {
    for (std::size_t c = 0; c < table.columns.size(); ++c) {
        if (table.columns[c].key == column) {
            return row.cells[c];
        }
    }
    ADD_FAILURE() << "no column " << column;
    return {};
}

}  // namespace

TEST(ExclusionsEffect, ComparesWithTheSameStudyWithoutExclusions) {
    FeedingStudy data;
    const Json whole = Json::parse(resultsJson(findingsOf(data.study)));
    EXPECT_TRUE(whole["ignoring_exclusions"].is_null());
    EXPECT_EQ(whole["exclusions_ignored"], false);

    data.study.exclusions = {{"03", "oats", std::nullopt, "", "unwell", "nurse", "2026-03-02"},
                             {"04", "bread", 1, "glucose", "clotted", "", "", 30.0}};
    const Findings findings = findingsOf(data.study);
    EXPECT_EQ(findings.exclusionCount, 2U);
    EXPECT_EQ(findings.comparisons[0].t.n, 7U);
    EXPECT_EQ(findings.comparisonsIgnoringExclusions[0].t.n, 8U);
    const Json json = Json::parse(resultsJson(findings));
    // The study without exclusions, analysed by itself, is the other computation.
    EXPECT_EQ(json["ignoring_exclusions"]["comparisons"], whole["comparisons"]);
    EXPECT_EQ(json["ignoring_exclusions"]["index"], whole["index"]);
    EXPECT_NE(json["comparisons"], whole["comparisons"]);
}

TEST(ExclusionsEffect, ACurveThatIsNotEstimableStaysSo) {
    FeedingStudy data;
    data.cell("03", "oats", 1, -10).reset();
    data.cell("03", "oats", 1, 0).reset();
    data.study.exclusions = {{"03", "oats", std::nullopt, "", "no fasting blood", "", ""}};
    const Findings findings = findingsOf(data.study);
    EXPECT_EQ(findings.comparisons[0].t.n, 7U);
    EXPECT_EQ(findings.comparisonsIgnoringExclusions[0].t.n, 7U);  // glucose
    EXPECT_EQ(findings.comparisonsIgnoringExclusions[1].t.n, 8U);  // insulin
}

TEST(ExclusionsTable, NamesWhatEachTakesOut) {
    FeedingStudy data;
    data.study.exclusions = {{"03", "", std::nullopt, "", "unwell", "nurse", "2026-03-02"},
                             {"04", "bread", 1, "insulin", "", "", "", 30.0},
                             {"99", "bread", 1, "", "no such subject", "", ""}};
    data.cell("03", "oats", 1, 60).reset();
    const Table table = buildTable("exclusions", data.study, findingsOf(data.study));
    ASSERT_EQ(table.rows.size(), 3U);
    // Three visits of two analytes and eight draws, one cell of them empty.
    EXPECT_EQ(cell(table, table.rows[0], "curves"), Cell{std::int64_t{6}});
    EXPECT_EQ(cell(table, table.rows[0], "samples"), Cell{std::int64_t{47}});
    EXPECT_EQ(cell(table, table.rows[0], "food"), Cell{std::string{"all"}});
    EXPECT_EQ(cell(table, table.rows[0], "by"), Cell{std::string{"nurse"}});
    EXPECT_EQ(cell(table, table.rows[1], "curves"), Cell{std::int64_t{0}});
    EXPECT_EQ(cell(table, table.rows[1], "samples"), Cell{std::int64_t{1}});
    EXPECT_EQ(cell(table, table.rows[1], "time_min"), Cell{30.0});
    EXPECT_EQ(cell(table, table.rows[1], "reason"), Cell{std::string{"no reason given"}});
    EXPECT_EQ(cell(table, table.rows[2], "samples"), Cell{std::int64_t{0}});
    EXPECT_TRUE(table.rows[2].muted);
}

TEST(ExclusionsEffectTable, HasBothResultsSideBySide) {
    FeedingStudy data;
    const Findings whole = findingsOf(data.study);
    data.study.exclusions = {{"03", "oats", std::nullopt, "", "unwell", "nurse", "2026-03-02"}};
    const Findings findings = findingsOf(data.study);
    const Table table = buildTable("exclusions_effect", data.study, findings);
    ASSERT_EQ(table.rows.size(), 4U);  // two analytes: a comparison and an index each
    const Row* difference = rowOf(table, "glucose/area_positive_incremental/oats");
    ASSERT_NE(difference, nullptr);
    EXPECT_EQ(cell(table, *difference, "n"), Cell{std::int64_t{7}});
    EXPECT_EQ(cell(table, *difference, "n_ignoring"), Cell{std::int64_t{8}});
    EXPECT_EQ(cell(table, *difference, "estimate"), Cell{*findings.comparisons[0].t.meanDifference});
    EXPECT_EQ(cell(table, *difference, "estimate_ignoring"), Cell{*whole.comparisons[0].t.meanDifference});
    EXPECT_EQ(cell(table, *difference, "p_ignoring"), Cell{*whole.comparisons[0].t.p});
    const Row* index = rowOf(table, "glucose/index/oats");
    ASSERT_NE(index, nullptr);
    EXPECT_EQ(cell(table, *index, "estimate_ignoring"), Cell{*whole.index[0].index.mean});
    const std::string report = reportHtml(reportDocument(data.study, findings, {}), {});
    EXPECT_THAT(report, AllOf(HasSubstr("Results with and without the exclusions"), HasSubstr("unwell")));
}

TEST(ExclusionsTables, SayWhyTheyAreEmpty) {
    FeedingStudy data;
    Findings findings = findingsOf(data.study);
    for (const char* key : {"exclusions", "exclusions_effect"}) {
        EXPECT_EQ(buildTable(key, data.study, findings).emptyText, "The study has no exclusions.");
    }
    findings.exclusionsIgnored = true;
    EXPECT_THAT(buildTable("exclusions", data.study, findings).emptyText, HasSubstr("asked to ignore"));
    EXPECT_EQ(Json::parse(resultsJson(findings))["exclusions_ignored"], true);
}

TEST(ProblemsOfChecks, StandInResultsJsonTableAndReport) {
    FeedingStudy data;
    data.cell("03", "oats", 1, 30) = 50.0;
    data.study.accepted = {
        {"decimal-slip", "03", "", std::nullopt, "", std::nullopt, "a <true> value", "AB", ""}};
    const Findings findings = findingsOf(data.study);
    const Json json = Json::parse(resultsJson(findings));
    bool seen = false;
    for (const Json& problem : json["problems"]) {
        ASSERT_TRUE(problem.contains("check"));
        ASSERT_TRUE(problem.contains("accepted_because"));
        if (problem["check"] == "decimal-slip") {
            EXPECT_EQ(problem["accepted_because"], "a <true> value; AB");
            seen = true;
        } else {
            EXPECT_TRUE(problem["accepted_because"].is_null());
        }
    }
    EXPECT_TRUE(seen);
    EXPECT_THAT(asCsv(buildTable("problems", data.study, findings)),
                HasSubstr(",decimal-slip,a <true> value; AB"));
    EXPECT_THAT(reportHtml(reportDocument(data.study, findings, {}), {}),
                HasSubstr("(accepted: a &lt;true&gt; value; AB)"));
}

TEST(ProblemsOfChecks, AMissingBaselineIsToldOnce) {
    FeedingStudy data;
    data.cell("03", "oats", 1, -10).reset();
    data.cell("03", "oats", 1, 0).reset();
    std::size_t told = 0;
    for (const Problem& p : findingsOf(data.study).problems) {
        told +=
            p.subject == "03" && p.what.find("no baseline") != std::string::npos && p.visit == 1 ? 1U : 0U;
        EXPECT_NE(p.check, "missing-baseline");
    }
    EXPECT_EQ(told, 1U);
}

}  // namespace aftercurve
