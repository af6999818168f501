#pragma once

#include "core/files/json_object.h"
#include "core/study/plan.h"

namespace aftercurve {

/// The plan of study.json; a key that is absent keeps the default of Plan. An unknown word for a rule is
/// fatal and the allowed words are named; whether values are sensible is for validatePlan to say.
Plan planFrom(const JsonObject& object);

/// Sets every key of the plan in `object`, leaving keys that this program does not know as they are. The
/// comparator is left out where the plan names none.
void putPlan(const Plan& plan, Json& object);

}  // namespace aftercurve
