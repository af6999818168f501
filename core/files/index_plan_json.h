#pragma once

#include "core/files/json_object.h"
#include "core/study/index_plan.h"

namespace aftercurve {

/// The keys of the index and of parts of the curve in the object "plan" of study.json (docs/formats.md).
IndexPlan indexPlanFrom(const JsonObject& object);
CurvePlan curvePlanFrom(const JsonObject& object);

/// Makes the object say the same. "fibre_target_g" and "reference_factor_source" are left out where there is
/// none.
void putIndexPlan(const IndexPlan& plan, Json& object);
void putCurvePlan(const CurvePlan& plan, Json& object);

}  // namespace aftercurve
