// How samples.csv may be written: encodings, line ends, quotes, and what is refused as not being such a file.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>

#include "tests/core/files/problem_matchers.h"
#include "tests/support/study_files.h"

namespace aftercurve {
namespace {

using test::smallStudyJson;
using test::StudyFiles;
using testing::ElementsAre;
using testing::IsEmpty;
using testing::Optional;
using testing::SizeIs;

using namespace std::string_literals;

const std::string header = "subject,food,time_min,glucose\n";

StudyReading readSamples(std::string_view samples) {
    return StudyFiles{samples}.read();
}

TEST(SamplesText, ByteOrderMarkOfUtf8IsSkipped) {
    const auto reading = readSamples("\xef\xbb\xbf" + header + "1,drink,0,5\n");
    ASSERT_TRUE(reading.study) << linesOf(reading.problems);
    EXPECT_THAT(reading.problems, IsEmpty());
}

TEST(SamplesText, EveryLineEndCountsAsOneLine) {
    for (const std::string& end : {"\n"s, "\r\n"s, "\r"s}) {
        const auto reading = readSamples("subject,food,time_min,glucose" + end + "1,drink,0,5" + end + end +
                                         "  " + end + "1,barley,15,6");
        ASSERT_TRUE(reading.study) << linesOf(reading.problems);
        EXPECT_THAT(reading.problems, IsEmpty());
        EXPECT_THAT(reading.study->draws,
                    ElementsAre(Draw{0, 0, 1, 0, 0.0, 0, 2}, Draw{0, 1, 1, 0, 15.0, 0, 5}));
    }
}

TEST(SamplesText, QuotedCellsMayHoldCommasQuotesAndLineEnds) {
    const std::string json = R"({"format": "aftercurve-study", "version": 1,
 "foods": [{"id": "bread, \"dark\"", "role": "reference"}], "analytes": [{"id": "glucose", "unit": "mmol/L"}],
 "samples": ["samples.csv"]})";
    const auto reading = StudyFiles(
                             "\"subject\",\"food\",remark,\"time_min\",glucose\r\n"
                             "1,\"bread, \"\"dark\"\"\",\"two\r\nlines\rthree\n\",\"0\",\"5.5\"\r\n"
                             "2,\"bread, \"\"dark\"\"\",\"\",15,6\r\n",
                             json)
                             .read();
    ASSERT_TRUE(reading.study) << linesOf(reading.problems);
    EXPECT_THAT(reading.study->concentrations[0], ElementsAre(Optional(5.5), Optional(6.0)));
    EXPECT_EQ(reading.study->draws[0].row, 2u);
    EXPECT_EQ(reading.study->draws[1].row, 6u);
}

TEST(SamplesText, AQuoteInsideAPlainCellIsTakenAsItIs) {
    EXPECT_THAT(readSamples(header + "1,drink,0,5\"4\n"),
                testing::Field(&StudyReading::problems,
                               HasProblem(Severity::error, "samples.csv:2", "'5\"4' is not a number")));
}

TEST(SamplesText, BrokenQuotesAreRefused) {
    EXPECT_THAT(readSamples(header + "1,drink,0,5\n1,\"drink,15,6\n1,drink,30,7\n"),
                Refused("samples.csv:3", "a quote that is opened in this row is never closed"));
    EXPECT_THAT(readSamples(header + "1,\"drink\"x,15,6\n"),
                Refused("samples.csv:2", "text follows a closing quote in cell 2"));
    EXPECT_THAT(readSamples("\"subject,food"), Refused("samples.csv:1", "never closed"));
}

TEST(SamplesText, RowsOfEmptyCellsAreSkippedWithANote) {
    const auto reading = readSamples(header + "1,drink,0,5\n,,,\n , ,,\n");
    ASSERT_TRUE(reading.study) << linesOf(reading.problems);
    EXPECT_THAT(reading.study->draws, SizeIs(1));
    EXPECT_THAT(reading.problems, SizeIs(1));
    EXPECT_THAT(reading.problems, HasProblem(Severity::note, "samples.csv", "2 rows hold only empty cells"));
}

TEST(SamplesText, EmptyFilesAreRefused) {
    EXPECT_THAT(readSamples(""), Refused("samples.csv", "the file is empty (0 bytes)"));
    EXPECT_THAT(readSamples("\n\r\n\n"), Refused("samples.csv", "the file is empty: it has no header row"));
    EXPECT_THAT(readSamples("\xef\xbb\xbf"),
                Refused("samples.csv", "the file is empty: it has no header row"));
    EXPECT_THAT(readSamples(header), Refused("samples.csv", "a header but no row of data"));
    EXPECT_THAT(readSamples(header + ",,,\n"), Refused("samples.csv", "a header but no row of data"));
}

