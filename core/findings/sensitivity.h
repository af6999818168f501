#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "core/base/progress.h"
#include "core/study/study.h"

namespace aftercurve {

/// One way of doing the main comparison of one food, and what it gives.
struct SensitivityRow {
    std::string measure;  ///< key of the area
    BaselineRule baseline = BaselineRule::fastingMean;
    double windowEndMin = 0.0;
    bool exclusionsApplied = true;
    std::size_t changes = 0;               ///< choices that differ from the plan's; 0: as planned
    std::string unit;                      ///< of the measure
    std::size_t n = 0;                     ///< pairs
    std::optional<double> meanDifference;  ///< food − comparator
    std::optional<double> ciLow;
    std::optional<double> ciHigh;
    std::optional<double> p;  ///< paired t, two-sided, not adjusted
    std::optional<double> hodgesLehmann;
    std::optional<double> signedRankP;
    /// The mean difference and its interval in units of the SD of the differences, so that areas of different
    /// size stand on one axis. The interval excludes 0 exactly where the t interval does.
    std::optional<double> standardised;
    std::optional<double> standardisedLow;
    std::optional<double> standardisedHigh;
    std::string absentBecause;
};

/// How many ways agree with the plan's. A way counts where it has a test.
struct SensitivityCount {
    std::size_t ways = 0;
    std::size_t tested = 0;               ///< with a paired t test
    std::size_t sameDirection = 0;        ///< of those, mean difference on the planned side of 0
    std::size_t sameSideOfAlpha = 0;      ///< of those, p < alpha exactly where the planned p is
    std::size_t rankTested = 0;           ///< with a signed rank test
    std::size_t rankSameSideOfAlpha = 0;  ///< of those, likewise, against the planned paired t
};

/// The grid of one food of one analyte.
struct SensitivityFinding {
    std::string analyte;
    std::string food;
    std::string comparator;
    std::vector<SensitivityRow> rows;  ///< the planned one first, then by number of changes
    SensitivityCount count;
};

/// Does the comparison depend on choices that could have been made otherwise? Every combination of: the five
/// areas (the plan's main measure too where it is none of them), both baseline rules, the plan's window and
/// `sensitivityWindowsMin`, with exclusions and without (where the study has some of subjects). Each is the
/// paired t and the signed rank test of that measure, nothing else in the plan altered; p is not adjusted, as
/// the ways are not hypotheses of their own. No way is better because its p is smaller. Empty where the plan
/// has no comparator or `sensitivity` is off. Stopped by progress: nothing.
std::optional<std::vector<SensitivityFinding>> sensitivityFindings(const Study& study, const Plan& plan,
                                                                   const Progress& progress);

}  // namespace aftercurve
