#pragma once

#include <cstdint>
#include <span>

#include "core/study/curve_series.h"
#include "core/study/study.h"

namespace aftercurve {

/// The time that a draw stands at by the plan's time basis, in min.
double timeOfDraw(const Study& study, const Plan& plan, std::size_t draw);

/// Fills times, values, missing times, notes and (two values at one time) the flaw of a curve, whose subject,
/// food, visit and analyte are set, from its draws in order of `timeOfDraw`.
void collectSamples(const Study& study, const Plan& plan, std::span<const std::uint32_t> draws,
                    CurveSeries& curve);

}  // namespace aftercurve
