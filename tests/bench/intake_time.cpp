// What taking in one file costs, step by step, for tests/bench/intake_compare.sh. One step a run, so that
// each has a peak of memory of its own. Usage: aftercurve_intake_time open|visit|guess|take FILE Prints:
// step, seconds, peak of memory in MB, and for `take` the size of the study in MB and its draws.
#include <sys/resource.h>

#include <chrono>
#include <cstdio>
#include <fstream>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "core/intake/guess.h"
#include "core/intake/take_in.h"

namespace {

using namespace aftercurve;

using Clock = std::chrono::steady_clock;

double processorSeconds() {
    rusage usage{};
    getrusage(RUSAGE_SELF, &usage);
    const auto seconds = [](const timeval& time) {
        return static_cast<double>(time.tv_sec) + static_cast<double>(time.tv_usec) / 1e6;
    };
    return seconds(usage.ru_utime) + seconds(usage.ru_stime);
}

/// Time since it was made: of the clock, and of the processor, which other programs disturb less.
struct Stopwatch {
    Clock::time_point begin = Clock::now();
    double processor = processorSeconds();

    double seconds() const { return std::chrono::duration<double>(Clock::now() - begin).count(); }
    double busySeconds() const { return processorSeconds() - processor; }
};

double peakMegabytes() {
    rusage usage{};
    getrusage(RUSAGE_SELF, &usage);
    return static_cast<double>(usage.ru_maxrss) * 1024.0 / 1e6;
}

/// Lets the peak begin anew (on Linux; elsewhere it only grows).
void peakFromHere() {
    std::ofstream{"/proc/self/clear_refs"} << "5";
}

template <class Value>
double bytesOf(const std::vector<Value>& values) {
    return static_cast<double>(values.size() * sizeof(Value));
}

/// The vectors of a study, without what short texts take outside of them.
double megabytesOf(const Study& study) {
    double bytes = bytesOf(study.draws) + bytesOf(study.nominalMin) + bytesOf(study.replicate) +
                   bytesOf(study.subjects) + bytesOf(study.belowLimit) + bytesOf(study.remarks) +
                   bytesOf(study.visits);
    for (const auto& values : study.concentrations) {
        bytes += bytesOf(values);
    }
    return bytes / 1e6;
}

void print(std::string_view what, double seconds, double busySeconds) {
    std::printf("%.*s\t%.3f\t%.3f\t%.0f", static_cast<int>(what.size()), what.data(), seconds, busySeconds,
                peakMegabytes());
}

int failed(const Problem& problem) {
    std::fprintf(stderr, "%s\n", lineFor(problem).c_str());
    return 1;
}

int visit(const std::vector<InputTable>& tables) {
    std::size_t cells = 0;
    const Stopwatch watch;
    for (const InputTable& table : tables) {
        const auto done = table.visit(table.dialect,
                                      [&](std::size_t, std::span<const RawCell> row) {
                                          cells += row.size();
                                          return Visit::goOn;
                                      },
                                      {});
        if (!done) {
            return failed(done.problem());
        }
    }
    print("visiting every cell", watch.seconds(), watch.busySeconds());
    std::printf("\t%zu cells\n", cells);
    return 0;
}

int take(const std::vector<InputTable>& tables, const Mapping& mapping) {
    peakFromHere();
    const Stopwatch watch;
    const TakenIn taken = takeIn(tables, mapping, {}, [](double) { return true; });
    const double seconds = watch.seconds();
    const double busySeconds = watch.busySeconds();
    if (!taken.study) {
        return failed(taken.problems.back());
    }
    print("taking in, mapping known", seconds, busySeconds);
    std::printf("\tstudy of %.0f MB, %zu draws\n", megabytesOf(*taken.study), taken.study->draws.size());
    return 0;
}

}  // namespace

int main(int argc, char** argv) {
    const std::string_view step = argc == 3 ? argv[1] : "";
    if (step != "open" && step != "visit" && step != "guess" && step != "take") {
        std::fprintf(stderr, "usage: aftercurve_intake_time open|visit|guess|take FILE\n");
        return 2;
    }
    const Stopwatch opening;
    auto source = openSource(argv[2]);
    if (!source) {
        return failed(source.problem());
    }
    const std::vector<Source> sources{std::move(source).value()};
    const std::vector<InputTable> tables = inputTables(sources);
    if (step == "open") {
        print("opening", opening.seconds(), opening.busySeconds());
        std::printf("\t\n");
        return 0;
    }
    if (step == "visit") {
        return visit(tables);
    }
    const Stopwatch guessing;
    const GuessedMapping guessed = guessMapping(tables);
    if (step == "guess") {
        print("guessing", guessing.seconds(), guessing.busySeconds());
        std::printf("\t%zu questions\n", guessed.questions.size());
    }
    for (const Question& question : guessed.questions) {
        std::fprintf(stderr, "%s\n", sentenceFor(question).c_str());
    }
    return step == "guess" ? 0 : take(tables, guessed.mapping);
}
