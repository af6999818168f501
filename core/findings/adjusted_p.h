#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/compare/model_comparisons.h"
#include "core/study/plan.h"

namespace aftercurve {

/// The p of one family adjusted as the plan says; unchanged under Multiplicity::none. Absent p stay absent.
std::vector<std::optional<double>> adjustedP(Multiplicity rule,
                                             std::span<const std::optional<double>> family);

/// "Holm"; "not adjusted".
std::string adjustmentLabel(Multiplicity rule);
/// Likewise for a family of the mixed model: "Tukey (studentized range)".
std::string adjustmentLabel(ModelAdjustment adjustment);

}  // namespace aftercurve
