// 1,000,000 curves of 9 samples: the positive area alone, all measures, and the floor of reading the bytes
// once.
#include <benchmark/benchmark.h>

#include <array>
#include <cstdint>
#include <numeric>
#include <random>
#include <span>
#include <vector>

#include "core/curve/area.h"
#include "core/curve/measures.h"
#include "core/curve/window.h"

namespace {

constexpr std::size_t curveCount = 1'000'000;
constexpr std::size_t samplesPerCurve = 9;
constexpr std::array<double, samplesPerCurve> schedule{0, 15, 30, 45, 60, 75, 90, 105, 120};

struct Curves {
    std::vector<double> time;
    std::vector<double> value;
};

const Curves& curves() {
    static const Curves made = [] {
        Curves c;
        std::mt19937_64 random{11};
        std::normal_distribution<double> noise{0.0, 0.6};
        for (std::size_t i = 0; i < curveCount; ++i) {
            for (const double t : schedule) {
                c.time.push_back(t);
                c.value.push_back(5.0 + 0.06 * t * (1.0 - t / 100.0) + noise(random));
            }
        }
        return c;
    }();
    return made;
}

std::span<const double> at(const std::vector<double>& all, std::size_t curve) {
    return {all.data() + curve * samplesPerCurve, samplesPerCurve};
}

void report(benchmark::State& state) {
    state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(curveCount));
    state.SetBytesProcessed(state.iterations() *
                            static_cast<std::int64_t>(curveCount * samplesPerCurve * 2 * sizeof(double)));
}

void readingAllBytes(benchmark::State& state) {
    const Curves& c = curves();
    for (auto _ : state) {
        // Four sums side by side, so that adding is not what limits it.
        std::array<double, 4> sums{};
        for (const auto* all : {&c.time, &c.value}) {
            for (std::size_t i = 0; i + 4 <= all->size(); i += 4) {
                for (std::size_t k = 0; k < 4; ++k) {
                    sums[k] += (*all)[i + k];
                }
            }
        }
        benchmark::DoNotOptimize(sums);
    }
    report(state);
}

void positiveArea(benchmark::State& state) {
    const Curves& c = curves();
    for (auto _ : state) {
        double sum = 0.0;
        for (std::size_t i = 0; i < curveCount; ++i) {
            const auto value = at(c.value, i);
            sum += aftercurve::areaPositiveIncremental(at(c.time, i), value, value[0]);
        }
        benchmark::DoNotOptimize(sum);
    }
    report(state);
}

void windowAndAllMeasures(benchmark::State& state) {
    const Curves& c = curves();
    const aftercurve::Plan plan;
    aftercurve::WindowPoints points;
    for (auto _ : state) {
        double sum = 0.0;
        for (std::size_t i = 0; i < curveCount; ++i) {
            aftercurve::windowPointsInto(at(c.time, i), at(c.value, i), plan, points);
            for (const aftercurve::Measure& measure : aftercurve::measureList()) {
                sum += measure.compute(points).value_or(0.0);
            }
        }
        benchmark::DoNotOptimize(sum);
    }
    report(state);
}

BENCHMARK(readingAllBytes)->Unit(benchmark::kMillisecond);
BENCHMARK(positiveArea)->Unit(benchmark::kMillisecond);
BENCHMARK(windowAndAllMeasures)->Unit(benchmark::kMillisecond);

}  // namespace
