// Workbooks written part by part; what a cell must give follows from ECMA-376 part 1, clause named beside it.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <string>
#include <vector>

#include "core/intake/source.h"
#include "tests/support/visited_rows.h"
#include "tests/support/workbook_builder.h"

namespace aftercurve {
namespace {

using test::KeptCell;
using test::MadeWorkbook;
using test::Visited;
using testing::ElementsAre;
using testing::HasSubstr;

MadeWorkbook sheetOf(std::string data, std::string behind = {}) {
    MadeWorkbook made;
    made.sheets = {{"Sheet", std::move(data), std::move(behind), ""}};
    return made;
}

Visited visited(const MadeWorkbook& made, std::size_t table = 0, const IntakeLimits& limits = {}) {
    return test::visitBytes(made.bytes(), {}, table, limits);
}

std::vector<std::string> linesOf(const MadeWorkbook& made) {
    const Visited rows = visited(made);
    EXPECT_EQ(test::lineOf(rows.problem), "");
    return test::linesOf(rows.rows);
}

KeptCell onlyCell(const MadeWorkbook& made) {
    const Visited rows = visited(made);
    EXPECT_EQ(test::lineOf(rows.problem), "");
    return rows.rows.size() == 1 && rows.rows[0].cells.size() == 1 ? rows.rows[0].cells[0] : KeptCell{};
}

TEST(WorkbookRows, SheetsInOrderWithWhatIsHidden) {
    MadeWorkbook made;
    made.sheets = {{"Zeit &amp; Wert", "<row><c><v>1</v></c></row>", "", ""},
                   {"b", "<row><c><v>2</v></c></row>", "", "hidden"},
                   {"a", "<row><c><v>3</v></c></row>", "", "veryHidden"}};
    const auto source = sourceFromBytes("w", made.bytes());
    ASSERT_TRUE(source.ok());
    ASSERT_EQ(source.value().tables.size(), 3U);
    EXPECT_EQ(source.value().tables[0].name, "Zeit & Wert");
    EXPECT_EQ(source.value().tables[2].name, "a");
    EXPECT_FALSE(source.value().tables[0].hidden);
    EXPECT_TRUE(source.value().tables[1].hidden && source.value().tables[2].hidden);
    for (std::size_t i = 0; i < 3; ++i) {
        EXPECT_EQ(test::visitAll(source.value(), i).rows[0].cells[0].number, static_cast<double>(i + 1));
    }
}

// 18.3.1.4 c, 18.18.11 ST_CellType
TEST(WorkbookRows, KindsOfCells) {
    MadeWorkbook made = sheetOf(
        "<row r='1'><c r='A1' t='s'><v>1</v></c><c r='B1'><v>5.4000000000000004</v></c>"
        "<c r='C1' t='b'><v>1</v></c><c r='D1' t='e'><v>#DIV/0!</v></c>"
        "<c r='E1' t='inlineStr'><is><t>inline</t></is></c>"
        "<c r='F1' t='str'><f>A1&amp;\"\"</f><v>made</v></c>"
        "<c r='G1'><f>1+1</f><v>2</v></c><c r='H1'><f>1+1</f></c><c r='I1'><f>1+1</f><v></v></c>"
        "<c r='J1' t='str'><f>\"\"</f><v></v></c><c r='K1'><v>12e</v></c><c r='L1'><v>inf</v></c></row>");
    made.sharedStrings = "<si><t>zero</t></si><si><t>one</t></si>";
    const Visited rows = visited(made);
    ASSERT_EQ(rows.rows.size(), 1U) << test::lineOf(rows.problem);
    EXPECT_THAT(rows.rows[0].cells,
                ElementsAre(KeptCell{CellKind::text, "one", 0}, KeptCell{CellKind::number, "5.4", 5.4},
                            KeptCell{CellKind::truth, "TRUE", 1}, KeptCell{CellKind::error, "#DIV/0!", 0},
                            KeptCell{CellKind::text, "inline", 0}, KeptCell{CellKind::text, "made", 0},
                            KeptCell{CellKind::number, "2", 2},
                            KeptCell{CellKind::error, "formula without stored value", 0},
                            KeptCell{CellKind::error, "formula without stored value", 0},
                            KeptCell{CellKind::empty, "", 0}, KeptCell{CellKind::error, "12e", 0},
                            KeptCell{CellKind::error, "inf", 0}));
}

TEST(WorkbookRows, WholeNumbersKeepTheirDigits) {
    EXPECT_EQ(onlyCell(sheetOf("<row><c><v>100000</v></c></row>")).text, "100000");
    EXPECT_EQ(onlyCell(sheetOf("<row><c><v>1E5</v></c></row>")).text, "100000");
    EXPECT_EQ(onlyCell(sheetOf("<row><c><v>1e15</v></c></row>")).text, "1e+15");
    EXPECT_EQ(onlyCell(sheetOf("<row><c><v>-0</v></c></row>")).text, "0");
    EXPECT_FALSE(std::signbit(onlyCell(sheetOf("<row><c><v>-0</v></c></row>")).number));
}

// 18.4.8 si, 18.4.4 r, 18.4.6 rPh; 22.9.2.19 ST_Xstring
TEST(WorkbookRows, RichTextIsJoinedAndPhoneticPartsAreLeftOut) {
    const auto shared = [](const std::string& inside) {
        MadeWorkbook made = sheetOf("<row><c t='s'><v>0</v></c></row>");
        made.sharedStrings = "<si>" + inside + "</si>";
        return onlyCell(made).text;
    };
    EXPECT_EQ(shared("<r><rPr><b/></rPr><t xml:space='preserve'>glu </t></r><r><t>cose</t></r>"), "glu cose");
    EXPECT_EQ(shared("<t>課</t><rPh sb='0' eb='1'><t>か</t></rPh><phoneticPr fontId='1'/>"), "課");
    EXPECT_EQ(shared("<t>a&lt;b&#x3bc;&amp;c</t>"), "a<bμ&c");
    EXPECT_EQ(shared("<t>a<![CDATA[<b>]]>c<!-- no --></t>"), "a<b>c");
    EXPECT_EQ(shared("<t>two_x000D_\nlines, _x005F_x41_ stays, _x0000_ and _xD800_ and _x00 too</t>"),
              "two\r\nlines, _x41_ stays, _x0000_ and _xD800_ and _x00 too");
    EXPECT_EQ(shared("<t xml:space='preserve'> kept </t>"), " kept ");
}

TEST(WorkbookRows, SparseRowsAndCells) {
    EXPECT_THAT(linesOf(sheetOf("<row r='3'><c r='B3'><v>1</v></c><c r='D3'><v>2</v></c></row>"
                                "<row><c><v>3</v></c><c r='c4'><v>4</v></c><c><v>5</v></c></row>"
                                "<row r='7'><c r='A7' s='1'/></row><row r='9'/>"
                                "<row r='1048576'><c r='A1048576'><v>6</v></c></row>")),
                ElementsAre("3:  | 1 |  | 2", "4: 3 |  | 4 | 5", "1048576: 6"));
}

TEST(WorkbookRows, NamesMayHavePrefixes) {
    MadeWorkbook made = sheetOf("");
    made.more = {{"xl/worksheets/sheet1.xml",
                  "<x:worksheet xmlns:x='urn:x'><x:cols><x:col/></x:cols><x:sheetData><x:row r='2'>"
                  "<x:c r='A2' t='inlineStr'><x:is><x:t>in</x:t></x:is></x:c><x:c><x:v>4</x:v></x:c></x:row>"
                  "</x:sheetData></x:worksheet>"}};
    EXPECT_THAT(linesOf(made), ElementsAre("2: in | 4"));
}

TEST(WorkbookRows, WhatLooksLikeARowElsewhereIsNone) {
    MadeWorkbook made = sheetOf(
        "<row r='1'><c t='inlineStr'><is><t><![CDATA[</row>]]></t></is></c></row>"
        "<!-- <row r='2'><c><v>9</v></c></row> -->",
        "<controls><row r='3'><c><v>9</v></c></row></controls>");
    EXPECT_THAT(linesOf(made), ElementsAre("1: </row>"));
}

// 18.3.1.55 mergeCell: the region shows the value of its first cell
TEST(WorkbookRows, MergedRegionsCarryTheirFirstValue) {
    EXPECT_THAT(linesOf(sheetOf(
                    "<row r='1'><c r='A1' t='inlineStr'><is><t>plate</t></is></c><c r='D1'><v>7</v></c></row>"
                    "<row r='3'><c r='A3'><v>99</v></c><c r='C3'><v>8</v></c></row>",
                    "<mergeCells count='3'><mergeCell ref='A1:B3'/><mergeCell ref='D1:D5'/>"
                    "<mergeCell ref='F9:G9'/></mergeCells>")),
                ElementsAre("1: plate | plate |  | 7", "2: plate | plate |  | 7", "3: plate | plate | 8 | 7",
                            "4:  |  |  | 7", "5:  |  |  | 7"));
    // An empty first cell makes an empty region, whatever is hidden under it.
    EXPECT_THAT(linesOf(sheetOf("<row r='1'><c r='A1'/><c r='B1'><v>5</v></c><c r='C1'><v>6</v></c></row>",
                                "<mergeCells><mergeCell ref='A1:B1'/></mergeCells>")),
                ElementsAre("1:  |  | 6"));
}

TEST(WorkbookRows, MergedRegionsAreRememberedForTheNextVisit) {
    const auto source = sourceFromBytes(
        "w", sheetOf("<row r='1'><c><v>1</v></c></row>", "<mergeCells><mergeCell ref='A1:B2'/></mergeCells>")
                 .bytes());
    ASSERT_TRUE(source.ok());
    for (int i = 0; i < 2; ++i) {
        EXPECT_THAT(test::linesOf(test::visitAll(source.value()).rows), ElementsAre("1: 1 | 1", "2: 1 | 1"));
    }
}

// 18.8.30 numFmt, 18.17.4.1 date systems
TEST(WorkbookRows, StylesMakeDates) {
    MadeWorkbook made = sheetOf(
        "<row r='1'><c s='1'><v>46083</v></c><c s='2'><v>0.354166666666667</v></c><c s='3'><v>1.0625</v></c>"
        "<c s='4'><v>46083.354166666664</v></c><c s='5'><v>46083</v></c><c s='0'><v>46083</v></c>"
        "<c s='77'><v>46083</v></c><c t='d'><v>2026-03-02T08:30:00</v></c></row>");
    made.styles =
        "<numFmts><numFmt numFmtId='164' formatCode='dd/mm/yyyy\\ hh:mm'/>"
        "<numFmt numFmtId='165' formatCode='0.0 &quot;days&quot;'/></numFmts>"
        "<cellStyleXfs><xf numFmtId='14'/></cellStyleXfs>"
        "<cellXfs><xf numFmtId='0'/><xf numFmtId='14'/><xf numFmtId='20'/><xf numFmtId='46'/>"
        "<xf numFmtId='164'/><xf numFmtId='165'/></cellXfs>";
    // 46083 is 2026-03-02 (date -d '1899-12-30 + 46083 days').
    EXPECT_THAT(linesOf(made),
                ElementsAre("1: 2026-03-02 | 08:30:00 | 25:30:00 | 2026-03-02T08:30:00 | 46083 "
                            "| 46083 | 46083 | 2026-03-02T08:30:00"));
    made.workbookPr = "date1904='1'";
    const Visited rows = visited(made);
    ASSERT_EQ(rows.rows.size(), 1U);
    // 1462 days later, on the same scale.
    EXPECT_EQ(rows.rows[0].cells[0].text, "2030-03-03");
    EXPECT_EQ(rows.rows[0].cells[0].number, 46083.0 + 1462.0);
    EXPECT_EQ(rows.rows[0].cells[7].number, 46083 + 8.5 / 24);
}

TEST(WorkbookRows, ChartsAreNoTables) {
    MadeWorkbook made = sheetOf("<row><c><v>1</v></c></row>");
    made.sheets.push_back({"Chart", "", "", ""});
    for (auto [name, bytes] : made.parts()) {
        if (name == "xl/_rels/workbook.xml.rels") {
            const std::size_t second = bytes.rfind("/worksheet\"");
            bytes.replace(second, 11, "/chartsheet\"");
            made.more.emplace_back(name, bytes);
        }
    }
    const auto source = sourceFromBytes("w", made.bytes());
    ASSERT_TRUE(source.ok());
    ASSERT_EQ(source.value().tables.size(), 1U);
    EXPECT_EQ(source.value().tables[0].name, "Sheet");
}

TEST(WorkbookRows, PartsMayLieElsewhere) {
    MadeWorkbook made = sheetOf("");
    std::string relations;
    for (const auto& [name, bytes] : made.parts()) {
        relations = name == "xl/_rels/workbook.xml.rels" ? bytes : relations;
    }
    relations.replace(relations.find("worksheets/sheet1.xml"), 21, "/other/./x/../S.XML");
    made.more = {{"xl/_rels/workbook.xml.rels", relations},
                 {"other/s.xml", "<worksheet><sheetData><row><c><v>4</v></c></row></sheetData></worksheet>"}};
    EXPECT_THAT(linesOf(made), ElementsAre("1: 4"));
}

TEST(WorkbookRows, VisitsStop) {
    std::string data;
    for (int i = 0; i < 30'000; ++i) {
        data += "<row><c><v>1</v></c></row>";
    }
    const auto source = sourceFromBytes("w", sheetOf(data).bytes());
    ASSERT_TRUE(source.ok());
    std::size_t rows = 0;
    const auto count = [&](std::size_t, std::span<const RawCell>) {
        return ++rows == 5 ? Visit::stop : Visit::goOn;
    };
    EXPECT_TRUE(visitRows(source.value(), 0, {}, {}, count).ok());
    EXPECT_EQ(rows, 5U);
    rows = 5;
    double share = 0.0;
    EXPECT_TRUE(visitRows(source.value(), 0, {}, {}, count, [&](double done) {
                    share = done;
                    return false;
                }).ok());
    EXPECT_LT(rows, 20'000U);
    EXPECT_TRUE(share > 0.0 && share <= 1.0);
}

}  // namespace
}  // namespace aftercurve
