#pragma once

#include <string_view>

#include "core/index/insulin_measures.h"

namespace aftercurve::insulin_formula {

// Internal to insulinMeasureList(): the formulas, and where their values lie outside what they are meant for.
// Order of the operations is chosen so that nothing overflows on the way to a number that fits.

/// Numbers closer than this share of the larger one differ by rounding alone.
inline constexpr double resolution = 1e-11;

InsulinOutcome homaIr(const InsulinInputs& x, const InsulinVisit& visit);
InsulinOutcome inverseHoma(const InsulinInputs& x, const InsulinVisit& visit);
InsulinOutcome logHoma(const InsulinInputs& x, const InsulinVisit& visit);
InsulinOutcome homaB(const InsulinInputs& x, const InsulinVisit& visit);
InsulinOutcome quicki(const InsulinInputs& x, const InsulinVisit& visit);
InsulinOutcome fastingRatio(const InsulinInputs& x, const InsulinVisit& visit);
InsulinOutcome insulinogenic(const InsulinInputs& x, const InsulinVisit& visit);
InsulinOutcome cPeptideIncrement(const InsulinInputs& x, const InsulinVisit& visit);
InsulinOutcome wholeBody(const InsulinInputs& x, const InsulinVisit& visit);
InsulinOutcome insulinogenicTimesInverseHoma(const InsulinInputs& x, const InsulinVisit& visit);
InsulinOutcome insulinogenicTimesWholeBody(const InsulinInputs& x, const InsulinVisit& visit);
InsulinOutcome cPeptideInsulinFasting(const InsulinInputs& x, const InsulinVisit& visit);
InsulinOutcome cPeptideInsulinArea(const InsulinInputs& x, const InsulinVisit& visit);
InsulinOutcome insulinGlucoseArea(const InsulinInputs& x, const InsulinVisit& visit);
InsulinOutcome insulinGlucoseIncrement(const InsulinInputs& x, const InsulinVisit& visit);

std::string_view lowInsulin(const InsulinInputs& x);
std::string_view lowInsulinOrDiabetes(const InsulinInputs& x);
std::string_view nearPole(const InsulinInputs& x);
std::string_view smallRise(const InsulinInputs& x);

}  // namespace aftercurve::insulin_formula
