#pragma once

#include <string>

#include "core/findings/findings.h"
#include "core/study/study.h"

namespace aftercurve {

/// p as journals print it: "p = 0.003", "p < 0.001", "p > 0.999".
std::string pText(double p);

/// What one comparison found, in one or two sentences: direction, mean difference with interval and unit,
/// test, n, p, and the adjusted p where it differs. A p above alpha never becomes 'no difference'. Where
/// there is no test it says why.
std::string comparisonSentence(const Study& study, const Plan& plan, const ComparisonFinding& comparison);

/// One food against the plan's margins: estimate with the interval that is set against them, margins, p and
/// verdict. The verdict never says that there is no difference.
std::string marginSentence(const Study& study, const Plan& plan, const MarginFinding& finding);
std::string marginSentence(const Study& study, const Plan& plan, const NonInferiorityFinding& finding);

/// Index of one food with SEM, interval, n and class.
std::string indexSentence(const Study& study, const Plan& plan, const IndexFinding& finding);

/// The sentences of methodsSentences (core/findings/sentence.h) in a row.
std::string methodsParagraph(const Study& study, const Findings& findings);

}  // namespace aftercurve
