#include "core/files/csv_cell.h"

#include <gtest/gtest.h>

#include <string>

namespace aftercurve {
namespace {

// Every text of up to four of these characters: what is protected, quoted and plain, and what is a number.
TEST(CsvCell, ATextIsReadBackFromItsCellAndNoSpreadsheetRunsIt) {
    const std::string characters = "='-5x,\"";
    std::vector<std::string> texts{""};
    for (std::size_t i = 0; i < texts.size() && texts[i].size() < 4; ++i) {
        for (const char c : characters) {
            texts.push_back(texts[i] + c);
        }
    }
    ASSERT_EQ(texts.size(), 1u + 7u + 49u + 343u + 2401u);
    const auto unquoted = [](std::string cell) {
        if (!cell.starts_with('"')) {
            return cell;
        }
        std::string text;
        for (std::size_t i = 1; i + 1 < cell.size(); ++i) {
            text += cell[i];
            i += cell[i] == '"' ? 1 : 0;
        }
        return text;
    };
    for (const std::string& text : texts) {
        const std::string cell = unquoted(textCell(text));
        EXPECT_EQ(textIn(cell), text);
        EXPECT_FALSE(spreadsheetWouldRun(cell)) << cell;
        EXPECT_EQ(numberColumnText(unquoted(numberColumnCell(text))), text);
    }
}

TEST(CsvCell, OnlyWhatNeedsItIsChanged) {
    EXPECT_EQ(textCell("haemolysed"), "haemolysed");
    EXPECT_EQ(textCell("'s morgens"), "'s morgens");
    EXPECT_EQ(textCell("=1"), "'=1");
    EXPECT_EQ(textCell("'=1"), "''=1");
    EXPECT_EQ(textCell("-5"), "'-5");
    EXPECT_EQ(textCell("=a,b"), "\"'=a,b\"");
    EXPECT_EQ(textCell("a\"b"), "\"a\"\"b\"");
    EXPECT_EQ(textIn("'s morgens"), "'s morgens");
    EXPECT_EQ(textIn("'"), "'");
    EXPECT_EQ(numberColumnCell("-5"), "-5");
    EXPECT_EQ(numberColumnCell("=1+1"), "'=1+1");
    // An apostrophe never makes a number of a text.
    EXPECT_EQ(numberColumnText("'-5"), "'-5");
    EXPECT_EQ(numberColumnText("'+5"), "'+5");
    EXPECT_EQ(numberColumnText("'=1"), "=1");
}

}  // namespace
}  // namespace aftercurve
