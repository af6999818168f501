#pragma once

#include <vector>

#include "core/base/problem.h"
#include "core/study/study.h"

namespace aftercurve {

/// Everything wrong with a plan for this study, each naming its key in study.json and its value. Errors:
/// window end not in (0, 2880] min, alpha not in (0, 0.5], unknown measure or comparator, resamples outside
/// [0, 10^7]. Warnings: no comparator can be found; index asked without a reference food. Nothing else is
/// checked elsewhere.
std::vector<Problem> validatePlan(const Study& study, const Plan& plan);

/// The plan with its comparator filled in: the one named, else the only food of role control, else the only
/// one of role reference, else empty.
Plan resolvedPlan(const Study& study, const Plan& plan);

}  // namespace aftercurve
