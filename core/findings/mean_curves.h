#pragma once

#include <span>
#include <vector>

#include "core/findings/findings.h"

namespace aftercurve {

/// The mean curve of each food and analyte that has at least one curve that counts; see MeanCurve.
std::vector<MeanCurve> meanCurves(const Study& study, const Plan& plan, std::span<const CurveFinding> curves);

}  // namespace aftercurve
