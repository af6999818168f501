#pragma once

#include <string>

#include "core/findings/adjusted_p.h"
#include "core/findings/table.h"

namespace aftercurve {

// What the tables of tolerance share.

inline constexpr const char* noDiary = "No symptom diary: study.json names none (key diary).";

/// Stands under every table of tolerance that tests.
inline constexpr const char* noEvidence =
    "A p above the level is no evidence that two foods are tolerated alike; read the interval.";

/// What a column of adjusted p says of itself.
inline std::string adjustmentOver(const Plan& plan, const std::string& family) {
    return plan.multiplicity == Multiplicity::none ? std::string{"No adjustment was asked for"}
                                                   : adjustmentLabel(plan.multiplicity) + ", over " + family;
}

/// A row about one quantity and arm; `last` makes its key unique.
inline Row toleranceRow(const ToleranceFindings& tolerance, std::size_t quantity, std::size_t arm,
                        const std::string& last) {
    Row row;
    row.key = std::to_string(quantity) + "/" + std::to_string(arm) + "/" + last;
    row.about.food = tolerance.runs.arms[arm].food;
    return row;
}

/// Why a mean has no interval.
inline std::string intervalRemark(const PairedT& mean) {
    return mean.n == 0   ? "no subject has a value"
           : mean.n == 1 ? "one subject: no interval"
                         : "all values are equal: no interval";
}

}  // namespace aftercurve
