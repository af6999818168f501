// The mixed model with its comparisons: 4 foods, periods, balanced and with missing visits, from 12 to 1000
// subjects. tests/bench/models_against_r.sh times R's lme4 on the same sizes.
#include <benchmark/benchmark.h>

#include <random>
#include <string>

#include "core/compare/mixed_model.h"
#include "core/compare/model_comparisons.h"

namespace {

using namespace aftercurve;

MixedModelData study(std::size_t subjects, bool missing) {
    constexpr std::size_t foods = 4;
    MixedModelData data;
    data.factors = {{"food", {}}, {"period", {}}};
    for (std::size_t f = 0; f < foods; ++f) {
        data.factors[0].levels.push_back("f" + std::to_string(f));
        data.factors[1].levels.push_back("p" + std::to_string(f));
    }
    std::mt19937_64 random{7};
    std::normal_distribution<double> normal;
    for (std::size_t s = 0; s < subjects; ++s) {
        const double level = 200.0 + 40.0 * normal(random);
        for (std::size_t period = 0; period < foods; ++period) {
            const std::size_t food = (s + period) % foods;
            const double value = level + 15.0 * static_cast<double>(food) + 30.0 * normal(random);
            if (!missing || random() % 10 != 0) {
                data.rows.push_back({s, {food, period}, value});
            }
        }
    }
    return data;
}

MixedModelOptions optionsOf(DfMethod method) {
    MixedModelOptions options;
    options.dfMethod = method;
    options.comparator = 0;
    return options;
}

void fit(benchmark::State& state) {
    const MixedModelData data = study(static_cast<std::size_t>(state.range(0)), state.range(1) != 0);
    for (auto _ : state) {
        benchmark::DoNotOptimize(mixedModel(data, optionsOf(DfMethod::satterthwaite)));
    }
    state.SetComplexityN(state.range(0));
}

/// Satterthwaite and Kenward–Roger, all differences, Tukey and Dunnett with p and intervals.
void fitAndFamilies(benchmark::State& state) {
    const MixedModelData data = study(static_cast<std::size_t>(state.range(0)), state.range(1) != 0);
    for (auto _ : state) {
        for (const DfMethod method : {DfMethod::satterthwaite, DfMethod::kenwardRoger}) {
            const MixedModel model = mixedModel(data, optionsOf(method));
            benchmark::DoNotOptimize(
                modelComparisons(model, {ModelFamily::allPairs, ModelAdjustment::tukey, 0.05, 0}));
            benchmark::DoNotOptimize(
                modelComparisons(model, {ModelFamily::againstComparator, ModelAdjustment::dunnett, 0.05, 0}));
        }
    }
    state.SetComplexityN(state.range(0));
}

void sizes(benchmark::internal::Benchmark* b) {
    for (const int missing : {0, 1}) {
        for (const int subjects : {12, 24, 100, 300, 1000}) {
            b->Args({subjects, missing});
        }
    }
    b->ArgNames({"subjects", "missing"})->Unit(benchmark::kMillisecond);
}

BENCHMARK(fit)->Apply(sizes);
BENCHMARK(fitAndFamilies)->Apply(sizes);

}  // namespace
