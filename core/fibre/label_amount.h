#pragma once

#include <span>
#include <string>

#include "core/study/fibre_rule.h"

namespace aftercurve {

/// An amount of fibre as the steps of a rule declare it: "7.3 g", "less than 1 g". The last step that the
/// amount reaches holds: from its limit on, or only above it. To a multiple: half upwards, a rest below 1e-9
/// of a step counting as half (0.25 and 2.45 are no exact doubles); as many decimals as the multiple has, and
/// those of the step that the rounded amount reaches (9.96 is 10 g, not 10.0 g). To significant figures
/// likewise. Empty where there are no steps, or the amount is negative or not finite.
std::string labelAmount(double grams, std::span<const FibreRoundingStep> steps);

}  // namespace aftercurve
