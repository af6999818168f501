// How often a visit and a taking in ask whether to go on: counted in rows and bytes, never in time. All
// values are invented.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "core/intake/take_in.h"
#include "tests/support/encoded.h"
#include "tests/support/workbook_builder.h"

namespace aftercurve {
namespace {

constexpr std::size_t mostRows = 20'000;
constexpr double mostBytes = 8e6;

/// What a visit did between the calls of its progress.
struct Calls {
    std::vector<double> shares;
    std::size_t rows = 0;
    std::size_t mostRowsBetween = 0;
    std::size_t sinceCall = 0;

    void row() {
        ++rows;
        mostRowsBetween = std::max(mostRowsBetween, ++sinceCall);
    }
    void call(double share) {
        sinceCall = 0;
        shares.push_back(share);
    }
    /// Largest step of the share, from 0 and to 1 as well.
    double widestStep() const {
        double widest = 0.0;
        double before = 0.0;
        for (const double share : shares) {
            widest = std::max(widest, share - before);
            before = share;
        }
        return std::max(widest, 1.0 - before);
    }
};

Calls callsOf(const Source& source, const TextDialect& dialect = {}, std::size_t stopAt = 0) {
    Calls calls;
    EXPECT_TRUE(visitRows(
        source, 0, dialect, {},
        [&](std::size_t, std::span<const RawCell>) {
            calls.row();
            return Visit::goOn;
        },
        [&](double share) {
            calls.call(share);
            return calls.shares.size() != stopAt;
        }));
    return calls;
}

std::string repeated(const std::string& text, int times) {
    std::string all;
    all.reserve(text.size() * static_cast<std::size_t>(times));
    for (int i = 0; i < times; ++i) {
        all += text;
    }
    return all;
}

std::string bookBytes(const std::string& rows) {
    test::MadeWorkbook made;
    made.sheets = {{"Readings", rows, "", ""}};
    return made.bytes();
}

Source bookOf(const std::string& rows) {
    return sourceFromBytes("readings.xlsx", bookBytes(rows)).value();
}

std::string wideSheet(int rows) {
    return repeated("<row>" + repeated("<c><v>1.25</v></c>", 300) + "</row>", rows);
}

class ProgressOfText : public testing::TestWithParam<const char*> {};

TEST_P(ProgressOfText, IsToldEvery20000ShortRows) {
    const Source source =
        sourceFromBytes("short.csv", test::encoded(repeated("1,2\n", 90'000), GetParam())).value();
    const Calls calls = callsOf(source, {GetParam(), ',', '.'});
    EXPECT_EQ(calls.rows, 90'000U);
    EXPECT_LE(calls.mostRowsBetween, mostRows);
    EXPECT_TRUE(std::is_sorted(calls.shares.begin(), calls.shares.end()));
    // Rows are of one length, so the n-th call stands at n times 20,000 of them, to a row and a mark.
    ASSERT_EQ(calls.shares.size(), 4U);
    EXPECT_NEAR(calls.shares[1], 40'000.0 / 90'000.0, 2e-5);
}

TEST_P(ProgressOfText, IsToldEvery8MegabytesOfLongRows) {
    const Source source =
        sourceFromBytes("long.csv",
                        test::encoded(repeated(repeated("12.5,", 1000) + "1\n", 4'500), GetParam()))
            .value();
    const auto bytes = static_cast<double>(4'500 * 5'002);
    const Calls calls = callsOf(source, {GetParam(), ',', '.'});
    EXPECT_EQ(calls.rows, 4'500U);
    EXPECT_LE(calls.widestStep() * bytes, mostBytes);
    EXPECT_TRUE(std::is_sorted(calls.shares.begin(), calls.shares.end()));
    EXPECT_LE(calls.shares.back(), 1.0);
}

INSTANTIATE_TEST_SUITE_P(Encodings, ProgressOfText, testing::Values("utf-8", "utf-16le", "latin-1"));

TEST(ProgressOfSheet, IsToldEvery20000Rows) {
    const Source source = bookOf(repeated("<row><c><v>1</v></c></row>", 45'000));
    const Calls calls = callsOf(source);
    EXPECT_EQ(calls.rows, 45'000U);
    EXPECT_LE(calls.mostRowsBetween, mostRows);
}

TEST(ProgressOfSheet, IsToldEvery8MegabytesOnTheFirstVisitAndLater) {
    constexpr int rows = 4'000;
    const Source source = bookOf(wideSheet(rows));
    const double bytes = rows * (300.0 * 18.0 + 11.0);
    const Calls first = callsOf(source);
    // The look for merged cells, which tells 0, walks through all of the sheet.
    const auto before = std::count(first.shares.begin(), first.shares.end(), 0.0);
    EXPECT_GE(static_cast<double>(before), std::floor(bytes / mostBytes));
    for (const Calls& calls : {first, callsOf(source)}) {
        EXPECT_EQ(calls.rows, static_cast<std::size_t>(rows));
        EXPECT_LE(calls.widestStep() * bytes, mostBytes);
        EXPECT_TRUE(std::is_sorted(calls.shares.begin(), calls.shares.end()));
    }
}

TEST(ProgressOfSheet, IsStoppedWhileMergedCellsAreLookedFor) {
    const Source source = bookOf(wideSheet(1'000));
    const Calls stopped = callsOf(source, {}, 1);
    EXPECT_EQ(stopped.shares, std::vector<double>{0.0});
    EXPECT_EQ(stopped.rows, 0U);
    // Nothing half-read is kept: the next visit looks again, and gives all rows.
    EXPECT_EQ(callsOf(source).rows, 1'000U);
}

Mapping mappingOf() {
    Mapping mapping;
    TableMapping table;
    const std::vector<std::pair<std::string, ColumnRole>> columns{{"subject", ColumnRole::subject},
                                                                  {"food", ColumnRole::food},
                                                                  {"time", ColumnRole::time},
                                                                  {"glucose", ColumnRole::analyte}};
    for (const auto& [header, role] : columns) {
        ColumnMapping column;
        column.column = table.columns.size() + 1;
        column.header = header;
        column.role = role;
        table.columns.push_back(column);
    }
    table.columns[3].analyte = "glucose";
    table.columns[3].unit = "mmol/L";
    mapping.tables.push_back(table);
    mapping.foods.push_back({"barley", "Barley porridge", FoodRole::reference, {}, {}, {}});
    mapping.analytes.push_back({"glucose", "mmol/L", "", "", 6.0});
    return mapping;
}

constexpr int draws = 66'000;

/// Ten draws a subject, the later times first, so that the draws must be sorted.
template <class Row>
void eachRow(Row row) {
    for (int i = 0; i < draws; ++i) {
        row(std::to_string(i / 10), std::to_string(150 - i % 10 * 15));
    }
}

std::string textOfDraws() {
    std::string text = "subject,food,time,glucose\n";
    eachRow([&](const std::string& subject, const std::string& time) {
        text += subject + ",barley," + time + ",5.5\n";
    });
    return text;
}

std::string bookOfDraws() {
    const auto inlined = [](const std::string& text) {
        return "<c t=\"inlineStr\"><is><t>" + text + "</t></is></c>";
    };
    std::string rows =
        "<row>" + inlined("subject") + inlined("food") + inlined("time") + inlined("glucose") + "</row>";
    eachRow([&](const std::string& subject, const std::string& time) {
        rows += "<row><c><v>" + subject + "</v></c>" + inlined("barley") + "<c><v>" + time +
                "</v></c><c><v>5.5</v></c></row>";
    });
    return bookBytes(rows);
}

/// Calls of the progress of a taking in, and the rows visited between them.
struct TakingIn {
    Calls calls;
    TakenIn taken;
};

/// Of a source opened anew, so that nothing is known of its merged cells.
TakingIn takingIn(const std::string& bytes, std::size_t stopAt) {
    TakingIn result;
    std::vector<InputTable> tables = inputTables(std::vector{sourceFromBytes("draws", bytes).value()});
    const auto visit = tables[0].visit;
    tables[0].visit = [&](const TextDialect& dialect, const RowVisitor& visitor, const ShareDone& progress) {
        return visit(
            dialect,
            [&](std::size_t row, std::span<const RawCell> cells) {
                result.calls.row();
                return visitor(row, cells);
            },
            progress);
    };
    result.taken = takeIn(tables, mappingOf(), {}, [&](double share) {
        result.calls.call(share);
        return result.calls.shares.size() != stopAt;
    });
    return result;
}

class ProgressOfTakeIn : public testing::TestWithParam<bool> {
  protected:
    static std::string bytes() { return GetParam() ? bookOfDraws() : textOfDraws(); }
};

TEST_P(ProgressOfTakeIn, IsToldEvery20000RowsAndWhileDrawsAreSorted) {
    const TakingIn whole = takingIn(bytes(), 0);
    ASSERT_TRUE(whole.taken.study);
    EXPECT_FALSE(whole.taken.stopped);
    EXPECT_EQ(whole.taken.study->draws.size(), static_cast<std::size_t>(draws));
    // The header is read twice before, one row each.
    EXPECT_LE(whole.calls.mostRowsBetween, mostRows + 4);
    EXPECT_TRUE(std::is_sorted(whole.calls.shares.begin(), whole.calls.shares.end()));
    // Sorting, counting by table, the concentrations and the times: each of the four walks over the draws
    // asks at its begin and after 65,536 of them.
    EXPECT_EQ(std::count(whole.calls.shares.begin(), whole.calls.shares.end(), 1.0), 8);
}

TEST_P(ProgressOfTakeIn, StopsAtWhicheverCallAnswersFalse) {
    const std::string file = bytes();
    const std::size_t calls = takingIn(file, 0).calls.shares.size();
    for (std::size_t at = 1; at <= calls; ++at) {
        const TakingIn stopped = takingIn(file, at);
        EXPECT_TRUE(stopped.taken.stopped) << at;
        EXPECT_FALSE(stopped.taken.study) << at;
        EXPECT_EQ(stopped.calls.shares.size(), at) << "asked again after the answer no";
        EXPECT_EQ(stopped.calls.sinceCall, 0U) << "rows visited after the answer no to call " << at;
        EXPECT_EQ(errorCount(stopped.taken.problems), 0U) << at;
    }
}

INSTANTIATE_TEST_SUITE_P(TextAndSheet, ProgressOfTakeIn, testing::Bool());

}  // namespace
}  // namespace aftercurve
