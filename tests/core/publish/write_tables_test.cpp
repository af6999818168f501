#include "core/publish/write_tables.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/findings/analyse.h"
#include "core/publish/table_formats.h"
#include "tests/support/study_builder.h"
#include "tests/support/temp_folder.h"

namespace aftercurve {

using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::Not;

namespace {

struct SmallStudy {
    Study study;
    Findings findings;
};

SmallStudy smallStudy() {
    test::StudyBuilder builder;
    builder.food("drink", FoodRole::reference).food("oats", FoodRole::test).analyte("glucose", "mmol/L");
    for (const char* subject : {"01", "02", "03"}) {
        builder.curve(subject, "drink", 1, {0, 60, 120}, {5, 8, 5});
        builder.curve(subject, "oats", 1, {0, 60, 120}, {5, subject[1] == '1' ? 6 : 7, 5});
    }
    builder.study().plan.resamples = 0;
    return {builder.study(), analyse(builder.study(), builder.study().plan, {}).value()};
}

}  // namespace

TEST(WriteTables, WritesOneWorkbookOfAllTablesThatHaveRows) {
    const SmallStudy small = smallStudy();
    const test::TempFolder out;
    const auto written = writeTables(small.study, small.findings, {}, out.path() / "new");
    ASSERT_TRUE(written.ok());
    EXPECT_THAT(written.value(), ElementsAre("tables.xlsx"));
    EXPECT_TRUE(out.read("new/tables.xlsx").starts_with("PK"));
}

TEST(WriteTables, WritesTheNamedTablesInTheNamedFormats) {
    const SmallStudy small = smallStudy();
    const test::TempFolder out;
    const auto written =
        writeTables(small.study, small.findings, {{"csv", "md"}, {"summary", "comparisons"}}, out.path());
    ASSERT_TRUE(written.ok());
    EXPECT_THAT(written.value(), ElementsAre("summary.csv", "comparisons.csv", "tables.md"));
    EXPECT_EQ(out.read("summary.csv"), asCsv(buildTable("summary", small.study, small.findings)));
    const auto one = writeTables(small.study, small.findings, {{"tex"}, {"exclusions"}}, out.path());
    ASSERT_TRUE(one.ok());
    EXPECT_THAT(one.value(), ElementsAre("exclusions.tex"));
}

TEST(WriteTables, NamesTheListsWhereAKeyIsNotInThem) {
    const SmallStudy small = smallStudy();
    const test::TempFolder out;
    const auto format = writeTables(small.study, small.findings, {{"doc"}, {}}, out.path());
    ASSERT_FALSE(format.ok());
    EXPECT_EQ(format.problem().what, "there is no format 'doc'");
    EXPECT_THAT(format.problem().remedy, HasSubstr("csv, xlsx"));
    const auto table = writeTables(small.study, small.findings, {{"csv"}, {"../summary"}}, out.path());
    ASSERT_FALSE(table.ok());
    EXPECT_THAT(table.problem().remedy, HasSubstr("comparisons"));
    EXPECT_TRUE(std::filesystem::is_empty(out.path()));
}

TEST(WriteTables, AFolderThatCannotBeMadeIsAProblem) {
    const SmallStudy small = smallStudy();
    const test::TempFolder out;
    out.write("file", "x");
    EXPECT_FALSE(writeTables(small.study, small.findings, {}, out.path() / "file").ok());
}

TEST(WriteTables, SaysWhereNoTableHasARow) {
    const test::TempFolder out;
    const auto nothing = writeTables({}, {}, {}, out.path());
    ASSERT_FALSE(nothing.ok());
    EXPECT_EQ(nothing.problem().what, "no table has a row");
}

}  // namespace aftercurve
