#pragma once

#include <optional>
#include <span>
#include <vector>

#include "core/base/progress.h"
#include "core/findings/findings.h"

namespace aftercurve {

/// Every way of IndexWayKind for each index found, of the same subjects: those that the plan's outlier rule
/// kept. With 0 resamples the bootstraps are absent and say so. Stopped by progress: nothing.
std::optional<std::vector<IndexWay>> indexWays(const Plan& plan, std::span<const IndexFinding> indices,
                                               const Progress& progress);

/// The same index under the three outlier rules side by side. Class by the same rule as the finding's.
std::vector<IndexOutliers> indexOutliers(const Study& study, const Plan& plan,
                                         std::span<const CurveFinding> curves);

}  // namespace aftercurve
