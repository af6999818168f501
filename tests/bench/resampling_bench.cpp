// Bootstrap of the mean difference and of the ratio of means, random sign flips, and the exact Friedman p.
#include <benchmark/benchmark.h>

#include <cmath>
#include <cstddef>
#include <random>
#include <string>
#include <vector>

#include "core/compare/bootstrap.h"
#include "core/compare/friedman.h"
#include "core/compare/permutation_test.h"
#include "core/compare/ratio_of_means.h"

namespace {

using namespace aftercurve;

struct Pairs {
    std::vector<double> food;
    std::vector<double> comparator;
};

Pairs pairsOf(std::int64_t n) {
    std::mt19937_64 random{7};
    std::normal_distribution<double> normal;
    Pairs pairs;
    for (std::int64_t i = 0; i < n; ++i) {
        pairs.comparator.push_back(150.0 + 30.0 * normal(random));
        pairs.food.push_back(pairs.comparator.back() * 0.9 + 18.0 * normal(random));
    }
    return pairs;
}

void bootstrapMeanOf(benchmark::State& state) {
    const Pairs pairs = pairsOf(state.range(0));
    const Differences differences = pairedDifferences(pairs.food, pairs.comparator);
    const BootstrapSettings settings{.replicates = 10'000, .threads = static_cast<unsigned>(state.range(1))};
    for (auto _ : state) {
        benchmark::DoNotOptimize(bootstrapMean(differences, 0.05, settings));
    }
    state.SetItemsProcessed(state.iterations() * 10'000);
}

void bootstrapRatioOf(benchmark::State& state) {
    const Pairs pairs = pairsOf(state.range(0));
    const BootstrapSettings settings{.replicates = 10'000, .threads = static_cast<unsigned>(state.range(1))};
    for (auto _ : state) {
        benchmark::DoNotOptimize(bootstrapRatioOfMeans(pairs.food, pairs.comparator, 0.05, settings));
    }
    state.SetItemsProcessed(state.iterations() * 10'000);
}

void signFlipsOf(benchmark::State& state) {
    const Pairs pairs = pairsOf(state.range(0));
    const Differences differences = pairedDifferences(pairs.food, pairs.comparator);
    PermutationSettings settings;
    settings.replicates = 1'000'000;
    settings.exactUpTo = 0;
    settings.threads = static_cast<unsigned>(state.range(1));
    for (auto _ : state) {
        benchmark::DoNotOptimize(permutationTest(differences, settings));
    }
    state.SetItemsProcessed(state.iterations() * 1'000'000);
}

void friedmanOf(benchmark::State& state) {
    std::mt19937_64 random{9};
    std::normal_distribution<double> normal;
    const auto foods = static_cast<std::size_t>(state.range(1));
    std::vector<FoodBlock> blocks;
    for (std::int64_t i = 0; i < state.range(0); ++i) {
        FoodBlock block{std::to_string(i), {}};
        for (std::size_t j = 0; j < foods; ++j) {
            block.value.emplace_back(normal(random));
        }
        blocks.push_back(block);
    }
    bool exact = false;
    for (auto _ : state) {
        const Friedman found = friedman(blocks, foods);
        exact = found.exactP.has_value();
        benchmark::DoNotOptimize(found);
    }
    state.SetLabel(exact ? "exact" : "chi-square");
}

BENCHMARK(bootstrapMeanOf)
    ->ArgsProduct({{12, 24, 50, 100, 300, 1000}, {1}})
    ->Args({100, 2})
    ->UseRealTime()
    ->Unit(benchmark::kMillisecond);
BENCHMARK(bootstrapRatioOf)
    ->ArgsProduct({{12, 100, 1000}, {1}})
    ->UseRealTime()
    ->Unit(benchmark::kMillisecond);
BENCHMARK(signFlipsOf)
    ->ArgsProduct({{12, 24, 50, 100, 300, 1000}, {1}})
    ->Args({100, 2})
    ->UseRealTime()
    ->Unit(benchmark::kMillisecond);
BENCHMARK(friedmanOf)
    ->Args({12, 3})
    ->Args({24, 3})
    ->Args({50, 3})
    ->Args({70, 3})
    ->Args({12, 4})
    ->Args({16, 4})
    ->Args({20, 4})
    ->Args({6, 5})
    ->Args({8, 5})
    ->Args({4, 6})
    ->Args({6, 6})
    ->Unit(benchmark::kMillisecond);

}  // namespace
