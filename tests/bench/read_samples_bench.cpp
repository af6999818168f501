#include <benchmark/benchmark.h>
#include <sys/resource.h>

#include <cstdio>
#include <fstream>
#include <optional>
#include <random>
#include <string>

#include "core/files/samples_csv.h"
#include "core/files/sha256.h"
#include "core/files/study_folder.h"
#include "tests/support/temp_folder.h"

namespace aftercurve {
namespace {

constexpr int rows = 1'000'000;
constexpr int timesPerCurve = 10;

const char* studyJson() {
    return R"({"format": "aftercurve-study", "version": 1, "title": "Generated, seed 1",
 "foods": [{"id": "drink", "role": "reference"}, {"id": "barley", "role": "test"}, {"id": "pulse", "role": "test"}],
 "analytes": [{"id": "glucose", "unit": "mmol/L"}, {"id": "insulin", "unit": "pmol/L"}], "samples": ["samples.csv"]})";
}

/// A million draws as a spreadsheet writes them; about 31 bytes a row.
std::string samplesCsv() {
    constexpr const char* foods[] = {"drink", "barley", "pulse"};
    constexpr int minutes[] = {-5, 0, 15, 30, 45, 60, 75, 90, 105, 120};
    std::mt19937_64 random{1};
    std::string text = "subject,food,visit,period,time_min,glucose,insulin\n";
    text.reserve(std::size_t{36} * rows);
    for (int row = 0; row < rows; ++row) {
        const int curve = row / timesPerCurve;
        const double glucose = 4.0 + static_cast<double>(random() % 6000) / 1000.0;
        const double insulin = 20.0 + static_cast<double>(random() % 30000) / 100.0;
        char line[96];
        const int length =
            std::snprintf(line, sizeof line, "S%05d,%s,%d,%d,%d,%.3f,%.2f\n", curve / 6 + 1, foods[curve % 3],
                          curve / 3 % 2 + 1, curve % 6 + 1, minutes[row % timesPerCurve], glucose, insulin);
        text.append(line, static_cast<std::size_t>(length));
    }
    return text;
}

const std::string& samples() {
    static const std::string text = samplesCsv();
    return text;
}

double peakMegabytes() {
    rusage usage{};
    getrusage(RUSAGE_SELF, &usage);
    return static_cast<double>(usage.ru_maxrss) / 1024.0;
}

/// Makes the peak begin anew, so that each benchmark reports its own growth (on Linux; elsewhere it only
/// grows).
double peakFromHere() {
    benchmark::DoNotOptimize(samples());
    std::ofstream{"/proc/self/clear_refs"} << "5";
    return peakMegabytes();
}

void countWork(benchmark::State& state, double peakBefore) {
    state.SetItemsProcessed(state.iterations() * rows);
    state.SetBytesProcessed(state.iterations() * static_cast<std::int64_t>(samples().size()));
    state.counters["peak_growth_MB"] = peakMegabytes() - peakBefore;
}

/// Everything: the disk (its cache), the checks, the draws and the SHA-256 of the inputs.
void readFolder(benchmark::State& state) {
    const test::TempFolder folder;
    folder.write("study.json", studyJson());
    folder.write("samples.csv", samples());
    const double before = peakFromHere();
    for (auto _ : state) {
        const StudyReading reading = readStudyFolder(folder.path());
        if (!reading.study || reading.study->draws.size() != rows) {
            state.SkipWithError("the study could not be read");
            return;
        }
        benchmark::DoNotOptimize(reading.study->draws.data());
    }
    countWork(state, before);
}
BENCHMARK(readFolder)->Unit(benchmark::kMillisecond);

/// The same without disk and SHA-256.
void parseSamples(benchmark::State& state) {
    const double before = peakFromHere();
    for (auto _ : state) {
        Study study;
        for (const char* id : {"drink", "barley", "pulse"}) {
            study.foods.push_back({id, id, FoodRole::test, std::nullopt, std::nullopt});
        }
        study.analytes = {{"glucose", "mmol/L", ""}, {"insulin", "pmol/L", ""}};
        study.sampleFiles = {"samples.csv"};
        const ReadLimits limits;
        ProblemList problems{limits.problemsListed};
        SamplesReader reader{study, {}, limits, problems};
        if (!reader.read(samples(), 0) || problems.failed() || study.draws.size() != rows) {
            state.SkipWithError("the samples could not be read");
            return;
        }
        benchmark::DoNotOptimize(study.draws.data());
    }
    countWork(state, before);
}
BENCHMARK(parseSamples)->Unit(benchmark::kMillisecond);

void hashSamples(benchmark::State& state) {
    const double before = peakFromHere();
    for (auto _ : state) {
        benchmark::DoNotOptimize(sha256Hex(samples()));
    }
    countWork(state, before);
}
BENCHMARK(hashSamples)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace aftercurve
