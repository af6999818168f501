#pragma once

#include <span>
#include <string>

#include "core/files/json_object.h"
#include "core/study/study.h"

namespace aftercurve {

/// A plan as registered: compact JSON, keys sorted, numbers as study.json writes them. The same plan gives
/// the same bytes, whatever order it was written in.
std::string canonicalPlanText(const Plan& plan);

/// An entry of `registered_plans` for the plan as it stands, with its hash. `on` is an ISO 8601 date.
RegisteredPlan registrationOf(const Plan& plan, const std::string& on, const std::string& by,
                              const std::string& note);

/// One entry of "registered_plans" of study.json. Fatal: no plan, no hash, no date. The hash is kept as
/// written and not judged here (core/findings/registered_findings.h).
RegisteredPlan registeredPlanFrom(const JsonObject& object);

/// Makes root["registered_plans"] say `registered`; no key where there is none. Entries that say the same as
/// before keep keys that this program does not know.
void putRegisteredPlans(std::span<const RegisteredPlan> registered, Json& root);

/// What is wrong with an entry that a person makes; empty: nothing.
std::string faultOf(const RegisteredPlan& registered);

}  // namespace aftercurve