TEST(SamplesText, Utf16IsRefusedWithWhatToDo) {
    std::string little = "\xff\xfe";
    std::string big = "\xfe\xff";
    std::string unmarked;
    for (const char c : header) {
        little += {c, '\0'};
        big += {'\0', c};
        unmarked += {c, '\0'};
    }
    for (const std::string& text : {little, big}) {
        EXPECT_THAT(readSamples(text), Refused("samples.csv:1", "written in UTF-16; save it as UTF-8"));
    }
    EXPECT_THAT(readSamples(unmarked), Refused("samples.csv:1", "NUL byte"));
}

TEST(SamplesText, NulBytesAndBytesThatAreNotUtf8NameTheirRow) {
    EXPECT_THAT(readSamples(header + "1,drink,0,5\n1,dr\0ink,15,6\n"s), Refused("samples.csv:3", "NUL byte"));
    EXPECT_THAT(readSamples("subject,food,time_min,glucose\r\n1,drink,0,5\r\n1,dr\xe9k,15,6\r\n"),
                Refused("samples.csv:3", "not UTF-8"));
    // Overlong, surrogate, past the last code point, cut off at the end (RFC 3629, section 3).
    for (const char* bytes : {"\xc0\xaf", "\xed\xa0\x80", "\xf4\x90\x80\x80", "\xf0\x9f\x98"}) {
        EXPECT_THAT(readSamples(header + bytes), Refused("samples.csv:2", "not UTF-8")) << bytes;
    }
}

TEST(SamplesText, OtherDelimitersAreNamed) {
    EXPECT_THAT(readSamples("subject;food;time_min;glucose\n1;drink;0;5,4\n"),
                Refused("samples.csv:1", "separated by semicolons"));
    EXPECT_THAT(readSamples("subject\tfood\ttime_min\tglucose\n1\tdrink\t0\t5\n"),
                Refused("samples.csv:1", "separated by tabs"));
}

TEST(SamplesText, TooManyColumnsAreRefused) {
    std::string wide = "subject,food,time_min,glucose";
    for (int i = 0; i < 100'000; ++i) {
        wide += ",c" + std::to_string(i);
    }
    EXPECT_THAT(readSamples(wide + "\n1,drink,0,5\n"),
                Refused("samples.csv:1", "the header has 100004 columns, more than the 256"));
    EXPECT_THAT(readSamples(header + "1,drink,0,5" + std::string(100'000, ',') + "\n"),
                Refused("samples.csv:2", "the row has 100004 cells, the header has 4"));
    EXPECT_THAT(readSamples(header + std::string(100'000, ',') + "\n"),
                Refused("samples.csv:2", "the row has 100001 cells"));
}

TEST(SamplesText, ARowPastTheLimitIsRefusedAndOneAtTheLimitIsRead) {
    ReadLimits limits;
    limits.lineBytes = 64;
    const auto row = [](std::size_t length) {
        const std::string begin = "1,drink,0,5,";
        return begin + std::string(length - begin.size(), 'x');
    };
    const std::string head = "subject,food,time_min,glucose,remark\n";
    for (const std::string& end : {"\n"s, "\r\n"s, ""s}) {
        EXPECT_TRUE(StudyFiles(head + row(64) + end).read(limits).study);
        EXPECT_THAT(StudyFiles(head + row(65) + end).read(limits),
                    Refused("samples.csv:2", "longer than the 64 bytes"));
    }
    EXPECT_THAT(StudyFiles(head + "1,drink,0,5,\"" + std::string(100, 'x') + "\"\n").read(limits),
                Refused("samples.csv:2", "longer than the 64 bytes"));
}

TEST(SamplesText, MessagesCarryNoControlCharactersAndStayShort) {
    const std::string nasty = "\x1b]0;title\x07\x7f\xc2\x9b\xe2\x80\xae" + std::string(5000, 'z');
    const auto badFood = readSamples(header + "1," + nasty + ",0,5\n");
    EXPECT_FALSE(badFood.study);
    EXPECT_TRUE(isFitForPrint(badFood.problems)) << linesOf(badFood.problems);
    const auto badColumn = readSamples("subject,food,time_min,glucose," + nasty + "\n\"" + nasty +
                                       "\",drink," + nasty + ",5,\n");
    EXPECT_FALSE(badColumn.study);
    EXPECT_TRUE(isFitForPrint(badColumn.problems)) << linesOf(badColumn.problems);
    for (const Problem& problem : badColumn.problems) {
        EXPECT_EQ(lineFor(problem).find("\xc2\x9b"), std::string::npos);
        EXPECT_EQ(lineFor(problem).find("\xe2\x80\xae"), std::string::npos);
    }
}

}  // namespace
}  // namespace aftercurve
