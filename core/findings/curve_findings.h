#pragma once

#include <span>
#include <vector>

#include "core/base/problem.h"
#include "core/findings/findings.h"
#include "core/study/curve_series.h"
#include "core/study/study.h"

namespace aftercurve {

/// Times at which more than half of an analyte's curves have a row, ascending: the schedule that the study
/// was drawn by. Empty where draws were so irregular that no time is common.
std::vector<double> commonSchedule(std::span<const CurveSeries> curves);

/// Window, measures and notes of one curve. `schedule` serves to notice draws without a row.
/// A curve that is flawed, or that the window cannot be cut from, has no measures and says why in
/// `notEstimable`. A measure that overflows is absent.
CurveFinding curveFinding(const Study& study, const Plan& plan, const CurveSeries& curve,
                          std::span<const double> schedule);

/// A problem that concerns this curve, with its place filled in and "subject 07, oats, visit 1" as the begin
/// of what it says.
Problem problemAt(const CurveFinding& finding, Severity severity);

/// What a reader must know of one curve: an error where it is not estimable and not excluded, notes for gaps
/// spanned, an interpolated end and an incomplete baseline.
std::vector<Problem> problemsOf(const CurveFinding& finding);

}  // namespace aftercurve
