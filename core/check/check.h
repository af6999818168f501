#pragma once

#include <span>
#include <string_view>
#include <vector>

#include "core/base/problem.h"
#include "core/base/progress.h"
#include "core/check/check_input.h"

namespace aftercurve {

/// One thing that a data manager would look for in a feeding study. It looks and changes nothing.
struct Check {
    std::string_view key;     ///< as in results.json and in the acceptances of study.json
    std::string_view label;   ///< for people
    std::string_view source;  ///< where its limit comes from
    /// Warnings, and notes for mild findings, each with the place that it concerns. At most
    /// `listedProblems` open ones (core/check/found.h); one more line counts the rest.
    std::vector<Problem> (*run)(const CheckInput& input) = nullptr;
};

/// The list that `analyse` and the method handbook follow. A new check is one file, its declaration in
/// checks.h and one entry there.
std::span<const Check> checkList();

/// True for the key of a check in the list, for "clinician-range" (core/findings/plausibility.h),
/// "index-standard" (core/findings/conformity_findings.h), "match" and "composition"
/// (core/findings/portion_findings.h).
bool isCheckKey(std::string_view key);

/// Every check in the order of the list. `progress` is told of each; where it answers false the rest is left
/// out, and `stopped` says so.
struct CheckRun {
    std::vector<Problem> problems;
    bool stopped = false;
};
CheckRun runChecks(const Study& study, const Plan& plan, const Progress& progress);
std::vector<Problem> runChecks(const Study& study, const Plan& plan);

}  // namespace aftercurve
