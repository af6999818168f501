// Workbooks written by openpyxl; what their cells must give was written beside them by the same script
// (tests/data/intake/make_workbooks.py) from the values that it gave to the library.
#include <gtest/gtest.h>

#include <fstream>
#include <nlohmann/json.hpp>
#include <string>

#include "core/intake/source.h"
#include "tests/support/visited_rows.h"

namespace aftercurve {
namespace {

std::string kindName(CellKind kind) {
    constexpr const char* names[] = {"empty", "text",     "number", "date",
                                     "clock", "duration", "truth",  "error"};
    return names[static_cast<int>(kind)];
}

void expectCell(const test::KeptCell& cell, const nlohmann::json& expected, const std::string& where) {
    EXPECT_EQ(kindName(cell.kind), expected[0]) << where;
    if (expected[1].is_string()) {
        EXPECT_EQ(cell.text, expected[1]) << where;
    }
    if (expected[2].is_number()) {
        EXPECT_EQ(cell.number, expected[2].get<double>()) << where;
        EXPECT_EQ(std::stod(cell.text), expected[2].get<double>()) << where;
    }
}

/// Number of cells compared.
std::size_t compare(const std::string& name) {
    const std::string base = std::string{TEST_DATA} + "/intake/" + name;
    std::ifstream in(base + ".json");
    const auto expected = nlohmann::json::parse(in);
    const auto source = openSource(base + ".xlsx");
    EXPECT_TRUE(source.ok()) << (source ? "" : lineFor(source.problem()));
    if (!source || source.value().tables.size() != expected["sheets"].size()) {
        ADD_FAILURE() << name << " has other sheets";
        return 0;
    }
    std::size_t cells = 0;
    for (std::size_t i = 0; i < source.value().tables.size(); ++i) {
        const auto& sheet = expected["sheets"][i];
        EXPECT_EQ(source.value().tables[i].name, sheet["name"]);
        EXPECT_EQ(source.value().tables[i].hidden, sheet["hidden"]);
        const test::Visited visited = test::visitAll(source.value(), i);
        EXPECT_EQ(test::lineOf(visited.problem), "");
        EXPECT_EQ(visited.rows.size(), sheet["rows"].size());
        for (std::size_t r = 0; r < std::min(visited.rows.size(), sheet["rows"].size()); ++r) {
            const auto& row = sheet["rows"][r];
            EXPECT_EQ(visited.rows[r].row, row["row"]);
            EXPECT_EQ(visited.rows[r].cells.size(), row["cells"].size()) << "row " << row["row"];
            for (std::size_t c = 0; c < std::min(visited.rows[r].cells.size(), row["cells"].size()); ++c) {
                expectCell(visited.rows[r].cells[c], row["cells"][c],
                           name + " row " + row["row"].dump() + " cell " + std::to_string(c + 1));
                ++cells;
            }
        }
    }
    return cells;
}

TEST(WorkbookFiles, LongTable) {
    EXPECT_GT(compare("readings_long"), 1000U);
}
TEST(WorkbookFiles, PlateWithMergedCells) {
    EXPECT_GT(compare("plate_reader"), 120U);
}
TEST(WorkbookFiles, DatesOfThe1904System) {
    EXPECT_EQ(compare("dates_1904"), 6U);
}

}  // namespace
}  // namespace aftercurve
