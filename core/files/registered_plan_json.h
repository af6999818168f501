#pragma once

#include <span>
#include <string>

#include "core/files/json_object.h"
#include "core/files/registration.h"
#include "core/study/study.h"

namespace aftercurve {

/// One entry of "registered_plans" of study.json. Fatal: no plan, no hash, no date. The hash is kept as
/// written and not judged here (core/findings/registered_findings.h).
RegisteredPlan registeredPlanFrom(const JsonObject& object);

/// Makes root["registered_plans"] say `registered`; no key where there is none. Entries that say the same as
/// before keep keys that this program does not know.
void putRegisteredPlans(std::span<const RegisteredPlan> registered, Json& root);

}  // namespace aftercurve
