#pragma once

#include <span>
#include <vector>

#include "core/base/problem.h"
#include "core/findings/findings.h"

namespace aftercurve {

/// The index of every other food against the reference food, for each analyte, from the plan's measure. A
/// class is given for glucose and the positive incremental area alone, by the plan's standard. Empty where
/// the plan asks for no index or there is no reference food.
std::vector<IndexFinding> indexFindings(const Study& study, const Plan& plan,
                                        std::span<const CurveFinding> curves);

/// Notes and warnings on one index: subjects without a value, outliers flagged or left out, fewer
/// subjects than the standard asks for, no subject with two reference visits, reference CV above 30 %
/// (Wolever 2003). The other requirements of the standard: conformity_findings.h.
std::vector<Problem> problemsOf(const IndexFinding& finding, IndexOutlierRule rule, IndexStandard standard);

}  // namespace aftercurve
