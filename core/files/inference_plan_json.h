#pragma once

#include "core/files/json_object.h"
#include "core/study/inference_plan.h"

namespace aftercurve {

/// The keys of a plan that say how it is tested beyond the paired comparison; what is absent keeps its
/// default.
InferencePlan inferencePlanFrom(const JsonObject& object);

/// Writes them into `object`, the plan; other keys stay.
void putInferencePlan(const InferencePlan& plan, Json& object);

}  // namespace aftercurve
