#pragma once

#include "core/check/check.h"

namespace aftercurve::checks {

/// One declaration each; listed in check_list.cpp. What each looks at and where its limit comes from stands
/// in its Check and in docs/methods.md, Checks.
Check missingBaseline();
Check fastingSpread();
Check fastingRange();
Check timeTolerance();
Check nominalMissing();
Check duplicateCv();
Check implausibleJump();
Check decimalSlip();
Check frozenValues();
Check unitMixUp();
Check columnsReversed();
Check visitOrder();
Check periodDates();
Check washout();
Check referenceRepeats();
Check visitWithoutSamples();
Check foodMissing();
Check oddSubject();
Check copiedValues();
Check copiedCurve();
Check belowLimit();
Check laboratoryRemarks();

}  // namespace aftercurve::checks
