// The kind of a file is told by its first bytes; what is not read says what to do instead.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>

#include "core/intake/source.h"
#include "tests/support/visited_rows.h"
#include "tests/support/workbook_builder.h"

namespace aftercurve {
namespace {

using testing::HasSubstr;

const std::string compound = std::string("\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", 8) + std::string(600, '\0');

std::string opened(const std::string& bytes) {
    const auto source = sourceFromBytes("file.xlsx", bytes);
    return source ? "opened" : lineFor(source.problem());
}

TEST(SourceKind, OldBinaryWorkbook) {
    EXPECT_THAT(opened(compound), HasSubstr("file.xlsx: the file is an old binary workbook (.xls), which is "
                                            "not read; open it in a spreadsheet and save it as .xlsx"));
}

TEST(SourceKind, WorkbookWithPassword) {
    std::string bytes = compound;
    for (const char c : std::string{"EncryptedPackage"}) {
        bytes += c;
        bytes += '\0';
    }
    EXPECT_THAT(opened(bytes),
                HasSubstr("the workbook is protected by a password; open it, take the password off"));
}

TEST(SourceKind, OtherArchives) {
    EXPECT_THAT(
        opened(test::zipped(
            {{"mimetype", "application/vnd.oasis.opendocument.spreadsheet"}, {"content.xml", "<x/>"}})),
        HasSubstr("an OpenDocument file (.ods), which is not read; open it in a spreadsheet and save"));
    EXPECT_THAT(opened(test::zipped({{"xl/workbook.bin", "x"}, {"_rels/.rels", "<x/>"}})),
                HasSubstr("a binary workbook (.xlsb), which is not read; open it in a spreadsheet"));
    EXPECT_THAT(opened(test::zipped({{"readings.csv", "a,b\n"}})),
                HasSubstr("a zip archive, but no workbook; unpack it"));
    EXPECT_THAT(opened(std::string("PK\x05\x06", 4) + std::string(18, '\0')), HasSubstr("no workbook"));
    test::MadeWorkbook document{{{"A", "", "", ""}}, "", "", "", {}};
    document.more = {{"xl/workbook.xml", "<w:document xmlns:w='urn:x'/>"}};
    EXPECT_THAT(opened(document.bytes()), HasSubstr("an office document, but no workbook"));
}

TEST(SourceKind, OtherFiles) {
    EXPECT_THAT(opened("%PDF-1.7 ..."), HasSubstr("a PDF, not a table"));
    EXPECT_THAT(opened("\x1f\x8b\x08 ..."), HasSubstr("packed (gzip); unpack it"));
    EXPECT_THAT(opened(""), HasSubstr("the file is empty"));
    EXPECT_THAT(opened("\xef\xbb\xbf"), HasSubstr("the file is empty"));
}

TEST(SourceKind, TheNameDoesNotDecide) {
    const auto text = sourceFromBytes("named.xlsx", "a,b\n1,2\n");
    ASSERT_TRUE(text.ok());
    EXPECT_FALSE(text.value().workbook);
    const test::MadeWorkbook made{{{"A", "<row><c><v>1</v></c></row>", "", ""}}, "", "", "", {}};
    const auto workbook = sourceFromBytes("named.csv", made.bytes());
    ASSERT_TRUE(workbook.ok());
    EXPECT_TRUE(workbook.value().workbook);
    EXPECT_EQ(guessDialect(workbook.value()), TextDialect{});
}

}  // namespace
}  // namespace aftercurve
