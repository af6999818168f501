// Models of curves: invented crossovers of 4 foods and 8 times, a tenth of the samples missing, so that
// nearly every subject has a pattern of its own, and complete ones, which share one.
#include <benchmark/benchmark.h>

#include <cstddef>
#include <random>

#include "core/compare/repeated_measures.h"
#include "core/compare/time_course.h"

namespace {

aftercurve::TimeCourseData study(std::size_t subjects, unsigned missingPercent) {
    aftercurve::TimeCourseData data;
    data.foods = {"barley", "pulse", "seaweed", "drink"};
    data.timesMin = {15, 30, 45, 60, 75, 90, 105, 120};
    std::mt19937 random{5};
    std::normal_distribution<double> normal;
    for (std::size_t s = 0; s < subjects; ++s) {
        const double u = normal(random);
        for (std::size_t f = 0; f < data.foods.size(); ++f) {
            const double v = 0.7 * normal(random);
            double e = normal(random);
            for (std::size_t t = 0; t < data.timesMin.size(); ++t) {
                e = 0.5 * e + normal(random);
                if (random() % 100 >= missingPercent) {
                    data.rows.push_back({s, f, 0, t, 6.0 + u + v + e + 0.1 * static_cast<double>(f * t), {}});
                }
            }
        }
    }
    return data;
}

void fit(benchmark::State& state, aftercurve::CurveCovariance covariance) {
    const auto data = study(static_cast<std::size_t>(state.range(0)), static_cast<unsigned>(state.range(1)));
    aftercurve::TimeCourseOptions options;
    options.covariance = covariance;
    options.comparator = 3;
    for (auto _ : state) {
        const aftercurve::TimeCourse result = aftercurve::timeCourse(data, options);
        if (!result.absentBecause.empty()) {
            state.SkipWithError(result.absentBecause.c_str());
        }
        benchmark::DoNotOptimize(result);
    }
}

void curvesIndependent(benchmark::State& state) {
    fit(state, aftercurve::CurveCovariance::independent);
}

void curvesAr1(benchmark::State& state) {
    fit(state, aftercurve::CurveCovariance::continuousTimeAr1);
}

void curvesUnstructured(benchmark::State& state) {
    fit(state, aftercurve::CurveCovariance::unstructured);
}

void curvesClassicalTable(benchmark::State& state) {
    const auto data = study(static_cast<std::size_t>(state.range(0)), 0);
    for (auto _ : state) {
        benchmark::DoNotOptimize(aftercurve::repeatedMeasures(data));
    }
}

BENCHMARK(curvesIndependent)
    ->ArgNames({"subjects", "missing_percent"})
    ->ArgsProduct({{12, 24, 100, 1000}, {0, 10}})
    ->Unit(benchmark::kMillisecond);
BENCHMARK(curvesAr1)
    ->ArgNames({"subjects", "missing_percent"})
    ->ArgsProduct({{12, 24, 100, 1000}, {0, 10}})
    ->Unit(benchmark::kMillisecond);
BENCHMARK(curvesUnstructured)
    ->ArgNames({"subjects", "missing_percent"})
    ->ArgsProduct({{12, 24}, {0, 10}})
    ->Unit(benchmark::kMillisecond);
BENCHMARK(curvesClassicalTable)->Arg(24)->Arg(1000)->Unit(benchmark::kMillisecond);

}  // namespace
