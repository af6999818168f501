// Visiting every cell of a file to take in: delimited text in each encoding, and a workbook. Data are
// generated in memory (invented, seed 1). `bytes_per_second` counts the file for a text and the expanded
// sheet for a workbook.
#include <benchmark/benchmark.h>
#include <sys/resource.h>

#include <cstdio>
#include <fstream>
#include <random>
#include <string>
#include <utility>

#include "core/intake/source.h"
#include "tests/support/encoded.h"
#include "tests/support/workbook_builder.h"

namespace aftercurve {
namespace {

constexpr int textRows = 3'200'000;
constexpr int sheetRows = 300'000;

/// One draw as a laboratory exports it; about 31 bytes as text.
struct MadeRow {
    int subject;
    const char* food;
    int minute;
    double glucose;
    double insulin;
};

template <class Take>
void makeRows(int rows, Take take) {
    constexpr const char* foods[] = {"drink", "barley", "pulse"};
    std::mt19937_64 random{1};
    for (int i = 0; i < rows; ++i) {
        take(MadeRow{i / 60 + 1, foods[i / 10 % 3], i % 10 * 15 - 15,
                     4.0 + static_cast<double>(random() % 6000) / 1000.0,
                     20.0 + static_cast<double>(random() % 30000) / 100.0});
    }
}

std::string delimitedText(int rows) {
    std::string text = "subject;food;visit;time_min;glucose;insulin\n";
    text.reserve(std::size_t{34} * static_cast<std::size_t>(rows));
    makeRows(rows, [&](const MadeRow& row) {
        char line[96];
        const int length = std::snprintf(line, sizeof line, "S%05d;%s;%d;%d;%.3f;%.2f\n", row.subject,
                                         row.food, row.subject % 2 + 1, row.minute, row.glucose, row.insulin);
        text.append(line, static_cast<std::size_t>(length));
    });
    return text;
}

/// A sheet as spreadsheets write it: shared texts, every cell with its place, a date, a clock.
std::string sheetXml(int rows) {
    std::string xml = "<worksheet><sheetData>";
    int number = 0;
    makeRows(rows, [&](const MadeRow& row) {
        ++number;
        char line[512];
        const int length = std::snprintf(
            line, sizeof line,
            "<row r=\"%d\" spans=\"1:7\"><c r=\"A%d\" t=\"s\"><v>%d</v></c><c r=\"B%d\" t=\"s\"><v>%d</v></c>"
            "<c r=\"C%d\" s=\"1\"><v>%d</v></c><c r=\"D%d\" s=\"2\"><v>%.15f</v></c><c "
            "r=\"E%d\"><v>%d</v></c>"
            "<c r=\"F%d\"><v>%.3f</v></c><c r=\"G%d\"><v>%.2f</v></c></row>",
            number, number, row.subject % 1000 + 3, number, row.minute % 3 == 0 ? 0 : 1, number,
            46000 + row.subject % 90, number, 0.3 + row.minute / 1440.0, number, row.minute, number,
            row.glucose, number, row.insulin);
        xml.append(line, static_cast<std::size_t>(length));
    });
    return xml + "</sheetData><mergeCells><mergeCell ref=\"J1:K2\"/></mergeCells></worksheet>";
}

struct MadeBook {
    std::string bytes;
    std::size_t expanded = 0;
};

MadeBook makeBook() {
    test::MadeWorkbook made;
    made.sheets = {{"Readings", "", "", ""}};
    for (int i = 0; i < 1003; ++i) {
        made.sharedStrings += "<si><t>text " + std::to_string(i) + "</t></si>";
    }
    made.styles = "<cellXfs><xf numFmtId=\"0\"/><xf numFmtId=\"14\"/><xf numFmtId=\"21\"/></cellXfs>";
    made.more = {{"xl/worksheets/sheet1.xml", sheetXml(sheetRows)}};
    return {made.bytes(), made.more[0].second.size()};
}

double peakMegabytes() {
    rusage usage{};
    getrusage(RUSAGE_SELF, &usage);
    return static_cast<double>(usage.ru_maxrss) / 1024.0;
}

/// Lets the peak begin anew (on Linux; elsewhere it only grows).
double peakFromHere() {
    std::ofstream{"/proc/self/clear_refs"} << "5";
    return peakMegabytes();
}

/// Visits all of a table, touching each cell.
std::size_t visitCells(const Source& source, const TextDialect& dialect) {
    std::size_t cells = 0;
    std::size_t bytes = 0;
    const auto result = visitRows(source, 0, dialect, {}, [&](std::size_t, std::span<const RawCell> row) {
        for (const RawCell& cell : row) {
            bytes += cell.text.size();
        }
        cells += row.size();
        return Visit::goOn;
    });
    benchmark::DoNotOptimize(bytes);
    return result ? cells : 0;
}

void visitText(benchmark::State& state, const char* encoding) {
    std::string bytes = test::encoded(delimitedText(textRows), encoding);
    const auto size = static_cast<std::int64_t>(bytes.size());
    const auto source = sourceFromBytes("readings.csv", std::move(bytes)).value();
    std::size_t cells = 0;
    const double before = peakFromHere();
    for (auto _ : state) {
        cells = visitCells(source, {encoding, ';', '.'});
    }
    if (cells != std::size_t{6} * (textRows + 1)) {
        state.SkipWithError("the file was not read");
    }
    state.SetBytesProcessed(state.iterations() * size);
    state.SetItemsProcessed(state.iterations() * (textRows + 1));
    state.counters["peak_growth_MB"] = peakMegabytes() - before;
}
BENCHMARK_CAPTURE(visitText, utf8, "utf-8")->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(visitText, utf16, "utf-16le")->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(visitText, windows1252, "latin-1")->Unit(benchmark::kMillisecond);

/// From bytes in memory: kind, SHA-256, and the guess of the dialect.
void openText(benchmark::State& state) {
    const std::string text = delimitedText(textRows);
    for (auto _ : state) {
        const auto source = sourceFromBytes("readings.csv", text);
        if (!source || guessDialect(source.value()).delimiter != ';') {
            state.SkipWithError("the file was not opened");
            break;
        }
    }
    state.SetBytesProcessed(state.iterations() * static_cast<std::int64_t>(text.size()));
}
BENCHMARK(openText)->Unit(benchmark::kMillisecond);

/// `again`: not the first visit, so that the merged regions are known.
void visitSheet(benchmark::State& state, bool again) {
    const MadeBook book = makeBook();
    std::size_t cells = 0;
    double before = peakFromHere();
    for (auto _ : state) {
        state.PauseTiming();
        const auto source = sourceFromBytes("readings.xlsx", book.bytes).value();
        if (again) {
            visitRows(source, 0, {}, {}, [](std::size_t, std::span<const RawCell>) {
                return Visit::stop;
            }).ok();
        }
        before = peakFromHere();
        state.ResumeTiming();
        cells = visitCells(source, {});
    }
    if (cells < std::size_t{7} * sheetRows) {
        state.SkipWithError("the sheet was not read");
    }
    state.SetBytesProcessed(state.iterations() * static_cast<std::int64_t>(book.expanded));
    state.SetItemsProcessed(state.iterations() * sheetRows);
    state.counters["packed_MB"] = static_cast<double>(book.bytes.size()) / 1e6;
    state.counters["expanded_MB"] = static_cast<double>(book.expanded) / 1e6;
    state.counters["peak_growth_MB"] = peakMegabytes() - before;
}
BENCHMARK_CAPTURE(visitSheet, first, false)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(visitSheet, again, true)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace aftercurve
