#include "core/publish/printed_table.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/core/publish/published_tables.h"

namespace aftercurve {

using testing::ElementsAre;

TEST(PrintedTable, PrintsEachCellByTheRule) {
    const PrintedTable table = printedTable(test::porridgeTable());
    ASSERT_EQ(table.rows.size(), 3U);
    EXPECT_THAT(table.rows[0].cells,
                ElementsAre(PrintedCell{"Barley porridge", ""}, PrintedCell{"12", ""},
                            PrintedCell{"\u221234.2", ""}, PrintedCell{"\u221260.5", ""},
                            PrintedCell{"\u22128.0", ""}, PrintedCell{"< 0.001", ""}, PrintedCell{"", ""}));
    EXPECT_THAT(table.rows[1].cells,
                ElementsAre(PrintedCell{"Pea & kelp wafer", ""}, PrintedCell{"12", ""},
                            PrintedCell{"\u22120.123", ""}, PrintedCell{"\u22120.130", ""},
                            PrintedCell{"\u22120.117", ""}, PrintedCell{"> 0.999", ""}, PrintedCell{"", ""}));
    EXPECT_THAT(table.rows[2].cells,
                ElementsAre(PrintedCell{"Kelp_crisp 50 %", "†"}, PrintedCell{"1", ""}, PrintedCell{"3.0", ""},
                            PrintedCell{"–", "a"}, PrintedCell{"–", "a"}, PrintedCell{"–", "a"},
                            PrintedCell{"fewer than 2 subjects", ""}));
    EXPECT_EQ(table.columns[2].header, "Mean difference (mmol/L × min)");
}

TEST(PrintedTable, SaysInNotesWhatIsMarkedAbsentAndLeftOut) {
    EXPECT_THAT(printedTable(test::porridgeTable()).notes,
                ElementsAre(PrintedNote{"†", "Excluded or not estimable."},
                            PrintedNote{"a", "Absent; remark of the row: fewer than 2 subjects"},
                            PrintedNote{"", "Differences are food minus drink."},
                            PrintedNote{"", "Columns without a value, left out: Carry-over."}));
}

TEST(PrintedTable, TooManyRemarksBecomeOneNote) {
    Table table = test::porridgeTable();
    table.rows.resize(1);
    for (std::size_t i = 0; i <= mostMarkedRemarks; ++i) {
        table.rows.push_back(
            test::rowOf({"Oats", std::int64_t{1}, 1.0, {}, {}, 0.5, 1.0, "remark " + std::to_string(i)}));
    }
    const PrintedTable many = printedTable(table);
    EXPECT_EQ(many.rows[3].cells[3].mark, "");
    EXPECT_EQ(many.notes.front().text,
              "Where a number is absent (–), the column “Remark” has the remark of its row.");
    table.rows.pop_back();
    const PrintedTable enough = printedTable(table);
    EXPECT_EQ(enough.rows.back().cells.back().text, "remark 25");
    EXPECT_EQ(enough.notes[25].mark, "z");
}

TEST(PrintedTable, KeepsAllColumnsOfATableWithoutRows) {
    Table table = test::porridgeTable();
    table.rows.clear();
    const PrintedTable empty = printedTable(table);
    EXPECT_EQ(empty.columns.size(), 8U);
    EXPECT_EQ(empty.emptyText, "Nothing is compared yet.");
    EXPECT_EQ(printedTable(Table{}).rows.size(), 0U);
}

TEST(PrintedTable, JoinsWhatJournalsPrintTogether) {
    Table table;
    for (const auto& [key, title] :
         {std::pair{"n", "n"}, std::pair{"mean", "Mean"}, std::pair{"sd", "SD"},
          std::pair{"median", "Median"}, std::pair{"lower_quartile", "Lower quartile"},
          std::pair{"upper_quartile", "Upper quartile"}, std::pair{"minimum", "Minimum"},
          std::pair{"maximum", "Maximum"}}) {
        table.columns.push_back({key, title, "y", ColumnKind::number, 1, "", {}});
    }
    table.rows = {test::rowOf({2.0, 5.25, 0.5, 5.2, 5.0, 5.6, -4.9, 6.0}),
                  test::rowOf({1.0, 5.0, {}, 5.0, 5.0, 5.0, 5.0, 5.0}),
                  test::rowOf({0.0, {}, {}, {}, {}, {}, {}, {}})};
    const PrintedTable printed = printedTable(table);
    ASSERT_EQ(printed.columns.size(), 4U);
    EXPECT_EQ(printed.columns[1].header, "Mean ± SD (y)");
    EXPECT_EQ(printed.columns[2].header, "Median [Lower quartile to Upper quartile] (y)");
    EXPECT_EQ(printed.columns[3].header, "Minimum to Maximum (y)");
    EXPECT_EQ(printed.rows[0].cells[1].text, "5.2 ± 0.5");
    EXPECT_EQ(printed.rows[0].cells[2].text, "5.2 [5.0 to 5.6]");
    EXPECT_EQ(printed.rows[0].cells[3].text, "\u22124.9 to 6.0");
    EXPECT_EQ(printed.rows[1].cells[1].text, "5.0 ± –");
    EXPECT_EQ(printed.rows[2].cells[2].text, "–");
    // A column between them, or another unit, keeps them apart.
    table.columns[2].unit = "g";
    EXPECT_EQ(printedTable(table).columns.size(), 5U);
}

TEST(PrintedTable, ShortRowsLackTheirLastCells) {
    Table table = test::porridgeTable();
    table.rows[0].cells.resize(2);
    const PrintedTable printed = printedTable(table);
    EXPECT_EQ(printed.rows[0].cells.size(), printed.columns.size());
    EXPECT_EQ(printed.rows[0].cells[2].text, "–");
}

}  // namespace aftercurve
