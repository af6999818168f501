// Rows and cells by RFC 4180 with each delimiter, and texts that come in pieces.
#include "core/files/delimited.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>
#include <vector>

namespace aftercurve {
namespace {

using testing::ElementsAre;
using Step = DelimitedScanner::Step;
using Input = DelimitedScanner::Input;

struct ScannedRow {
    std::size_t line = 0;
    std::vector<std::string> cells;

    bool operator==(const ScannedRow&) const = default;
};
struct Scanned {
    std::vector<ScannedRow> rows;
    Step last = Step::end;

    bool operator==(const Scanned&) const = default;
};

void take(DelimitedScanner& scanner, Scanned& scanned) {
    for (scanned.last = scanner.next(); scanned.last == Step::row; scanned.last = scanner.next()) {
        scanned.rows.push_back({scanner.row(), {scanner.cells().begin(), scanner.cells().end()}});
    }
}

Scanned scan(std::string_view text, char delimiter = ',', std::size_t lineBytes = 1000) {
    DelimitedScanner scanner{text, lineBytes, 16, delimiter};
    Scanned scanned;
    take(scanner, scanned);
    return scanned;
}

/// The text given `pieceBytes` at a time.
Scanned scanInPieces(std::string_view text, std::size_t pieceBytes, std::size_t lineBytes = 1000) {
    std::size_t end = std::min(pieceBytes, text.size());
    std::size_t begin = 0;
    const auto input = [&] { return end == text.size() ? Input::complete : Input::goesOn; };
    DelimitedScanner scanner{text.substr(0, end), lineBytes, 16, ',', input()};
    Scanned scanned;
    for (take(scanner, scanned); scanned.last == Step::more; take(scanner, scanned)) {
        begin += scanner.offset();
        end = std::min(end + pieceBytes, text.size());
        scanner.continueWith(text.substr(begin, end - begin), input());
    }
    return scanned;
}

TEST(Delimited, EachDelimiterCutsAndTheOthersAreText) {
    for (const char delimiter : {',', ';', '\t', '|'}) {
        std::string others = ",;\t|";
        others.erase(others.find(delimiter), 1);
        const std::string text = "a" + std::string{delimiter} + "\"q" + delimiter + "\"\"\n\"" + delimiter +
                                 others + "x\r\n" + delimiter + "\r" + std::string(70, 'z') + delimiter + "e";
        const Scanned scanned = scan(text, delimiter);
        ASSERT_EQ(scanned.rows.size(), 3U) << delimiter;
        EXPECT_THAT(scanned.rows[0].cells,
                    ElementsAre("a", "q" + std::string{delimiter} + "\"\n", others + "x"));
        EXPECT_THAT(scanned.rows[1].cells, ElementsAre("", ""));
        EXPECT_THAT(scanned.rows[2].cells, ElementsAre(std::string(70, 'z'), "e"));
        EXPECT_EQ(scanned.rows[1].line, 3U);
        EXPECT_EQ(scanned.rows[2].line, 4U);
        EXPECT_EQ(scanned.last, Step::end);
    }
}

TEST(Delimited, PiecesOfAnyLengthGiveTheRowsOfTheWhole) {
    const std::vector<std::string> texts{
        "a,b\r\nc,\"d\"\"e\r\nf\",g\r\r\n \r\n\n\n\"\",x\r\n\"last\"",
        "\n\n\r\n\r,\"\"\n,\n\"a\nb\"\r",
        "no end of line",
        "\"never closed\nx,y",
        "ok,row\n\"closed\" then text\nmore,rows",
        "",
    };
    for (const std::string& text : texts) {
        const Scanned whole = scan(text);
        for (std::size_t pieceBytes = 1; pieceBytes <= text.size() + 1; ++pieceBytes) {
            EXPECT_EQ(scanInPieces(text, pieceBytes), whole) << text << " by " << pieceBytes;
        }
    }
}

TEST(Delimited, ARowTooLongIsFoundInPiecesToo) {
    const std::string text = "a,b\n" + std::string(50, 'x') + "\nc";
    EXPECT_EQ(scan(text, ',', 40).last, Step::lineTooLong);
    for (const std::size_t pieceBytes : {1U, 7U, 44U, 45U, 46U}) {
        const Scanned scanned = scanInPieces(text, pieceBytes, 40);
        EXPECT_EQ(scanned.last, Step::lineTooLong) << pieceBytes;
        EXPECT_EQ(scanned.rows.size(), 1U);
    }
    EXPECT_EQ(scanInPieces(text, 9, 50).last, Step::end);
}

}  // namespace
}  // namespace aftercurve
