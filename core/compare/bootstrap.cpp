#include "core/compare/bootstrap.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <string>
#include <vector>

#include "core/compare/bootstrap_intervals.h"
#include "core/compare/descriptive.h"
#include "core/compare/scaled.h"

namespace aftercurve {

namespace {

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
    return reasonAgainstBootstrap(differences.value.size(), settings);
}

std::optional<std::vector<double>> jackknifeOf(std::span<const double> value, const Statistic& statistic) {
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
    return jackknife;
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
    const std::span<const double> value = differences.value;
    const OneResample oneResample = [&](ReplicateRandom& random, std::vector<double>& workspace) {
        workspace.resize(value.size());
        const auto n = static_cast<std::uint32_t>(value.size());
        for (double& x : workspace) {
            x = value[random.below(n)];
        }
        return statistic(workspace);
    };
    addBootstrapIntervals(
        result, oneResample, [&] { return jackknifeOf(value, statistic); }, differences.resolution, alpha,
        settings, progress);
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
