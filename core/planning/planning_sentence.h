#pragma once

#include <string>

#include "core/planning/power.h"

namespace aftercurve {

/// The answer as it may stand in a protocol: number of subjects, what is compared, the numbers put in, the
/// method and its assumption. `unit` is that of the measure (may be empty). Where there is no answer, what
/// kept it from being found.
std::string sizeSentence(const PlanningQuestion& question, const SizeRequest& request,
                         const SizeAnswer& answer, const std::string& unit);

/// "With 12 subjects the power is 74.1 %."
std::string powerSentence(const PlanningQuestion& question, std::size_t n, const PowerAnswer& answer,
                          const std::string& unit);

/// "With 12 subjects and a power of 80 %, the smallest difference that is found is 41.3 mmol/L × min."
std::string detectableSentence(const PlanningQuestion& question, std::size_t n, double power,
                               const DetectableAnswer& answer, const std::string& unit);

}  // namespace aftercurve
