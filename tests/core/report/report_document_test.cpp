#include "core/report/report_document.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

#include "core/base/caution.h"
#include "core/findings/analyse.h"
#include "core/findings/table.h"
#include "core/report/table_groups.h"
#include "tests/support/feeding_study.h"

namespace aftercurve {

using test::FeedingStudy;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

namespace {

Findings findingsOf(const Study& study) {
    auto findings = analyse(study, study.plan);
    EXPECT_TRUE(findings.ok());
    return std::move(findings).value();
}

std::vector<std::string> idsOf(const ReportDocument& document) {
    std::vector<std::string> ids;
    for (const ReportSection& section : document.sections) {
        ids.push_back(section.id);
    }
    return ids;
}

const ReportSection* sectionOf(const ReportDocument& document, const std::string& id) {
    const auto found = std::find_if(document.sections.begin(), document.sections.end(),
                                    [&id](const ReportSection& one) { return one.id == id; });
    return found == document.sections.end() ? nullptr : &*found;
}

template <class Block>
std::vector<Block> blocksOf(const ReportDocument& document) {
    std::vector<Block> blocks;
    for (const ReportSection& section : document.sections) {
        for (const ReportBlock& block : section.blocks) {
            if (const auto* one = std::get_if<Block>(&block)) {
                blocks.push_back(*one);
            }
        }
    }
    return blocks;
}

std::string firstText(const ReportSection& section) {
    return std::get<ReportParagraph>(section.blocks.front()).sentences.front().text;
}

const ReportTable* tableOf(const std::vector<ReportTable>& tables, std::string_view key) {
    const auto found = std::find_if(tables.begin(), tables.end(),
                                    [key](const ReportTable& table) { return table.printed.key == key; });
    return found == tables.end() ? nullptr : &*found;
}

}  // namespace

TEST(ReportDocument, TheCautionIsWhatAReaderMeetsFirst) {
    const FeedingStudy data;
    const ReportDocument document = reportDocument(data.study, findingsOf(data.study), {});
    EXPECT_EQ(document.sections.front().id, "caution");
    EXPECT_EQ(firstText(document.sections.front()), cautionText());
}

TEST(ReportDocument, SectionsStandInOrder) {
    FeedingStudy data;
    data.study.exclusions = {{"01", "oats", std::nullopt, "", "unwell", "AB", "2026-03-02"}};
    const ReportDocument document = reportDocument(data.study, findingsOf(data.study), {FigureSpec{}});
    std::vector<std::string> ids = idsOf(document);
    const std::vector<std::string> order{"caution",     "study",     "flow",     "problems",    "exclusions",
                                         "plan",        "methods",   "results",  "index",       "conformity",
                                         "evidence",    "insulin",   "portions", "time-course", "figures",
                                         "sensitivity", "provenance"};
    std::erase_if(ids, [&order](const std::string& id) {
        return std::find(order.begin(), order.end(), id) == order.end();
    });
    EXPECT_TRUE(std::is_sorted(ids.begin(), ids.end(), [&order](const std::string& a, const std::string& b) {
        return std::find(order.begin(), order.end(), a) < std::find(order.begin(), order.end(), b);
    })) << testing::PrintToString(ids);
    for (const char* must : {"study", "problems", "exclusions", "plan", "methods", "results", "provenance"}) {
        EXPECT_THAT(ids, testing::Contains(must));
    }
}

TEST(ReportDocument, EveryTableThatHasRowsIsThereOnceButTheListOfProblems) {
    FeedingStudy data;
    const Findings findings = findingsOf(data.study);
    const auto tables = blocksOf<ReportTable>(reportDocument(data.study, findings, {}));
    for (const TableKind& kind : tableList()) {
        const auto count = std::count_if(tables.begin(), tables.end(), [&kind](const ReportTable& table) {
            return table.printed.key == kind.key;
        });
        const bool expected =
            kind.key != "problems" && !buildTable(kind.key, data.study, findings).rows.empty();
        EXPECT_EQ(count, expected ? 1 : 0) << kind.key;
    }
    for (std::size_t i = 0; i < tables.size(); ++i) {
        EXPECT_EQ(tables[i].number, i + 1);
    }
}

TEST(ReportDocument, LongTablesAreCutAndSayWhereAllRowsStand) {
    const FeedingStudy data;
    const Findings findings = findingsOf(data.study);
    const std::size_t rows = buildTable("measures", data.study, findings).rows.size();
    ReportOptions options;
    options.longestTable = rows - 1;
    const auto cut = blocksOf<ReportTable>(reportDocument(data.study, findings, {}, options));
    const ReportTable* measures = tableOf(cut, "measures");
    ASSERT_NE(measures, nullptr);
    EXPECT_EQ(measures->printed.rows.size(), rows - 1);
    EXPECT_EQ(measures->note, "The first " + std::to_string(rows - 1) + " of " + std::to_string(rows) +
                                  " rows. All of them stand in tables/measures.csv.");
    options.longestTable = rows;
    const auto whole = blocksOf<ReportTable>(reportDocument(data.study, findings, {}, options));
    EXPECT_EQ(tableOf(whole, "measures")->note, "");
    // A column that only later rows fill is no empty one.
    options.longestTable = 1;
    const auto first = blocksOf<ReportTable>(reportDocument(data.study, findings, {}, options));
    EXPECT_EQ(tableOf(first, "measures")->printed.columns.size(),
              tableOf(whole, "measures")->printed.columns.size());
}

TEST(ReportDocument, AnEmptyStudyGivesAReportThatSaysSo) {
    const ReportDocument document = reportDocument({}, {}, {});
    EXPECT_EQ(document.title, "Feeding study");
    ASSERT_NE(sectionOf(document, "exclusions"), nullptr);
    EXPECT_EQ(firstText(*sectionOf(document, "exclusions")), "The study has no exclusions.");
    EXPECT_EQ(firstText(*sectionOf(document, "problems")), "Nothing to report.");
    EXPECT_EQ(sectionOf(document, "figures"), nullptr);
    EXPECT_EQ(sectionOf(document, "index"), nullptr);
    for (const ReportSection& section : document.sections) {
        EXPECT_THAT(section.blocks, testing::Not(IsEmpty())) << section.id;
    }
}

TEST(ReportDocument, BearsADateOnlyWhereOneIsGiven) {
    const FeedingStudy data;
    const Findings findings = findingsOf(data.study);
    const auto labels = [&](const ReportOptions& options) {
        std::vector<std::string> found;
        const auto facts = blocksOf<ReportFacts>(reportDocument(data.study, findings, {}, options));
        for (const ReportFact& fact : facts.front().facts) {
            found.push_back(fact.label);
        }
        return found;
    };
    EXPECT_THAT(labels({}), testing::Not(testing::Contains("Date of this report")));
    ReportOptions dated;
    dated.date = "2026-03-02";
    EXPECT_THAT(labels(dated), testing::Contains("Date of this report"));
    EXPECT_THAT(validate(dated), IsEmpty());
    dated.date = "2 March";
    EXPECT_EQ(validate(dated).size(), 1U);
    dated.date.clear();
    dated.longestTable = 0;
    EXPECT_EQ(validate(dated).size(), 1U);
}

TEST(ReportDocument, TellsHowARegisteredPlanDiffers) {
    FeedingStudy data;
    Findings findings = findingsOf(data.study);
    RegisteredFinding registered;
    registered.on = "2026-01-15";
    registered.by = "AB";
    registered.sha256 = std::string(64, 'a');
    registered.hashHolds = true;
    registered.differences = 1;
    findings.registered = {registered};
    const ReportDocument document = reportDocument(data.study, findings, {});
    EXPECT_THAT(firstText(*sectionOf(document, "plan")),
                testing::AllOf(HasSubstr("registered on 2026-01-15 by AB"), HasSubstr("which holds"),
                               HasSubstr("differs from it in 1 choice.")));
}

TEST(ReportDocument, FiguresAreNumberedAndTheFlowStandsWithTheFlow) {
    const FeedingStudy data;
    std::vector<FigureSpec> figures(2);
    figures[0].id = "mean";
    figures[0].panels.resize(1);
    figures[0].panels[0].kind = "curves_mean";
    figures[1].id = "flow";
    figures[1].panels.resize(1);
    figures[1].panels[0].kind = "flow";
    figures[1].caption = "Who came and who was analysed.";
    const ReportDocument document = reportDocument(data.study, findingsOf(data.study), figures);
    const auto drawn = blocksOf<ReportFigure>(document);
    ASSERT_EQ(drawn.size(), 2U);
    EXPECT_EQ(drawn[0].spec, 1U);
    EXPECT_EQ(drawn[0].number, 1U);
    EXPECT_EQ(drawn[0].caption, "Who came and who was analysed.");
    EXPECT_EQ(drawn[1].spec, 0U);
    EXPECT_EQ(drawn[1].number, 2U);
}

}  // namespace aftercurve
