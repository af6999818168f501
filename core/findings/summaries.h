#pragma once

#include <span>
#include <vector>

#include "core/findings/findings.h"

namespace aftercurve {

/// Distribution of every measure over subjects, for each analyte and food; see FoodSummary. A food without
/// one value has n = 0.
std::vector<FoodSummary> foodSummaries(const Study& study, std::span<const CurveFinding> curves);

}  // namespace aftercurve
