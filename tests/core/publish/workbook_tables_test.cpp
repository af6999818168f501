#include "core/publish/workbook_tables.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <bit>
#include <clocale>
#include <cstdlib>
#include <ctime>
#include <limits>

#include "core/publish/document_tables.h"
#include "core/publish/workbook_file.h"
#include "tests/core/publish/archive_parts.h"
#include "tests/core/publish/published_tables.h"
#include "tests/support/visited_rows.h"

namespace aftercurve {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::Not;

namespace {

std::string workbookOf(const Table& table, const Publication& publication = {}) {
    const auto bytes = workbookTables({&table, 1}, publication);
    EXPECT_TRUE(bytes.ok());
    return bytes.ok() ? bytes.value() : std::string{};
}

Table numbersTable(const std::vector<double>& values) {
    Table table;
    table.key = "numbers";
    table.columns = {{"value", "Value", "", ColumnKind::number, 2, "", {}}};
    for (const double value : values) {
        table.rows.push_back(test::rowOf({value}));
    }
    return table;
}

std::vector<std::string> sheetNamesIn(const std::string& bytes) {
    std::vector<std::string> names;
    const auto source = sourceFromBytes("tables.xlsx", bytes);
    EXPECT_TRUE(source.ok());
    if (source.ok()) {
        for (const SourceTable& table : source.value().tables) {
            names.push_back(table.name);
        }
    }
    return names;
}

}  // namespace

TEST(WorkbookTables, NumbersComeBackToTheBit) {
    const std::vector<double> values = {0.1 + 0.2,
                                        1.0 / 3.0,
                                        -2.0 / 3.0,
                                        5e-324,
                                        std::numeric_limits<double>::max(),
                                        std::numeric_limits<double>::min(),
                                        123456789.123456789,
                                        1e22,
                                        -0.000123456789012345678,
                                        42.0};
    const auto visited = test::visitBytes(workbookOf(numbersTable(values)));
    ASSERT_FALSE(visited.problem) << test::lineOf(visited.problem);
    ASSERT_EQ(visited.rows.size(), values.size() + 1);
    for (std::size_t i = 0; i < values.size(); ++i) {
        const test::KeptCell& cell = visited.rows[i + 1].cells[0];
        EXPECT_EQ(cell.kind, CellKind::number);
        EXPECT_EQ(std::bit_cast<std::uint64_t>(cell.number), std::bit_cast<std::uint64_t>(values[i])) << i;
    }
}

TEST(WorkbookTables, ReadBackAsTheTableTheyWereMadeOf) {
    const auto visited = test::visitBytes(workbookOf(test::porridgeTable()));
    EXPECT_THAT(test::linesOf(visited.rows),
                ElementsAre("1: Food | n | Mean difference (mmol/L × min) | 95 % CI from | 95 % CI to | p | "
                            "Carry-over | Remark",
                            "2: Barley porridge | 12 | -34.25 | -60.5 | -8 | 4e-05",
                            "3: Pea & kelp wafer | 12 | -0.1234 | -0.1301 | -0.1167 | 0.9996",
                            "4: Kelp_crisp 50 % | 1 | 3 |  |  |  |  | fewer than 2 subjects"));
}

TEST(WorkbookTables, HostileTextsAreTextsAndStaySo) {
    const Table table = test::hostileTable();
    const std::string bytes = workbookOf(table);
    const std::string sheet = test::partOf(bytes, "xl/worksheets/sheet1.xml");
    EXPECT_THAT(sheet, Not(HasSubstr("<f>")));
    EXPECT_THAT(sheet, Not(HasSubstr("\u202E")));
    EXPECT_THAT(sheet, HasSubstr("=cmd|' /C calc'!A0"));
    // Cells with the format "@" hold text, also what is typed into them (ECMA-376 part 1, 18.8.31).
    EXPECT_THAT(test::partOf(bytes, "xl/styles.xml"), HasSubstr("formatCode=\"@\""));
    const auto visited = test::visitBytes(bytes);
    ASSERT_FALSE(visited.problem) << test::lineOf(visited.problem);
    ASSERT_EQ(visited.rows.size(), table.rows.size() + 1);
    for (const test::KeptRow& row : visited.rows) {
        EXPECT_EQ(row.cells[0].kind, CellKind::text);
    }
    EXPECT_EQ(visited.rows[1].cells[0].text, "=cmd|' /C calc'!A0");
    EXPECT_EQ(visited.rows[8].cells[0].text, "two\nlines\nthree");
}

TEST(WorkbookTables, WhatLooksLikeAnEscapedCharacterIsEscapedItself) {
    EXPECT_EQ(sheetString("_x0041_"), "_x005F_x0041_");
    EXPECT_EQ(sheetString("_x00G1_ _x12"), "_x00G1_ _x12");
    EXPECT_EQ(sheetString("_x005F_x000a_"), "_x005F_x005F_x005F_x000a_");
}

TEST(WorkbookTables, ShowNumbersByTheRuleOfDecimals) {
    const std::string styles = test::partOf(workbookOf(test::porridgeTable()), "xl/styles.xml");
    EXPECT_THAT(styles, HasSubstr("formatCode=\"0.000\""));
    EXPECT_THAT(styles,
                HasSubstr("[&lt;0.001]&quot;&lt; 0.001&quot;;[&gt;0.999]&quot;&gt; 0.999&quot;;0.000"));
    EXPECT_THAT(test::partOf(workbookOf(numbersTable({1e-7})), "xl/styles.xml"), HasSubstr("0.0E+00"));
}

TEST(WorkbookTables, FreezeTheHeaderAndExplainTheColumns) {
    Publication publication;
    publication.title = "Porridge & wafers";
    publication.planSha256 = "00ff";
    const std::string bytes = workbookOf(test::porridgeTable(), publication);
    EXPECT_THAT(test::partOf(bytes, "xl/worksheets/sheet1.xml"), HasSubstr("state=\"frozen\""));
    EXPECT_THAT(sheetNamesIn(bytes), ElementsAre("porridge", "notes"));
    const auto notes = test::visitBytes(bytes, {}, 1);
    const std::vector<std::string> lines = test::linesOf(notes.rows);
    EXPECT_THAT(lines, testing::Contains("2:  | Study | Porridge & wafers"));
    EXPECT_THAT(lines, testing::Contains("5:  | Plan, SHA-256 | 00ff"));
    EXPECT_THAT(lines, testing::Contains("6: porridge | Title | Comparisons with the glucose drink"));
    EXPECT_THAT(lines, testing::Contains(HasSubstr("porridge | Column p | Paired t, two-sided")));
    EXPECT_THAT(lines, testing::Contains(HasSubstr("not for diagnosis")));
}

TEST(WorkbookTables, NameEachSheetOnceWithinWhatTheFormatAllows) {
    std::vector<Table> tables(5);
    tables[0].key = "notes";
    tables[1].key = "a/b:c'";
    tables[2].key = "A_B_C_";
    tables[3].key = std::string(40, 'x');
    tables[4].key = "";
    const auto bytes = workbookTables(tables, {});
    ASSERT_TRUE(bytes.ok());
    EXPECT_THAT(sheetNamesIn(bytes.value()),
                ElementsAre("notes-2", "a_b_c_", "A_B_C_-2", std::string(31, 'x'), "table-2", "notes"));
}

TEST(WorkbookTables, SayWhatASheetCannotHold) {
    Table table = numbersTable({std::numeric_limits<double>::infinity(), std::nan("")});
    table.rows.push_back(test::rowOf({std::int64_t{9007199254740993}}));
    table.rows.push_back(test::rowOf({std::string(longestSheetText + 5, 'x')}));
    std::string tooManyEscapes;
    for (std::size_t i = 0; i < longestSheetText / 7; ++i) {
        tooManyEscapes += "_x0041_";
    }
    table.rows.push_back(test::rowOf({tooManyEscapes}));
    const std::string bytes = workbookOf(table);
    const auto visited = test::visitBytes(bytes);
    EXPECT_EQ(visited.rows[1].cells[0].kind, CellKind::text);
    EXPECT_EQ(visited.rows[2].cells[0].text, "not finite");
    EXPECT_EQ(visited.rows[3].cells[0].kind, CellKind::text);
    EXPECT_EQ(visited.rows[3].cells[0].text, "9007199254740993");
    EXPECT_EQ(visited.rows[4].cells[0].text.size(), longestSheetText);
    // "_x0041_" takes 14 characters in the file, so that not all of these fit.
    EXPECT_TRUE(tooManyEscapes.starts_with(visited.rows[5].cells[0].text));
    EXPECT_GT(visited.rows[5].cells[0].text.size(), longestSheetText / 2 - 14);
    EXPECT_THAT(test::linesOf(test::visitBytes(bytes, {}, 1).rows),
                testing::Contains(HasSubstr("2 texts longer than 32767")));
    table.columns.resize(mostSheetColumns + 1);
    const auto wide = workbookTables({&table, 1}, {});
    ASSERT_FALSE(wide.ok());
    EXPECT_THAT(wide.problem().what, HasSubstr("numbers has more columns than the 16384"));
    table.columns.resize(1);
    table.rows.resize(mostSheetRows);
    EXPECT_FALSE(workbookTables({&table, 1}, {}).ok());
}

TEST(WorkbookTables, GiveTheSameBytesInAnyTimeZone) {
    const Table table = test::porridgeTable();
    const char* before = std::getenv("TZ");
    const std::string kept = before == nullptr ? "" : before;
    ::setenv("TZ", "Pacific/Kiritimati", 1);
    ::tzset();
    const std::string east = workbookOf(table);
    const auto eastText = documentTables({&table, 1}, {});
    ::setenv("TZ", "Pacific/Pago_Pago", 1);
    ::tzset();
    EXPECT_EQ(workbookOf(table), east);
    EXPECT_EQ(documentTables({&table, 1}, {}).value(), eastText.value());
    before == nullptr ? ::unsetenv("TZ") : ::setenv("TZ", kept.c_str(), 1);
    ::tzset();
}

TEST(WorkbookTables, DoNotFollowTheDecimalMarkOfTheLocale) {
    const std::string plain = workbookOf(numbersTable({0.5, 1.0 / 3.0}));
    const std::string kept = std::setlocale(LC_ALL, nullptr);
    const char* set = nullptr;
    for (const char* name : {"et_EE.UTF-8", "lv_LV.UTF-8", "fi_FI.UTF-8", "de_DE.UTF-8", "fr_FR.UTF-8"}) {
        set = set == nullptr ? std::setlocale(LC_ALL, name) : set;
    }
    if (set == nullptr) {
        GTEST_SKIP() << "no locale with a decimal comma is installed";
    }
    const std::string withComma = workbookOf(numbersTable({0.5, 1.0 / 3.0}));
    std::setlocale(LC_ALL, kept.c_str());
    EXPECT_EQ(withComma, plain);
}

TEST(DocumentTables, BeginWithTheirTypeAndHoldTheTable) {
    const Table table = test::porridgeTable();
    const auto document = documentTables({&table, 1}, {"Porridge & wafers", "2026-02-03T00:00:00Z", ""});
    ASSERT_TRUE(document.ok());
    // The type stands uncompressed behind the 30 bytes of the first header and its name (OpenDocument 1.3
    // part 2, 3.3).
    EXPECT_EQ(document.value().substr(30, 47), "mimetypeapplication/vnd.oasis.opendocument.text");
    const std::string content = test::partOf(document.value(), "content.xml");
    EXPECT_THAT(content, HasSubstr("<table:table-header-rows>"));
    EXPECT_THAT(content, HasSubstr(">Pea &amp; kelp wafer</text:p>"));
    EXPECT_THAT(content, HasSubstr(">\u22120.123</text:p>"));
    EXPECT_THAT(content, HasSubstr("<text:span text:style-name=\"Raised\">a</text:span>"));
    EXPECT_THAT(test::partOf(document.value(), "meta.xml"), HasSubstr("2026-02-03T00:00:00Z"));
    EXPECT_THAT(test::partOf(document.value(), "styles.xml"), HasSubstr("\"portrait\""));
}

TEST(DocumentTables, HostileCellsStayText) {
    const Table table = test::hostileTable();
    const auto document = documentTables({&table, 1}, {"<x/>", "", ""});
    ASSERT_TRUE(document.ok());
    const std::string content = test::partOf(document.value(), "content.xml");
    EXPECT_THAT(content, Not(HasSubstr("<script")));
    EXPECT_THAT(content, Not(HasSubstr("\u202E")));
    EXPECT_THAT(content, Not(HasSubstr("&#1;")));
    EXPECT_THAT(content, HasSubstr("&lt;script&gt;"));
}

}  // namespace aftercurve
