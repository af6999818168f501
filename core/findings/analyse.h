#pragma once

#include <vector>

#include "core/base/progress.h"
#include "core/base/result.h"
#include "core/findings/findings.h"
#include "core/study/study.h"

namespace aftercurve {

/// The one function that makes all numbers. Pure: same study and plan, same findings. `readProblems` (from
/// the reader) are carried into Findings::problems, so that they stand in one list. The plan must be valid
/// for the study (validatePlan, core/findings/validate_plan.h); an invalid one fails with its first error.
Result<Findings> analyse(const Study& study, const Plan& plan, const std::vector<Problem>& readProblems = {});

/// The same with progress and cancelling; a cancelled run fails with "cancelled".
Result<Findings> analyse(const Study& study, const Plan& plan, const std::vector<Problem>& readProblems,
                         const Progress& progress);

}  // namespace aftercurve
