#pragma once

#include <span>
#include <vector>

#include "core/base/problem.h"
#include "core/findings/findings.h"

namespace aftercurve {

/// A mixed model of each analyte, for the plan's measure and its secondary measures, where two foods or more
/// have a value (core/compare/mixed_model.h). One row for each curve that counts and has the
/// measure; replicate visits are rows of their own.
/// Factors. Food always. Period where every row has one and there are two or more; left out again, with a
/// note, where food and period cannot be told apart (each food kept to periods of its own), because no food
/// could be compared otherwise. Sequence where every subject has one, there are two or more, and fewer than
/// subjects. A note says why a factor is not in the formula.
/// Carry-over where the plan asks for it, every visit has a period, and the design can tell it apart; a value
/// whose food before is not known is then left out, with a warning.
/// p of the family that the plan names (differences with the comparator, or all pairs) is adjusted within one
/// analyte and one measure; other differences have no adjusted p. `plan` has its comparator filled in.
std::vector<ModelFinding> modelFindings(const Study& study, const Plan& plan,
                                        std::span<const CurveFinding> curves);

/// An error for a model that could not be fitted, warnings for what its design cannot tell apart, a note for
/// a subject variance of 0.
std::vector<Problem> problemsOf(std::span<const ModelFinding> models);

}  // namespace aftercurve
