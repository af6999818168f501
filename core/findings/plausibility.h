#pragma once

#include <span>
#include <vector>

#include "core/base/problem.h"
#include "core/findings/findings.h"
#include "core/study/study.h"

namespace aftercurve {

/// Glucose readings that a clinician should look at, one warning a curve and limit (compared in mmol/L):
///   below 3.0      clinically significant hypoglycaemia (International Hypoglycaemia Study Group 2017; from
///   memory) fasting >= 7.0, any >= 11.1   WHO/IDF 2006 limits for venous plasma (from memory)
/// They flag a reading; they diagnose nothing. Their check key is "clinician-range".
std::vector<Problem> readingsForAClinician(const Study& study, std::span<const CurveFinding> curves);

}  // namespace aftercurve
