#pragma once

#include <span>
#include <string>
#include <vector>

#include "core/base/problem.h"
#include "core/compare/crossover.h"
#include "core/study/study.h"

namespace aftercurve {

struct CurveFinding;

/// A study of two foods in two periods, one measure of one analyte. `result` is food − comparator: food is A
/// where it is eaten first in sequence AB.
struct CrossoverFinding {
    std::string analyte;
    std::string measure;
    std::string unit;  ///< of the measure
    std::string food;
    std::string comparator;
    Crossover result;
};

/// One for each analyte and compared measure of a two-period crossover: exactly two foods, and periods 1 and
/// 2 the only ones given. Empty for any other design. Replicate visits of a subject and food are averaged
/// only where they lie in one period. A subject lacking a period is left out of these tests with the reason;
/// the mixed model keeps what it has (ModelFinding).
std::vector<CrossoverFinding> crossoverFindings(const Study& study, const Plan& plan,
                                                std::span<const CurveFinding> curves);

/// A warning for each subject left out, with the number that the mixed model still reads.
std::vector<Problem> problemsOf(std::span<const CrossoverFinding> findings);

}  // namespace aftercurve
