#pragma once

#include <string>
#include <vector>

#include "core/base/problem.h"
#include "core/study/study.h"

namespace aftercurve {

/// One choice of the plan, as registered and as run; texts are JSON values, empty where the key is not there.
struct PlanChoice {
    std::string key;
    std::string registered;
    std::string run;

    bool differs() const { return registered != run; }
};

/// A registered plan beside the plan that ran.
struct RegisteredFinding {
    std::string on;
    std::string by;
    std::string note;
    std::string sha256;
    bool hashHolds = false;           ///< SHA-256 of the plan's bytes is the one written beside it
    std::vector<PlanChoice> choices;  ///< every key of either, in the order of study.json
    std::size_t differences = 0;
};

/// One for each registered plan, oldest first. `run` is the plan as run, its comparator filled in; the
/// registered one is filled in likewise before they are compared, and a key that it lacks has its default.
std::vector<RegisteredFinding> registeredFindings(const Study& study, const Plan& run);

/// A warning where a hash does not hold, and one where the last registered plan is not what ran.
std::vector<Problem> problemsOf(const std::vector<RegisteredFinding>& findings);

}  // namespace aftercurve
