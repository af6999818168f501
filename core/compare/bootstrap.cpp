#include "core/compare/bootstrap.h"

#include <algorithm>
#include <atomic>
#include <cassert>
#include <cmath>
#include <string>
#include <vector>

#include "core/compare/counter_random.h"
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

std::string reasonAgainst(const Differences& differences, const BootstrapSettings& settings) {
    if (differences.value.empty()) {
        return "there is no pair";
    }
    if (!allFinite(differences.value)) {
        return "a difference is not a finite number";
    }
    if (differences.value.size() == 1) {
        return "one pair: resamples cannot vary, no interval";
    }
    if (allEqual(differences)) {
        return "all differences are equal: resamples cannot vary, no interval";
    }
    if (differences.value.size() > mostPairs) {
        return "more than 1000000 pairs are not resampled";
    }
    if (settings.replicates < fewestReplicates || settings.replicates > mostReplicates) {
        return "the number of resamples must lie between 199 and 1000000";
    }
    return {};
}

/// The statistic of every resample, by replicate; an absent one is counted.
struct Replicates {
    std::vector<double> value;
    std::uint64_t absent = 0;
    bool finished = false;
};

Replicates drawReplicates(std::span<const double> value, const Statistic& statistic,
                          const BootstrapSettings& settings, const Progress& progress) {
    Replicates replicates;
    replicates.value.resize(settings.replicates);
    std::atomic<std::uint64_t> absent = 0;
    const auto n = static_cast<std::uint32_t>(value.size());
    replicates.finished = forReplicateChunks(
        settings.replicates, replicatesPerChunk, settings.threads, progress, "resamples",
        [&](ReplicateChunk chunk) {
            std::vector<double> resample(n);
            for (std::uint64_t replicate = chunk.begin; replicate < chunk.end; ++replicate) {
                ReplicateRandom random(settings.seed, RandomPurpose::resamples, replicate);
                for (double& x : resample) {
                    x = value[random.below(n)];
                }
                const auto t = statistic(resample);
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

std::optional<double> accelerationOf(std::span<const double> value, const Statistic& statistic) {
    std::vector<double> jackknife;
    std::vector<double> rest(value.begin() + 1, value.end());
    for (std::size_t i = 0; i < value.size(); ++i) {
        // `rest` holds all but the i-th, in their order.
        const auto t = statistic(rest);
        if (!t || !std::isfinite(*t)) {
            return std::nullopt;
        }
        jackknife.push_back(*t);
        if (i < rest.size()) {
            rest[i] = value[i];
        }
    }
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

void scaleBack(std::optional<double>& value, int exponent) {
    if (value) {
        value = scaledBack(*value, exponent);
    }
}

}  // namespace

Bootstrap bootstrap(const Differences& differences, const Statistic& statistic, double alpha,
                    const BootstrapSettings& settings, const Progress& progress) {
    assert(alpha > 0.0 && alpha < 1.0);
    Bootstrap result;
    result.n = differences.value.size();
    result.absentBecause = reasonAgainst(differences, settings);
    if (result.n > 0 && allFinite(differences.value)) {
        result.estimate = statistic(differences.value);
    }
    if (!result.absentBecause.empty()) {
        return result;
    }
    if (!result.estimate || !std::isfinite(*result.estimate)) {
        result.estimate.reset();
        result.absentBecause = "the differences do not determine the statistic";
        return result;
    }
    Replicates replicates = drawReplicates(differences.value, statistic, settings, progress);
    if (!replicates.finished) {
        result.absentBecause = "the resampling was stopped before it was done";
        return result;
    }
    if (replicates.absent > 0) {
        result.absentBecause = "the statistic is absent in " + std::to_string(replicates.absent) + " of " +
                               std::to_string(settings.replicates) + " resamples";
        return result;
    }
    std::vector<double>& sorted = replicates.value;
    std::sort(sorted.begin(), sorted.end());
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
    result.biasCorrection = biasCorrectionOf(sorted, *result.estimate, differences.resolution);
    result.acceleration = accelerationOf(differences.value, statistic);
    addBca(result, sorted, alpha);
    return result;
}

Bootstrap bootstrapMean(const Differences& differences, double alpha, const BootstrapSettings& settings,
                        const Progress& progress) {
    const auto scaled = scaledNearOne(differences.value);
    if (!scaled) {
        return bootstrap(differences, mean, alpha, settings, progress);  // says why there is none
    }
    const Statistic plainMean = [](std::span<const double> value) -> std::optional<double> {
        double sum = 0.0;
        for (const double x : value) {
            sum += x;
        }
        return value.empty() ? std::nullopt : std::optional(sum / static_cast<double>(value.size()));
    };
    Bootstrap result = bootstrap({scaled->value, std::ldexp(differences.resolution, -scaled->exponent)},
                                 plainMean, alpha, settings, progress);
    result.estimate = mean(differences.value);
    for (auto* value : {&result.standardError, &result.bias, &result.percentileLow, &result.percentileHigh,
                        &result.bcaLow, &result.bcaHigh}) {
        scaleBack(*value, scaled->exponent);
    }
    return result;
}

}  // namespace aftercurve
