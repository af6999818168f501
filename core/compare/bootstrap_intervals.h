#pragma once

#include <cstddef>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/base/progress.h"
#include "core/compare/bootstrap.h"
#include "core/compare/counter_random.h"

namespace aftercurve {

/// The parts that the bootstraps of differences and of pairs share. Internal to core/compare.

/// Reasons against a bootstrap of n pairs that do not depend on the values; empty where there is none.
std::string reasonAgainstBootstrap(std::size_t n, const BootstrapSettings& settings);

/// The statistic of one resample, drawn with `random`; `workspace` is the thread's own, kept from one to the
/// next.
using OneResample =
    std::function<std::optional<double>(ReplicateRandom& random, std::vector<double>& workspace)>;

/// The statistic with one pair left out after another; nothing where one lacks it.
using Jackknife = std::function<std::optional<std::vector<double>>()>;

/// Draws the resamples and fills in everything from the standard error on; `result.estimate` is there. Values
/// of the statistic closer than `resolution` to the estimate equal it.
void addBootstrapIntervals(Bootstrap& result, const OneResample& oneResample, const Jackknife& jackknife,
                           double resolution, double alpha, const BootstrapSettings& settings,
                           const Progress& progress);

}  // namespace aftercurve
