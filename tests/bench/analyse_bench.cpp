// `analyse` on a study of 24 subjects and 4 foods, glucose and insulin, 9 draws a curve; and on larger ones.
#include <benchmark/benchmark.h>

#include "core/findings/analyse.h"
#include "tests/bench/bench_study.h"

namespace {

using aftercurve::bench::studyOf;

void analyseStudy(benchmark::State& state) {
    const aftercurve::Study study =
        studyOf(static_cast<int>(state.range(0)), static_cast<int>(state.range(1)));
    for (auto _ : state) {
        auto findings = aftercurve::analyse(study, study.plan);
        benchmark::DoNotOptimize(findings);
    }
    state.SetItemsProcessed(state.iterations() * state.range(0) * state.range(1) * 2);
}

BENCHMARK(analyseStudy)->Args({24, 4})->Args({100, 4})->Args({1000, 4})->Unit(benchmark::kMillisecond);

}  // namespace
