#pragma once

#include <string>

#include "core/study/study.h"

namespace aftercurve {

/// A plan as registered: compact JSON, keys sorted, numbers as study.json writes them. The same plan gives
/// the same bytes, whatever order it was written in.
std::string canonicalPlanText(const Plan& plan);

/// An entry of `registered_plans` for the plan as it stands, with its hash. `on` is an ISO 8601 date.
RegisteredPlan registrationOf(const Plan& plan, const std::string& on, const std::string& by,
                              const std::string& note);

/// What is wrong with an entry that a person makes; empty: nothing.
std::string faultOf(const RegisteredPlan& registered);

}  // namespace aftercurve
