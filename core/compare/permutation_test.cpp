#include "core/compare/permutation_test.h"

#include <atomic>
#include <bit>
#include <cmath>
#include <span>
#include <vector>

#include "core/compare/counter_random.h"
#include "core/compare/descriptive.h"
#include "core/compare/replicate_chunks.h"
#include "core/compare/scaled.h"

namespace aftercurve {

namespace {

constexpr std::size_t mostExact = 24;
constexpr std::uint64_t fewestReplicates = 99;
constexpr std::uint64_t mostReplicates = 100'000'000;
constexpr double relativeTolerance = 1e-12;
constexpr std::uint64_t replicatesPerChunk = 1U << 12U;
constexpr std::uint64_t patternsPerChunk = 1U << 16U;

/// Σ|d| near 1 by a power of two.
struct NearOne {
    std::vector<double> value;
    double observed = 0.0;   ///< |Σ d|
    double tolerance = 0.0;  ///< of a sum
};

/// Whole numbers: 24 values below 2^57 sum without overflow and without rounding, in any order.
std::vector<std::int64_t> asWhole(std::span<const double> value) {
    std::vector<std::int64_t> whole;
    for (const double x : value) {
        whole.push_back(std::llround(std::ldexp(x, 57)));
    }
    return whole;
}

/// Patterns as far from 0 as the observed one among those whose Gray code has a number from begin to end − 1;
/// bit i set: sign of value i turned. The sign of the last value is never turned: the other half mirrors.
std::uint64_t countExact(std::span<const std::int64_t> value, std::int64_t limit, ReplicateChunk chunk) {
    std::uint64_t gray = chunk.begin ^ (chunk.begin >> 1U);
    std::int64_t sum = 0;
    for (std::size_t i = 0; i < value.size(); ++i) {
        sum += (gray >> i & 1U) != 0 ? -value[i] : value[i];
    }
    std::uint64_t count = std::abs(sum) >= limit ? 1U : 0U;
    for (std::uint64_t pattern = chunk.begin + 1; pattern < chunk.end; ++pattern) {
        const auto i = static_cast<std::size_t>(std::countr_zero(pattern));
        gray ^= std::uint64_t{1} << i;
        sum += (gray >> i & 1U) != 0 ? -2 * value[i] : 2 * value[i];
        count += std::abs(sum) >= limit ? 1U : 0U;
    }
    return count;
}

std::uint64_t countRandom(std::span<const double> value, double limit, std::uint64_t seed,
                          ReplicateChunk chunk) {
    std::uint64_t count = 0;
    for (std::uint64_t replicate = chunk.begin; replicate < chunk.end; ++replicate) {
        ReplicateRandom random(seed, RandomPurpose::signFlips, replicate);
        double sum = 0.0;
        std::uint32_t bits = 0;
        for (std::size_t i = 0; i < value.size(); ++i) {
            bits = i % 32 == 0 ? random.next() : bits >> 1U;
            sum += (bits & 1U) != 0 ? -value[i] : value[i];
        }
        count += std::abs(sum) >= limit ? 1U : 0U;
    }
    return count;
}

std::string settingsProblem(const PermutationSettings& settings) {
    if (settings.replicates < fewestReplicates || settings.replicates > mostReplicates) {
        return "the number of random sign patterns must lie between 99 and 100000000";
    }
    if (settings.exactUpTo > mostExact) {
        return "all sign patterns can be counted for at most 24 differences";
    }
    return {};
}

NearOne nearOne(const Scaled& scaled, double resolution) {
    NearOne result{scaled.value, 0.0, 0.0};
    double sum = 0.0;
    double absolute = 0.0;
    for (const double x : scaled.value) {
        sum += x;
        absolute += std::abs(x);
    }
    result.observed = std::abs(sum);
    result.tolerance = std::max(std::ldexp(resolution, -scaled.exponent), relativeTolerance * absolute);
    return result;
}

}  // namespace

PermutationTest permutationTest(const Differences& differences, const PermutationSettings& settings,
                                const Progress& progress) {
    PermutationTest result;
    if (!allFinite(differences.value)) {
        result.absentBecause = "a difference is not a finite number";
        return result;
    }
    result.meanDifference = mean(differences.value);
    std::vector<double> nonZero;
    for (const double d : differences.value) {
        if (std::abs(d) > differences.resolution) {
            nonZero.push_back(d);
        }
    }
    result.nonZero = nonZero.size();
    result.zeros = differences.value.size() - nonZero.size();
    if (nonZero.empty()) {
        result.absentBecause = differences.value.empty() ? "there is no pair" : "all differences are zero";
        return result;
    }
    result.absentBecause = settingsProblem(settings);
    if (!result.absentBecause.empty()) {
        return result;
    }

    const Scaled scaled = *scaledNearOne(nonZero);
    const NearOne values = nearOne(scaled, differences.resolution);
    const double limit = values.observed - values.tolerance;
    const bool exact = result.nonZero <= settings.exactUpTo;
    std::atomic<std::uint64_t> count = 0;
    bool finished = false;
    if (exact) {
        result.patterns = std::uint64_t{1} << result.nonZero;
        const std::vector<std::int64_t> whole = asWhole(values.value);
        const std::int64_t wholeLimit = std::llround(std::ldexp(limit, 57));
        finished = forReplicateChunks(
            result.patterns / 2, patternsPerChunk, settings.threads, progress, "sign patterns",
            [&](ReplicateChunk chunk) { count += 2 * countExact(whole, wholeLimit, chunk); });
    } else {
        result.patterns = settings.replicates;
        finished = forReplicateChunks(
            result.patterns, replicatesPerChunk, settings.threads, progress, "random sign patterns",
            [&](ReplicateChunk chunk) { count += countRandom(values.value, limit, settings.seed, chunk); });
    }
    if (!finished) {
        result.patterns = 0;
        result.absentBecause = "the test was stopped before it was done";
        return result;
    }
    result.asExtreme = count;
    result.tieTolerance = scaledBack(values.tolerance, scaled.exponent);
    const auto patterns = static_cast<double>(result.patterns);
    if (exact) {
        result.method = "exact";
        result.p = static_cast<double>(result.asExtreme) / patterns;
    } else {
        result.method = "monte-carlo";
        const double p = static_cast<double>(result.asExtreme + 1) / (patterns + 1.0);
        result.p = p;
        result.monteCarloError = std::sqrt(p * (1.0 - p) / patterns);
    }
    return result;
}

}  // namespace aftercurve
