#pragma once

#include "core/findings/tolerance_findings.h"

namespace aftercurve {

/// The tests of toleranceFindings, from its scores; `findings` has its quantities, runs, comparator and
/// scores.
std::vector<ToleranceTest> toleranceTests(const Study& study, const Plan& plan,
                                          const ToleranceFindings& findings);
std::vector<ToleranceDoseTest> toleranceDoseTests(const Study& study, const Plan& plan,
                                                  const ToleranceFindings& findings);
std::vector<ToleranceIncidence> toleranceIncidence(const Study& study, const Plan& plan,
                                                   const ToleranceFindings& findings);

}  // namespace aftercurve
