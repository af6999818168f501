#include "core/compare/bootstrap_intervals.h"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <utility>

#include "core/compare/descriptive.h"
#include "core/compare/distributions.h"
#include "core/compare/replicate_chunks.h"
#include "core/compare/scaled.h"

namespace aftercurve {

namespace {

constexpr std::uint64_t fewestReplicates = 199;
constexpr std::uint64_t mostReplicates = 1'000'000;
constexpr std::size_t mostPairs = 1'000'000;
constexpr std::uint64_t replicatesPerChunk = 256;

/// The statistic of every resample, by replicate; an absent one is counted.
struct Replicates {
    std::vector<double> value;
    std::uint64_t absent = 0;
    bool finished = false;
};

Replicates drawReplicates(const OneResample& oneResample, const BootstrapSettings& settings,
                          const Progress& progress) {
    Replicates replicates;
    replicates.value.resize(settings.replicates);
    std::atomic<std::uint64_t> absent = 0;
    replicates.finished = forReplicateChunks(
        settings.replicates, replicatesPerChunk, settings.threads, progress, "resamples",
        [&](ReplicateChunk chunk) {
            std::vector<double> workspace;
            for (std::uint64_t replicate = chunk.begin; replicate < chunk.end; ++replicate) {
                ReplicateRandom random(settings.seed, RandomPurpose::resamples, replicate);
                const auto t = oneResample(random, workspace);
                if (t && std::isfinite(*t)) {
                    replicates.value[replicate] = *t;
                } else {
                    ++absent;
                }
            }
        });
    replicates.absent = absent;
    return replicates;
}

/// Level 0 … 1 of sorted replicates; absent beyond the outermost.
std::optional<double> atLevel(std::span<const double> sorted, double level) {
    const double count = static_cast<double>(sorted.size()) + 1.0;
    const double position = count * level;
    if (!(position >= 1.0 && position <= count - 1.0)) {
        return std::nullopt;
    }
    const double whole = std::floor(position);
    const auto k = static_cast<std::size_t>(whole);
    if (position == whole) {
        return sorted[k - 1];
    }
    const auto at = normalUpperQuantile(1.0 - level);
    const auto lower = normalUpperQuantile(1.0 - whole / count);
    const auto upper = normalUpperQuantile(1.0 - (whole + 1.0) / count);
    if (!at || !lower || !upper) {
        return std::nullopt;
    }
    return std::lerp(sorted[k - 1], sorted[k], (*at - *lower) / (*upper - *lower));
}

/// Σl³/(6·(Σl²)^1.5) with l = mean of the jackknife values − each.
std::optional<double> accelerationOf(std::vector<double> jackknife) {
    const auto centre = mean(jackknife);
    if (!centre) {
        return std::nullopt;
    }
    for (double& l : jackknife) {
        l = *centre - l;
    }
    const auto scaled = scaledNearOne(jackknife);
    if (!scaled) {
        return std::nullopt;
    }
    double squares = 0.0;
    double cubes = 0.0;
    for (const double l : scaled->value) {
        squares += l * l;
        cubes += l * l * l;
    }
    if (squares == 0.0) {
        return std::nullopt;
    }
    return cubes / (6.0 * std::pow(squares, 1.5));
}

std::optional<double> biasCorrectionOf(std::span<const double> replicates, double estimate,
                                       double resolution) {
    double below = 0.0;
    for (const double t : replicates) {
        if (std::abs(t - estimate) <= resolution) {
            below += 0.5;
        } else if (t < estimate) {
            below += 1.0;
        }
    }
    return normalUpperQuantile(1.0 - below / static_cast<double>(replicates.size()));
}

void addBca(Bootstrap& result, std::span<const double> sorted, double alpha) {
    if (!result.biasCorrection) {
        result.bcaAbsentBecause = "every resample lies on one side of the estimate";
        return;
    }
    if (!result.acceleration) {
        result.bcaAbsentBecause = "leaving out one pair at a time gives no acceleration";
        return;
    }
    const auto z = normalUpperQuantile(alpha / 2.0);
    const double z0 = *result.biasCorrection;
    const auto end = [&](double zLevel) -> std::optional<double> {
        const double divisor = 1.0 - *result.acceleration * (z0 + zLevel);
        if (!(divisor > 0.0)) {
            return std::nullopt;
        }
        const auto level = normalUpperTail(-(z0 + (z0 + zLevel) / divisor));
        return level ? atLevel(sorted, *level) : std::nullopt;
    };
    if (z) {
        result.bcaLow = end(-*z);
        result.bcaHigh = end(*z);
    }
    if (!result.bcaLow || !result.bcaHigh) {
        result.bcaLow.reset();
        result.bcaHigh.reset();
        result.bcaAbsentBecause = "an end lies beyond the outermost resamples: more resamples are needed";
    }
}

}  // namespace

std::string reasonAgainstBootstrap(std::size_t n, const BootstrapSettings& settings) {
    if (n > mostPairs) {
        return "more than 1000000 pairs are not resampled";
    }
    if (settings.replicates < fewestReplicates || settings.replicates > mostReplicates) {
        return "the number of resamples must lie between 199 and 1000000";
    }
    return {};
}

void addBootstrapIntervals(Bootstrap& result, const OneResample& oneResample, const Jackknife& jackknife,
                           double resolution, double alpha, const BootstrapSettings& settings,
                           const Progress& progress) {
    Replicates replicates = drawReplicates(oneResample, settings, progress);
    if (!replicates.finished) {
        result.absentBecause = "the resampling was stopped before it was done";
        return;
    }
    if (replicates.absent > 0) {
        result.absentBecause = "the statistic is absent in " + std::to_string(replicates.absent) + " of " +
                               std::to_string(settings.replicates) + " resamples";
        return;
    }
    std::vector<double>& sorted = replicates.value;
    std::sort(sorted.begin(), sorted.end());
    if (sorted.front() == sorted.back()) {
        result.absentBecause = "all resamples give one value: no interval";
        return;
    }
    result.replicates = settings.replicates;
    result.standardError = sampleSd(sorted);
    if (const auto centre = mean(sorted)) {
        result.bias = *centre - *result.estimate;
    }
    result.percentileLow = atLevel(sorted, alpha / 2.0);
    result.percentileHigh = atLevel(sorted, 1.0 - alpha / 2.0);
    if (!result.percentileLow || !result.percentileHigh) {
        result.percentileLow.reset();
        result.percentileHigh.reset();
        result.absentBecause = "too few resamples for the confidence asked";
    }
    result.biasCorrection = biasCorrectionOf(sorted, *result.estimate, resolution);
    if (auto values = jackknife()) {
        result.acceleration = accelerationOf(std::move(*values));
    }
    addBca(result, sorted, alpha);
}

}  // namespace aftercurve
