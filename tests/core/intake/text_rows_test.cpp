// Delimited texts over the whole product of encoding, mark, delimiter, quoting and line end: a generated
// table (invented, seed below) is written by this test and must come back cell by cell, by the dialect it was
// written in and by the dialect that is guessed.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <random>
#include <string>
#include <vector>

#include "core/intake/source.h"
#include "tests/support/encoded.h"
#include "tests/support/temp_folder.h"
#include "tests/support/visited_rows.h"

namespace aftercurve {
namespace {

using test::KeptRow;
using test::Visited;
using testing::HasSubstr;

enum class Quoting { whereNeeded, always };

struct Writing {
    std::string encoding;
    bool mark = false;
    char delimiter = ',';
    char decimalMark = '.';
    Quoting quoting = Quoting::whereNeeded;
    std::string lineEnd;

    std::string name() const {
        return encoding + (mark ? " marked" : "") + " '" + std::string{delimiter} + "' decimal '" +
               std::string{decimalMark} + (quoting == Quoting::always ? "' quoted " : "' plain ") +
               std::to_string(lineEnd.size()) + (lineEnd.front() == '\r' ? "CR" : "LF");
    }
};

std::vector<std::vector<std::string>> table(char decimalMark) {
    std::mt19937 random{20260302};
    std::vector<std::vector<std::string>> rows{
        {"Versuch Gerste Ä, 2026"},
        {"# exported; all values are invented"},
        {"subject", "meal", "time | min", "glucose", "insulin µU/ml", "note"},
    };
    const std::vector<std::string> notes{"",        "a \"quoted\" word", "two\nlines", "comma, here",
                                         "semi; x", "bar | and\ttab",    "20 € é",     "  blanks  "};
    for (unsigned i = 0; i < 40; ++i) {
        const auto decimal = [&](unsigned whole) {
            return std::to_string(random() % whole) + decimalMark + std::to_string(10 + random() % 90);
        };
        rows.push_back({"S" + std::to_string(i / 8 + 1), i % 2 == 0 ? "barley" : "pulse",
                        std::to_string(static_cast<int>(i % 8) * 15 - 15), decimal(12), decimal(90),
                        notes[i % notes.size()]});
    }
    return rows;
}

struct Written {
    std::string bytes;
    std::vector<KeptRow> rows;
};

Written written(const Writing& writing) {
    std::string text;
    std::vector<KeptRow> rows;
    std::size_t line = 1;
    for (const auto& cells : table(writing.decimalMark)) {
        KeptRow row{line, {}};
        for (std::size_t i = 0; i < cells.size(); ++i) {
            text += i == 0 ? "" : std::string{writing.delimiter};
            const bool needed =
                cells[i].find_first_of("\"\n\r" + std::string{writing.delimiter}) != std::string::npos;
            if (needed || writing.quoting == Quoting::always) {
                std::string inside;
                for (const char c : cells[i]) {
                    inside += c == '"' ? "\"\"" : std::string{c};
                    line += c == '\n' ? 1 : 0;
                }
                text += '"' + inside + '"';
            } else {
                text += cells[i];
            }
            row.cells.push_back({cells[i].empty() ? CellKind::empty : CellKind::text, cells[i], 0.0});
        }
        while (!row.cells.empty() && row.cells.back().kind == CellKind::empty) {
            row.cells.pop_back();
        }
        rows.push_back(row);
        text += writing.lineEnd;
        ++line;
    }
    return {test::encoded((writing.mark ? "\ufeff" : "") + text, writing.encoding), rows};
}

std::vector<Writing> allWritings() {
    std::vector<Writing> all;
    for (const char* encoding : {"utf-8", "utf-16le", "utf-16be", "latin-1"}) {
        for (const bool mark : {false, true}) {
            if (mark && std::string{encoding} == "latin-1") {
                continue;
            }
            for (const char delimiter : {',', ';', '\t', '|'}) {
                for (const char decimalMark : {'.', ','}) {
                    for (const Quoting quoting : {Quoting::whereNeeded, Quoting::always}) {
                        for (const char* lineEnd : {"\n", "\r\n", "\r"}) {
                            all.push_back({encoding, mark, delimiter, decimalMark, quoting, lineEnd});
                        }
                    }
                }
            }
        }
    }
    return all;
}

TEST(TextRows, EveryWayOfWritingComesBackCellByCell) {
    const std::vector<Writing> writings = allWritings();
    ASSERT_EQ(writings.size(), 7U * 4 * 2 * 2 * 3);
    for (const Writing& writing : writings) {
        const Written file = written(writing);
        const TextDialect dialect{writing.encoding, writing.delimiter, writing.decimalMark};
        const auto source = sourceFromBytes("export.csv", file.bytes);
        ASSERT_TRUE(source.ok()) << writing.name();
        EXPECT_FALSE(source.value().workbook);
        EXPECT_EQ(source.value().tables.size(), 1U);
        const Visited visited = test::visitAll(source.value(), 0, dialect);
        EXPECT_EQ(test::lineOf(visited.problem), "") << writing.name();
        EXPECT_EQ(visited.rows, file.rows) << writing.name();
        const TextDialect guess = guessDialect(source.value());
        EXPECT_EQ(guess, dialect) << writing.name() << " was guessed as " << guess.encoding << " '"
                                  << guess.delimiter << "' '" << guess.decimalMark << "'";
    }
}

TEST(TextRows, RowsAreCountedAcrossPieces) {
    // More than two pieces of 4 MiB in every encoding; 300 000 rows of which each says its own number.
    std::string text;
    for (int i = 1; i <= 300'000; ++i) {
        text += std::to_string(i) + ";\"µ" + std::to_string(i) + "\";some more text to fill the row\n";
    }
    for (const char* encoding : {"utf-8", "utf-16le", "latin-1"}) {
        const auto source = sourceFromBytes("long.csv", test::encoded(text, encoding));
        ASSERT_TRUE(source.ok());
        std::size_t rows = 0;
        std::size_t wrong = 0;
        std::vector<double> shares;
        const auto result = visitRows(
            source.value(), 0, {encoding, ';', '.'}, {},
            [&](std::size_t row, std::span<const RawCell> cells) {
                ++rows;
                const std::string number = std::to_string(rows);
                const bool right = row == rows && cells.size() == 3 && cells[0].text == number &&
                                   cells[1].text == "µ" + number;
                wrong += right ? 0U : 1U;
                return Visit::goOn;
            },
            [&](double share) {
                shares.push_back(share);
                return true;
            });
        EXPECT_TRUE(result.ok());
        EXPECT_EQ(rows, 300'000U) << encoding;
        EXPECT_EQ(wrong, 0U) << encoding;
        EXPECT_GE(shares.size(), 2U);
        EXPECT_TRUE(std::is_sorted(shares.begin(), shares.end()));
        EXPECT_TRUE(shares.front() > 0.0 && shares.back() <= 1.0);
    }
}

TEST(TextRows, AVisitorAndAProgressStop) {
    std::string text;
    for (int i = 0; i < 1'000'000; ++i) {
        text += "1,2,3,4\n";
    }
    const auto source = sourceFromBytes("t.csv", text);
    std::size_t rows = 0;
    const auto stopAtThree = [&](std::size_t, std::span<const RawCell>) {
        return ++rows == 3 ? Visit::stop : Visit::goOn;
    };
    EXPECT_TRUE(visitRows(source.value(), 0, {}, {}, stopAtThree).ok());
    EXPECT_EQ(rows, 3U);
    rows = 10;
    EXPECT_TRUE(visitRows(source.value(), 0, {}, {}, stopAtThree, [](double) { return false; }).ok());
    EXPECT_GT(rows, 100U);
    EXPECT_LT(rows, 900'000U);
}

TEST(TextRows, EmptyRowsAreNotVisitedAndNumbersStay) {
    const Visited visited = test::visitBytes("a,b\n\n,,\n \nc,d\n,e\n");
    EXPECT_THAT(test::linesOf(visited.rows), testing::ElementsAre("1: a | b", "5: c | d", "6:  | e"));
}

TEST(TextRows, WhatCannotBeReadNamesItsRow) {
    const auto lineOf = [](std::string bytes, const TextDialect& dialect = {},
                           const IntakeLimits& limits = {}) {
        return test::lineOf(test::visitBytes(std::move(bytes), dialect, 0, limits).problem);
    };
    EXPECT_THAT(lineOf("a,b\nc,\"d\ne,f\n"),
                HasSubstr("error: table:2: a quote that is opened in this row is never closed"));
    EXPECT_THAT(lineOf("a,b\n\"c\" d,e\n"), HasSubstr("table:2: text follows a closing quote in cell 1"));
    EXPECT_THAT(
        lineOf("a,b\r\n\r\nc,\xb5\n"),
        HasSubstr("table:3: a byte is not UTF-8, so the file is not text in utf-8; choose the encoding"));
    EXPECT_THAT(lineOf(std::string("a,b\nc\0,d\n", 9)), HasSubstr("table:2: a NUL byte stands in the text"));
    EXPECT_THAT(lineOf("a\nb\x81\n", {"latin-1", ',', '.'}),
                HasSubstr("table:2: a byte stands for no character of Windows-1252"));
    EXPECT_THAT(lineOf("a\n", {"utf-7", ',', '.'}),
                HasSubstr("the encoding 'utf-7' is not known; name one of"));
    EXPECT_THAT(lineOf("a\n", {"utf-8", ':', '.'}), HasSubstr("cells cannot be separated by ':'"));
    IntakeLimits limits;
    limits.columns = 3;
    limits.rows = 2;
    limits.lineBytes = 20;
    EXPECT_THAT(lineOf("a\n1,2,3,4\n", {}, limits),
                HasSubstr("table:2: the row has 4 cells, more than the 3 that are read"));
    EXPECT_THAT(lineOf("a\nb\nc\n", {}, limits), HasSubstr("table:3: the file has more than the 2 rows"));
    EXPECT_THAT(lineOf("a\n" + std::string(30, 'x'), {}, limits),
                HasSubstr("table:2: the row is longer than the 20 bytes that are read"));
    limits.fileBytes = 4;
    EXPECT_THAT(lineOf("a,b,c\n", {}, limits), HasSubstr("there are 6 bytes, more than the 4 bytes"));
}

TEST(TextRows, AMillionColumnsAreRefusedInBoundedTime) {
    EXPECT_THAT(test::lineOf(test::visitBytes("a\n" + std::string(1'000'000, ',') + "\n").problem),
                HasSubstr("table:2: the row has 1000001 cells, more than the 4096 that are read"));
}

TEST(TextRows, AFileIsReadFromItsPath) {
    const test::TempFolder folder;
    const auto path = folder.write("drop/readings.csv", "a;b\n1;2\n");
    const auto source = openSource(path);
    ASSERT_TRUE(source.ok());
    EXPECT_EQ(source.value().file, "readings.csv");
    // printf 'a;b\n1;2\n' | sha256sum
    EXPECT_EQ(source.value().sha256, "403bea5152c251c5bc7ef420d824d191605723f99392e83a0549ad58c6d46291");
    EXPECT_EQ(guessDialect(source.value()).delimiter, ';');
    std::filesystem::create_symlink(path, folder.path() / "link.csv");
    EXPECT_TRUE(openSource(folder.path() / "link.csv").ok());
    EXPECT_THAT(lineFor(openSource(folder.path() / "none.csv").problem()),
                HasSubstr("none.csv: the file 'none.csv' is not there; check the path"));
    EXPECT_THAT(lineFor(openSource(folder.path() / "drop").problem()), HasSubstr("a folder, not a file"));
    IntakeLimits limits;
    limits.fileBytes = 7;
    EXPECT_THAT(lineFor(openSource(path, limits).problem()),
                HasSubstr("the file has 8 bytes, more than the 7 bytes that are read"));
}

}  // namespace
}  // namespace aftercurve
