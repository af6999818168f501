#pragma once

#include <span>
#include <vector>

#include "core/base/problem.h"
#include "core/findings/findings.h"

namespace aftercurve {

/// Every food against the plan's comparator, for the plan's measure and its secondary measures, in each
/// analyte. Pairs are subjects with both values (replicate visits averaged at the measure); who is left out
/// is listed with the reason. p is adjusted over the foods within one analyte and one measure, as the plan
/// says. `plan` has its comparator filled in.
std::vector<ComparisonFinding> comparisonsOf(const Study& study, const Plan& plan,
                                             std::span<const CurveFinding> curves);

/// Warnings for subjects left out (once an analyte and food, not again for each secondary measure), errors
/// for comparisons without a test.
std::vector<Problem> problemsOf(std::span<const ComparisonFinding> comparisons);

}  // namespace aftercurve
