#include "ui/report/column_widths.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <numeric>
#include <random>

namespace aftercurve {

using testing::ElementsAre;
using testing::IsEmpty;

TEST(ColumnWidths, WhatIsWantedWhereItFits) {
    const std::vector<ColumnNeed> needs{{10, 20}, {10, 30}};
    EXPECT_THAT(columnWidths(needs, 60), ElementsAre(20, 30));
}

TEST(ColumnWidths, TheRestIsSharedByHowMuchMoreIsWanted) {
    // 40 for 20 at least: of the other 20, wanted are 10 and 30, so half of each.
    const std::vector<ColumnNeed> needs{{10, 20}, {10, 40}};
    EXPECT_THAT(columnWidths(needs, 40), ElementsAre(15, 25));
}

TEST(ColumnWidths, NoneWhereNotEvenTheLeastFits) {
    const std::vector<ColumnNeed> needs{{10, 20}, {10, 40}};
    EXPECT_THAT(columnWidths(needs, 19), IsEmpty());
}

TEST(TableParts, TheColumnsThatNameTheRowStandInEachPart) {
    const std::vector<ColumnNeed> needs{{20, 20}, {40, 40}, {40, 40}, {40, 40}, {40, 40}};
    const auto parts = tableParts(needs, 1, 100);
    ASSERT_EQ(parts.size(), 2U);
    EXPECT_THAT(parts[0].columns, ElementsAre(0U, 1U, 2U));
    EXPECT_THAT(parts[1].columns, ElementsAre(0U, 3U, 4U));
}

TEST(TableParts, ForAnyTableEveryColumnStandsOnceAndEachPartFits) {
    std::mt19937 random{7};
    std::uniform_real_distribution<double> length{1.0, 300.0};
    for (int round = 0; round < 500; ++round) {
        std::vector<ColumnNeed> needs(1 + random() % 40);
        for (ColumnNeed& need : needs) {
            need.least = length(random);
            need.wanted = need.least + length(random);
        }
        const std::size_t lead = random() % 4;
        const auto parts = tableParts(needs, lead, 400.0);
        std::vector<int> count(needs.size());
        for (const TablePart& part : parts) {
            ASSERT_EQ(part.columns.size(), part.widths.size());
            EXPECT_LE(std::accumulate(part.widths.begin(), part.widths.end(), 0.0), 400.0 + 1e-9);
            EXPECT_TRUE(std::is_sorted(part.columns.begin(), part.columns.end()));
            for (const std::size_t column : part.columns) {
                ++count[column];
            }
        }
        for (std::size_t c = 0; c < needs.size(); ++c) {
            EXPECT_TRUE(count[c] == 1 || (c < lead && count[c] == static_cast<int>(parts.size())))
                << "column " << c << " stands " << count[c] << " times";
        }
    }
}

TEST(TableParts, NoColumnsGiveNoPart) {
    EXPECT_THAT(tableParts({}, 1, 100), IsEmpty());
}

}  // namespace aftercurve
