#include "core/findings/table.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <set>

#include "core/findings/analyse.h"
#include "tests/support/study_builder.h"

namespace aftercurve {

using testing::HasSubstr;

namespace {

Table oneColumn(std::vector<Cell> cells) {
    Table table;
    table.columns = {{"value", "Value", "", ColumnKind::text, 2, ""}};
    for (std::size_t i = 0; i < cells.size(); ++i) {
        Row row;
        row.key = std::to_string(i);
        row.cells = {std::move(cells[i])};
        table.rows.push_back(std::move(row));
    }
    return table;
}

Study hostileStudy() {
    test::StudyBuilder builder;
    builder.food("=1+1", FoodRole::reference).food("oats", FoodRole::test).analyte("glucose", "mmol/L");
    builder.study().foods[0].label = "=HYPERLINK(\"x\")";
    for (const char* subject : {"@sum", "+2", "-3", "a,\"b\"\nc"}) {
        builder.curve(subject, "=1+1", 1, {0, 60, 120}, {5, 8, 5});
        builder.curve(subject, "oats", 1, {0, 60, 120}, {5, subject[0] == '@' ? 6 : 7, 5});
    }
    return builder.study();
}

}  // namespace

TEST(TableCsv, TextThatASpreadsheetWouldRunIsDisarmedAndNumbersStayNumbers) {
    const std::string csv = asCsv(oneColumn({Cell{"=1+1"}, Cell{"+1"}, Cell{"-1"}, Cell{"@a"}, Cell{"\tx"},
                                             Cell{-1.5}, Cell{std::int64_t{-2}}, Cell{"a=b"}, Cell{}}));
    EXPECT_EQ(csv, "value\n'=1+1\n'+1\n'-1\n'@a\n'\tx\n-1.5\n-2\na=b\n\n");
}

TEST(TableCsv, QuotesByRfc4180) {
    EXPECT_EQ(asCsv(oneColumn({Cell{"a,b"}, Cell{"say \"x\""}, Cell{"two\nlines"}, Cell{"=a,b"}})),
              "value\n\"a,b\"\n\"say \"\"x\"\"\"\n\"two\nlines\"\n\"'=a,b\"\n");
}

TEST(TableCsv, KeepsFullPrecisionAndNamesTheUnit) {
    Table table = oneColumn({Cell{1.0 / 3.0}});
    table.columns[0].unit = "mmol/L";
    EXPECT_EQ(asCsv(table), "value [mmol/L]\n0.3333333333333333\n");
}

TEST(TableText, ShowsPAsJournalsDoAndNeverZero) {
    const Column p{"p", "p", "", ColumnKind::pValue, 3, ""};
    EXPECT_EQ(shownText(Cell{0.0004}, p), "<0.001");
    EXPECT_EQ(shownText(Cell{0.0}, p), "<0.001");
    EXPECT_EQ(shownText(Cell{0.001}, p), "0.001");
    EXPECT_EQ(shownText(Cell{0.0423}, p), "0.042");
    EXPECT_EQ(shownText(Cell{}, p), "–");
}

TEST(TableText, RoundsToTheColumnsDecimalsButKeepsExtremesReadable) {
    const Column number{"x", "x", "", ColumnKind::number, 2, ""};
    EXPECT_EQ(shownText(Cell{3.14159}, number), "3.14");
    EXPECT_EQ(shownText(Cell{-0.0000001}, number), "-1e-07");
    EXPECT_EQ(shownText(Cell{1e300}, number), "1e+300");
    EXPECT_EQ(shownText(Cell{0.0}, number), "0.00");
}

TEST(TableChanges, NamesTheCellsThatShowSomethingElse) {
    Table before = oneColumn({Cell{"a"}, Cell{"b"}, Cell{"c"}});
    Table after = before;
    after.rows[1].cells[0] = Cell{"B"};
    after.rows[2].key = "new";
    const auto changes = changesBetween(before, after);
    EXPECT_EQ(changes, (std::vector<CellChange>{{"1", 0, "b"}, {"new", 0, ""}}));
    EXPECT_TRUE(changesBetween(after, after).empty());
}

TEST(TableChanges, ADifferenceThatIsNotShownIsNoChange) {
    Table before = oneColumn({Cell{1.0}});
    before.columns[0].kind = ColumnKind::number;
    Table after = before;
    after.rows[0].cells[0] = Cell{1.0 + 1e-12};
    EXPECT_TRUE(changesBetween(before, after).empty());
}

TEST(TableList, EveryTableIsRectangularWithUniqueKeysEvenForHostileNames) {
    const Study study = hostileStudy();
    const auto findings = analyse(study, study.plan);
    ASSERT_TRUE(findings.ok());
    std::set<std::string> keys;
    for (const TableKind& kind : tableList()) {
        const Table table = kind.build(study, findings.value());
        EXPECT_EQ(table.key, kind.key);
        EXPECT_TRUE(keys.insert(table.key).second);
        EXPECT_FALSE(table.title.empty());
        std::set<std::string> columns;
        for (const Column& column : table.columns) {
            EXPECT_TRUE(columns.insert(column.key).second) << table.key << "." << column.key;
        }
        std::set<std::string> rows;
        for (const Row& row : table.rows) {
            EXPECT_EQ(row.cells.size(), table.columns.size()) << table.key;
            EXPECT_TRUE(rows.insert(row.key).second) << table.key << " " << row.key;
        }
        const std::string csv = asCsv(table);
        for (const char* dangerous : {",=", ",@", "\n=", "\n@", "\n+", "\n-"}) {
            EXPECT_THAT(csv, testing::Not(HasSubstr(dangerous))) << table.key;
        }
    }
    EXPECT_EQ(keys.size(), tableList().size());
}

TEST(TableList, AnEmptyStudyHasTablesThatSayWhatIsMissing) {
    test::StudyBuilder builder;
    builder.food("bread", FoodRole::test).food("oats", FoodRole::test).analyte("glucose", "mmol/L");
    const auto findings = analyse(builder.study(), builder.study().plan);
    ASSERT_TRUE(findings.ok());
    for (const char* key : {"measures", "mean_curves", "comparisons", "pairs", "model", "index",
                            "index_subjects", "exclusions", "exclusions_effect"}) {
        const Table table = buildTable(key, builder.study(), findings.value());
        EXPECT_TRUE(table.rows.empty()) << key;
        EXPECT_FALSE(table.emptyText.empty()) << key;
    }
}

}  // namespace aftercurve
