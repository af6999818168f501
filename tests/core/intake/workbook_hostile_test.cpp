// Workbooks that mean harm or are broken: each ends in a problem that says what is wrong, in bounded time and
// memory.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>

#include "core/intake/source.h"
#include "core/intake/workbook_archive.h"
#include "tests/support/visited_rows.h"
#include "tests/support/workbook_builder.h"

namespace aftercurve {
namespace {

using test::MadeWorkbook;
using testing::HasSubstr;
using testing::Not;

MadeWorkbook sheetOf(std::string data, std::string behind = {}) {
    MadeWorkbook made;
    made.sheets = {{"Sheet", std::move(data), std::move(behind), ""}};
    return made;
}

MadeWorkbook withPart(const std::string& name, std::string bytes) {
    MadeWorkbook made = sheetOf("<row><c><v>1</v></c></row>");
    made.more = {{name, std::move(bytes)}};
    return made;
}

std::string faultOf(std::string bytes, const IntakeLimits& limits = {}) {
    return test::lineOf(test::visitBytes(std::move(bytes), {}, 0, limits).problem);
}
std::string faultOf(const MadeWorkbook& made, const IntakeLimits& limits = {}) {
    return faultOf(made.bytes(), limits);
}

std::string repeated(const std::string& text, std::size_t count) {
    std::string all;
    all.reserve(text.size() * count);
    for (std::size_t i = 0; i < count; ++i) {
        all += text;
    }
    return all;
}

const std::string sheetName = "xl/worksheets/sheet1.xml";

TEST(WorkbookHostile, DocumentTypesAreRefusedInEveryPart) {
    const std::string bomb = "<!DOCTYPE x [<!ENTITY a \"aaaaaaaaaa\"><!ENTITY b \"&a;&a;&a;&a;\">]>";
    for (const auto& [name, root] : test::ArchiveParts{
             {sheetName, "worksheet"}, {"xl/workbook.xml", "workbook"}, {"_rels/.rels", "Relationships"}}) {
        const MadeWorkbook made = withPart(name, bomb + "<" + root + ">&b;</" + root + ">");
        EXPECT_THAT(faultOf(made), HasSubstr("declares a document type, which no workbook needs")) << name;
    }
    MadeWorkbook strings = sheetOf("");
    strings.sharedStrings = "<si/>";
    strings.more = {{"xl/sharedStrings.xml", bomb + "<sst/>"}};
    EXPECT_THAT(faultOf(strings), HasSubstr("the list of shared texts declares a document type"));
}

TEST(WorkbookHostile, PartsThatDeclareTooMuchAreRefusedUnread) {
    MadeWorkbook made = sheetOf("");
    IntakeLimits limits;
    limits.expandedBytes = 100'000;
    made.more = {{"xl/media/any.bin", std::string(100'001, 'x')}};
    EXPECT_THAT(
        faultOf(made, limits),
        HasSubstr("the part 'xl/media/any.bin' of the workbook expands to more than the 100000 bytes"));
}

TEST(WorkbookHostile, BombsAreCountedByWhatComesOut) {
    // The archive declares 1000 bytes a part; what comes out is more than the bound.
    MadeWorkbook made = sheetOf(repeated("<row><c><v>1</v></c></row>", 200'000));
    IntakeLimits limits;
    limits.expandedBytes = 3'000'000;
    const std::string lying = test::withDeclaredSizes(made.bytes(), 1000);
    EXPECT_THAT(
        faultOf(lying, limits),
        HasSubstr("the part 'xl/worksheets/sheet1.xml' of the workbook expands to more than the 2 MiB"));
}

TEST(WorkbookHostile, NoTableShrinksToAThousandth) {
    EXPECT_THAT(faultOf(withPart("xl/media/zeros.bin", std::string(std::size_t{40} << 20, '\0'))),
                HasSubstr("'xl/media/zeros.bin' of the workbook expands to more than 500 times"));
}

TEST(WorkbookHostile, TruncatedAnywhereItIsAProblem) {
    MadeWorkbook made = sheetOf("<row><c t='s'><v>0</v></c></row>");
    made.sharedStrings = "<si><t>x</t></si>";
    const std::string bytes = made.bytes();
    ASSERT_EQ(faultOf(bytes), "");
    for (std::size_t size = 4; size < bytes.size(); size += 7) {
        EXPECT_THAT(faultOf(bytes.substr(0, size)),
                    HasSubstr("the archive of the workbook is damaged or cut short"))
            << size;
    }
}

TEST(WorkbookHostile, DamagedDataFailTheirChecksum) {
    std::string bytes = sheetOf("<row><c><v>12345</v></c></row>").bytes(false);
    bytes[bytes.find("12345")] = '9';
    EXPECT_THAT(faultOf(bytes), HasSubstr("the part 'xl/worksheets/sheet1.xml' of the workbook is damaged"));
}

TEST(WorkbookHostile, NamesLeadNowhereOutside) {
    MadeWorkbook made = sheetOf("");
    std::string relations;
    for (const auto& [name, bytes] : made.parts()) {
        relations = name == "xl/_rels/workbook.xml.rels" ? bytes : relations;
    }
    relations.replace(relations.find("worksheets/sheet1.xml"), 21, "../../../etc/passwd");
    made.more = {{"xl/_rels/workbook.xml.rels", relations}, {"../../../etc/passwd", "<worksheet/>"}};
    EXPECT_THAT(faultOf(made), HasSubstr("names '../../../etc/passwd', which lies outside the workbook"));
    EXPECT_EQ(partName("xl", "worksheets/sheet1.xml"), "xl/worksheets/sheet1.xml");
    EXPECT_EQ(partName("xl", "/xl/styles.xml"), "xl/styles.xml");
    EXPECT_EQ(partName("xl", "../a/./b//c.xml"), "a/b/c.xml");
    EXPECT_EQ(partName("xl", "../../a"), std::nullopt);
    EXPECT_EQ(partName("", "/../a"), std::nullopt);
}

TEST(WorkbookHostile, TooManyParts) {
    test::ArchiveParts parts;
    for (std::size_t i = 0; i <= largestPartCount; ++i) {
        parts.emplace_back("p" + std::to_string(i), "");
    }
    EXPECT_THAT(faultOf(test::zipped(parts)), HasSubstr("more than the 10000 parts that are read"));
}

TEST(WorkbookHostile, AMillionColumns) {
    // Every cell one step further: 26 MB of XML in one row, past what a row may take.
    EXPECT_THAT(faultOf(sheetOf("<row>" + repeated("<c t='n'><v>1</v></c>   \n", 1'000'000) + "</row>")),
                HasSubstr("the sheet 'Sheet' has a row, text or tag of more than the 4 MiB that are read"));
    EXPECT_THAT(faultOf(sheetOf("<row r='3'>" + repeated("<c/>", 1'000'000) + "<c><v>1</v></c></row>")),
                HasSubstr("table:3: the sheet 'Sheet' has a value in column BDWGO (1000001), past the 4096"));
    EXPECT_THAT(faultOf(sheetOf("<row r='2'><c r='XFD2'><v>1</v></c></row>")),
                HasSubstr("table:2: the sheet 'Sheet' has a value in column XFD (16384), past the 4096"));
    // Cells that are only there for their looks do no harm.
    EXPECT_EQ(faultOf(sheetOf("<row r='2'><c r='A2'><v>1</v></c><c r='XFD2' s='3'/></row>")), "");
}

TEST(WorkbookHostile, DeepNesting) {
    const std::string deep = repeated("<x>", 1'000'000) + repeated("</x>", 1'000'000);
    EXPECT_THAT(faultOf(sheetOf("<row>" + deep + "</row>")),
                HasSubstr("the sheet 'Sheet' is nested deeper than the 64 levels that are read"));
    EXPECT_THAT(faultOf(withPart("xl/workbook.xml", "<workbook>" + deep + "</workbook>")),
                HasSubstr("the part 'xl/workbook.xml' is nested deeper than the 64 levels"));
}

TEST(WorkbookHostile, CharactersThatXmlDoesNotHave) {
    const auto cell = [](const std::string& text) {
        return sheetOf("<row><c t='inlineStr'><is><t>" + text + "</t></is></c></row>");
    };
    EXPECT_THAT(faultOf(cell(std::string("a\0b", 3))), HasSubstr("the sheet 'Sheet' holds a NUL byte"));
    EXPECT_THAT(faultOf(cell("a\xff")), HasSubstr("the sheet 'Sheet' holds a byte that is not UTF-8"));
    for (const char* reference :
         {"&#0;", "&#x0;", "&#xD800;", "&#1114112;", "&#x7;", "&#99999999999;", "&#q;"}) {
        EXPECT_THAT(faultOf(cell(reference)), HasSubstr("refers to a character that XML does not have"))
            << reference;
    }
    EXPECT_EQ(faultOf(cell("&#9;&#x3BC;")), "");
    EXPECT_THAT(faultOf(withPart(sheetName, std::string("\xff\xfe<\0w\0", 6))),
                HasSubstr("the sheet 'Sheet' is not written in UTF-8"));
}

TEST(WorkbookHostile, XmlThatIsNotWellFormed) {
    EXPECT_THAT(faultOf(sheetOf("<row r='1'><c><v>1</v></c></row><row r='2'><c><v>1</c></v></row>")),
                HasSubstr("table:2: the sheet 'Sheet' is not well-formed XML"));
    EXPECT_THAT(faultOf(withPart(sheetName, "<worksheet><sheetData><row><c>")),
                HasSubstr("the sheet 'Sheet' ends before it is complete"));
    EXPECT_THAT(faultOf(withPart(sheetName, "<worksheet><sheetData attribute=\"never closed>")),
                HasSubstr("ends before it is complete"));
    EXPECT_THAT(faultOf(withPart(sheetName, "</worksheet>")),
                HasSubstr("closes an element that is not open"));
    EXPECT_THAT(faultOf(withPart(sheetName, "")), HasSubstr("ends before it is complete"));
    EXPECT_THAT(faultOf(withPart(sheetName, "no XML at all")), HasSubstr("ends before it is complete"));
    EXPECT_THAT(faultOf(withPart(sheetName, "<w><!--" + std::string(5'000'000, '-'))),
                HasSubstr("of more than the 4 MiB that are read"));
    EXPECT_THAT(faultOf(withPart("xl/workbook.xml", "<workbook><sheets></workbook></sheets>")),
                HasSubstr("the part 'xl/workbook.xml' is not well-formed XML"));
}

TEST(WorkbookHostile, CellsAndRowsOutOfPlace) {
    EXPECT_THAT(faultOf(sheetOf("<row r='5'><c r='B5'><v>1</v></c><c r='A5'><v>2</v></c></row>")),
                HasSubstr("table:5: the sheet 'Sheet' has the cell 'A5' out of place"));
    EXPECT_THAT(faultOf(sheetOf("<row r='5'><c r='A5'><v>1</v></c><c r='A5'><v>2</v></c></row>")),
                HasSubstr("has the cell 'A5' out of place"));
    EXPECT_THAT(faultOf(sheetOf("<row r='5'><c r='AAAAAAAAAAAA5'><v>1</v></c></row>")),
                HasSubstr("out of place"));
    EXPECT_THAT(faultOf(sheetOf("<row r='5'><c><v>1</v></c></row><row r='4'><c><v>1</v></c></row>")),
                HasSubstr("table:6: the sheet 'Sheet' has a row numbered '4' out of place"));
    for (const char* number : {"0", "-1", "1048577", "99999999999999999999", "x"}) {
        EXPECT_THAT(faultOf(sheetOf("<row r='" + std::string{number} + "'><c><v>1</v></c></row>")),
                    HasSubstr("out of place"))
            << number;
    }
}

TEST(WorkbookHostile, SharedTextsThatAreNotThere) {
    for (const char* index : {"1", "-1", "99999999999999999999", "x"}) {
        MadeWorkbook made = sheetOf("<row r='2'><c t='s'><v>" + std::string{index} + "</v></c></row>");
        made.sharedStrings = "<si><t>x</t></si>";
        EXPECT_THAT(faultOf(made), HasSubstr("table:2: the sheet 'Sheet' refers to the shared text '" +
                                             std::string{index} + "', of which there are 1"));
    }
}

TEST(WorkbookHostile, MergedRegionsAreBounded) {
    const auto merged = [](const std::string& reference) {
        return sheetOf("<row><c><v>1</v></c></row>",
                       "<mergeCells><mergeCell ref='" + reference + "'/></mergeCells>");
    };
    EXPECT_THAT(
        faultOf(merged("A1:XFD1048576")),
        HasSubstr("the sheet 'Sheet' has merged regions of more than the 4000000 cells that are filled; "
                  "unmerge the cells"));
    EXPECT_THAT(faultOf(sheetOf("<row/>", "<mergeCells>" + repeated("<mergeCell ref='A1:A1048576'/>", 4) +
                                              "</mergeCells>")),
                HasSubstr("more than the 4000000 cells"));
    for (const char* reference : {"", "A1:", "B2:A1", "A0:B2", "A1:ZZZZ9", "1:2"}) {
        EXPECT_THAT(faultOf(merged(reference)), HasSubstr("has a merged region that is none")) << reference;
    }
}

TEST(WorkbookHostile, BoundsOfTheCaller) {
    IntakeLimits limits;
    limits.sheets = 1;
    MadeWorkbook two = sheetOf("");
    two.sheets.push_back({"Other", "", "", ""});
    EXPECT_THAT(faultOf(two, limits), HasSubstr("more than the 1 sheets that are read"));
    limits.rows = 2;
    EXPECT_THAT(faultOf(sheetOf(repeated("<row><c><v>1</v></c></row>", 3)), limits),
                HasSubstr("table:3: the sheet 'Sheet' has more than the 2 rows that are read"));
}

TEST(WorkbookHostile, PartsThatAreMissing) {
    MadeWorkbook none;
    EXPECT_THAT(faultOf(none), HasSubstr("the workbook has no sheet of cells"));
    MadeWorkbook made = sheetOf("");
    made.more = {{"xl/_rels/workbook.xml.rels", "<Relationships/>"}};
    EXPECT_THAT(faultOf(made), HasSubstr("the sheet 'Sheet' is listed, but not in the workbook"));
    made.more = {{"_rels/.rels", "<Relationships/>"}};
    EXPECT_THAT(faultOf(made), HasSubstr("does not say which of its parts is the workbook"));
    test::ArchiveParts parts = sheetOf("").parts();
    parts.erase(parts.begin());
    EXPECT_THAT(faultOf(test::zipped(parts)),
                HasSubstr("the workbook has no part 'xl/worksheets/sheet1.xml'"));
}

TEST(WorkbookHostile, WordsOfTheFileAreFitForPrint) {
    MadeWorkbook made = sheetOf("<row><c><v>1</v></c></row><row><c><v>1</c></v></row>");
    made.sheets[0].name = "&#x202e;" + std::string(500, 'n') + "&#9;";
    const std::string line = faultOf(made);
    EXPECT_THAT(line, HasSubstr("is not well-formed XML"));
    EXPECT_LT(line.size(), 300U);
    EXPECT_THAT(line, Not(HasSubstr("\xe2\x80\xae")));
}

}  // namespace
}  // namespace aftercurve
