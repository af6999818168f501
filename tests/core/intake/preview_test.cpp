#include "core/intake/preview.h"

#include <gtest/gtest.h>

#include "core/intake/guess.h"
#include "tests/support/memory_table.h"

namespace aftercurve {
namespace {

using test::tableOf;

TEST(Preview, ShowsTheFirstRowsEvenlyWide) {
    const auto table = tableOf("lab.csv", "title\nsubject,food,time\n1,ref,\x01zero\n2,ref,15\n");
    const auto preview = previewTable(table, table.dialect, 3, 2);
    ASSERT_TRUE(preview);
    EXPECT_EQ(preview.value().rows, (std::vector<std::size_t>{1, 2, 3}));
    EXPECT_EQ(preview.value().cells[0], (std::vector<std::string>{"title", ""}));
    EXPECT_EQ(preview.value().cells[2], (std::vector<std::string>{"1", "ref"}));
    EXPECT_TRUE(preview.value().more);
    EXPECT_EQ(previewTable(table, table.dialect, 10).value().cells[2][2], "?zero");
    EXPECT_FALSE(previewTable(table, table.dialect, 10).value().more);
}

TEST(Preview, ShowsTheDrawsThatWouldCome) {
    const std::vector tables{tableOf(
        "lab.csv", "subject,food,glucose 0 mmol/L,glucose 15 mmol/L\n1,ref,4,<2\n2,ref,5,NA\n3,ref,bad,1\n")};
    const Mapping mapping = guessMapping(tables).mapping;
    const auto preview = previewDraws(tables, mapping, 2);
    EXPECT_EQ(preview.headers,
              (std::vector<std::string>{"subject", "food", "visit", "time, min", "glucose, mmol/L"}));
    EXPECT_EQ(preview.rows, (std::vector<std::vector<std::string>>{{"1", "ref", "1", "0", "4"},
                                                                   {"1", "ref", "1", "15", "<2"},
                                                                   {"2", "ref", "1", "0", "5"},
                                                                   {"2", "ref", "1", "15", ""}}));
    EXPECT_TRUE(previewDraws(tables, mapping, 3).rows.empty());
}

}  // namespace
}  // namespace aftercurve
