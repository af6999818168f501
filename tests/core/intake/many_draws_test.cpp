// Rows in any order become draws in the one order of a study. Values are made of the key of the draw, so that
// each is known without reading: invented.
#include <gtest/gtest.h>

#include <algorithm>
#include <random>
#include <string>
#include <vector>

#include "core/intake/take_in.h"
#include "tests/support/memory_table.h"

namespace aftercurve {
namespace {

constexpr int subjects = 7;
constexpr int visits = 2;
constexpr int foods = 3;
constexpr int times = 9;
constexpr int replicates = 2;

struct Key {
    int subject;
    int visit;
    int food;
    int time;
    int replicate;

    auto operator<=>(const Key&) const = default;
    int value() const { return (((subject * visits + visit) * foods + food) * times + time) * 2 + replicate; }
    /// Every seventh lies below a limit of its own.
    bool isBelowLimit() const { return value() % 7 == 3; }
};

std::vector<Key> keysInOrder() {
    std::vector<Key> keys;
    for (int s = 0; s < subjects; ++s) {
        for (int v = 0; v < visits; ++v) {
            for (int f = 0; f < foods; ++f) {
                for (int t = 0; t < times; ++t) {
                    for (int r = 0; r < replicates; ++r) {
                        keys.push_back({s, v, f, t, r});
                    }
                }
            }
        }
    }
    return keys;
}

Mapping mappingOf() {
    Mapping mapping;
    TableMapping table;
    table.visitFrom = Origin::column;
    const std::vector<std::pair<std::string, ColumnRole>> columns{
        {"subject", ColumnRole::subject}, {"visit", ColumnRole::visit},   {"food", ColumnRole::food},
        {"time", ColumnRole::time},       {"rep", ColumnRole::replicate}, {"glucose", ColumnRole::analyte}};
    for (const auto& [header, role] : columns) {
        ColumnMapping column;
        column.column = table.columns.size() + 1;
        column.header = header;
        column.role = role;
        table.columns.push_back(column);
    }
    table.columns[5].analyte = "glucose";
    table.columns[5].unit = "mmol/L";
    mapping.tables.push_back(table);
    for (int f = 0; f < foods; ++f) {
        mapping.foods.push_back({"food" + std::to_string(f), "", FoodRole::test, {}, {}, {}});
    }
    mapping.analytes.push_back({"glucose", "mmol/L", "", "", 6.0});
    return mapping;
}

std::string rowOf(const Key& key) {
    std::string row = "S" + std::to_string(key.subject) + "," + std::to_string(key.visit + 1) + ",food" +
                      std::to_string(key.food) + "," + std::to_string(15 * key.time) + "," +
                      std::to_string(key.replicate + 1) + ",";
    return row + (key.isBelowLimit() ? "<" : "") + std::to_string(key.value() + 1) + "\n";
}

/// The study of rows in this order; its subjects are in the order first met.
void expectInOrder(const std::vector<Key>& rows) {
    std::string text = "subject,visit,food,time,rep,glucose\n";
    std::vector<int> met;
    for (const Key& key : rows) {
        text += rowOf(key);
        if (std::find(met.begin(), met.end(), key.subject) == met.end()) {
            met.push_back(key.subject);
        }
    }
    const TakenIn taken = takeIn(std::vector{test::tableOf("lab.csv", text)}, mappingOf());
    ASSERT_TRUE(taken.study);
    const Study& study = *taken.study;
    std::vector<Key> expected = keysInOrder();
    ASSERT_EQ(study.draws.size(), expected.size());
    std::size_t below = 0;
    for (std::size_t i = 0; i < expected.size(); ++i) {
        Key key = expected[i];
        key.subject = met[static_cast<std::size_t>(key.subject)];
        const Draw& draw = study.draws[i];
        ASSERT_EQ(study.subjects[draw.subject].id, "S" + std::to_string(key.subject)) << i;
        ASSERT_EQ(draw.visit, key.visit + 1) << i;
        ASSERT_EQ(draw.food, static_cast<std::uint32_t>(key.food)) << i;
        ASSERT_EQ(draw.timeMin, 15.0 * key.time) << i;
        ASSERT_EQ(study.replicate[i], key.replicate + 1) << i;
        ASSERT_EQ(draw.row, i + 2) << i;
        const double number = key.value() + 1.0;
        if (key.isBelowLimit()) {
            ASSERT_FALSE(study.concentrations[0][i]) << i;
            ASSERT_LT(below, study.belowLimit.size());
            ASSERT_EQ(study.belowLimit[below], (BelowLimit{static_cast<std::uint32_t>(i), 0, number})) << i;
            ++below;
        } else {
            ASSERT_EQ(study.concentrations[0][i], number) << i;
        }
    }
    EXPECT_EQ(below, study.belowLimit.size());
}

TEST(ManyDraws, RowsInAnyOrderBecomeDrawsInTheOneOrder) {
    std::vector<Key> rows = keysInOrder();
    expectInOrder(rows);
    std::reverse(rows.begin(), rows.end());
    expectInOrder(rows);
    std::mt19937_64 random{20261125};
    for (int i = 0; i < 5; ++i) {
        std::shuffle(rows.begin(), rows.end(), random);
        expectInOrder(rows);
    }
}

}  // namespace
}  // namespace aftercurve
