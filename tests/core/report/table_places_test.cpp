#include "core/report/table_places.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/findings/table.h"
#include "core/report/table_groups.h"

namespace aftercurve {

namespace {

const std::map<std::string, TablePlace> places{{"comparisons", {4, 5}}, {"model", {7, 1}}};

std::vector<std::string> textsOf(const std::vector<SentenceSource>& sources) {
    std::vector<std::string> texts;
    for (const SentenceLink& link : linksOf({"A sentence.", sources}, places)) {
        texts.push_back(link.text);
    }
    return texts;
}

}  // namespace

TEST(TablePlaces, RowsAreNamedOnceAndInOrder) {
    using testing::ElementsAre;
    EXPECT_THAT(textsOf({{"comparisons", 2}}), ElementsAre("Table 4, row 3"));
    EXPECT_THAT(textsOf({{"comparisons", 2}, {"comparisons", 0}, {"comparisons", 2}}),
                ElementsAre("Table 4, rows 1 and 3"));
    EXPECT_THAT(textsOf({{"model", 0}, {"comparisons", 0}, {"comparisons", 1}, {"comparisons", 2}}),
                ElementsAre("Table 7, row 1", "Table 4, rows 1, 2 and 3"));
}

TEST(TablePlaces, ManyRowsAndRowsThatWereCutPointToTheTable) {
    using testing::ElementsAre;
    EXPECT_THAT(textsOf({{"comparisons", 0},
                         {"comparisons", 1},
                         {"comparisons", 2},
                         {"comparisons", 3},
                         {"comparisons", 4}}),
                ElementsAre("Table 4"));
    EXPECT_THAT(textsOf({{"model", 3}}), ElementsAre("Table 7"));
}

TEST(TablePlaces, ATableThatIsNotShownIsNotPointedTo) {
    EXPECT_TRUE(textsOf({{"crossover", 0}}).empty());
    EXPECT_TRUE(textsOf({}).empty());
}

TEST(TableGroups, NameEveryTableInExactlyOneGroup) {
    for (const TableKind& kind : tableList()) {
        int count = 0;
        for (const TableGroup& group : tableGroups()) {
            const auto keys = keysOf(group);
            count += static_cast<int>(std::count(keys.begin(), keys.end(), kind.key));
        }
        EXPECT_EQ(count, kind.key == "problems" ? 0 : 1) << kind.key;
    }
}

}  // namespace aftercurve
