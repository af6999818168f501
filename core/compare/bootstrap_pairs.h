#pragma once

#include <functional>
#include <optional>
#include <span>

#include "core/base/progress.h"
#include "core/compare/bootstrap.h"

namespace aftercurve {

/// A number found from pairs, food[i] and comparator[i] of one subject; may be called on several threads at
/// once. Absent where the pairs do not determine it.
using PairStatistic =
    std::function<std::optional<double>(std::span<const double> food, std::span<const double> comparator)>;

/// Nonparametric bootstrap of any statistic of pairs: whole pairs are drawn with replacement, n at a time, by
/// the same random numbers as bootstrap() (one seed: the same subjects in the same resample, whatever the
/// threads). Formulas, edges and sources as at Bootstrap; statistics closer than `resolution` to the estimate
/// equal it. Fewer than two pairs, a value that is not finite, all resamples one value, settings out of
/// range, a statistic that is absent in a resample, work that was stopped: no interval, with the reason. Same
/// lengths. 0 < alpha < 1.
Bootstrap bootstrapPairs(std::span<const double> food, std::span<const double> comparator,
                         const PairStatistic& statistic, double alpha, double resolution,
                         const BootstrapSettings& settings = {}, const Progress& progress = {});

}  // namespace aftercurve
