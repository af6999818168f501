#include "core/index/insulin_formulas.h"

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>

namespace aftercurve::insulin_formula {

namespace {

constexpr double pmolPerNmol = 1000.0;
constexpr double homaDivisor = 22.5;

// Where a remark is made (common practice, no source).
constexpr double leastInsulin = 1.0;          // µIU/mL
constexpr double glucoseOfDiabetes = 7.0;     // mmol/L, WHO 2006 (from memory)
constexpr double leastGlucoseForHomaB = 4.0;  // mmol/L
constexpr double leastGlucoseRise = 0.5;      // mmol/L

using In = InsulinInput;

double at(const InsulinInputs& inputs, In input) {
    return *inputs[static_cast<std::size_t>(input)];
}

InsulinOutcome valueOf(double value) {
    if (!std::isfinite(value)) {
        return {std::nullopt, "the value is too large to be represented"};
    }
    return {value, {}};
}

InsulinOutcome none(std::string reason) {
    return {std::nullopt, std::move(reason)};
}

double homa(const InsulinInputs& x) {
    return at(x, In::glucoseFasting) / homaDivisor * at(x, In::insulinFasting);
}

constexpr const char* productIsZero = "fasting glucose × fasting insulin is 0";

/// (value at 30 min − fasting) / rise of glucose, `perGlucose` its factor.
InsulinOutcome earlyQuotient(const InsulinInputs& x, In fasting, In later, double glucoseFactor) {
    const double start = at(x, In::glucoseFasting);
    const double end = at(x, In::glucose30);
    const double rise = end - start;
    if (rise <= resolution * std::max(start, end)) {
        return none("glucose does not rise from fasting to 30 min");
    }
    return valueOf((at(x, later) - at(x, fasting)) / rise / glucoseFactor);
}

InsulinOutcome times(const InsulinOutcome& a, const InsulinOutcome& b) {
    if (!a.value) {
        return a;
    }
    return b.value ? valueOf(*a.value * *b.value) : b;
}

}  // namespace

InsulinOutcome homaIr(const InsulinInputs& x, const InsulinVisit& /*visit*/) {
    return valueOf(homa(x));
}

InsulinOutcome inverseHoma(const InsulinInputs& x, const InsulinVisit& /*visit*/) {
    const double product = homa(x);
    return product > 0.0 ? valueOf(1.0 / product) : none(productIsZero);
}

InsulinOutcome logHoma(const InsulinInputs& x, const InsulinVisit& /*visit*/) {
    const double product = homa(x);
    return product > 0.0 ? valueOf(std::log(product)) : none(productIsZero);
}

InsulinOutcome homaB(const InsulinInputs& x, const InsulinVisit& /*visit*/) {
    const double glucose = at(x, In::glucoseFasting);
    const double above = glucose - 3.5;
    if (above <= resolution * glucose) {
        return none("fasting glucose is not above 3.5 mmol/L");
    }
    return valueOf(20.0 * (at(x, In::insulinFasting) / above));
}

InsulinOutcome quicki(const InsulinInputs& x, const InsulinVisit& visit) {
    const double insulin = at(x, In::insulinFasting);
    const double glucose = at(x, In::glucoseFasting) * visit.mgPerMmol;
    if (insulin <= 0.0 || glucose <= 0.0) {
        return none("fasting glucose or insulin is 0 and has no logarithm");
    }
    const double sum = std::log10(insulin) + std::log10(glucose);
    if (!std::isfinite(sum)) {
        return none("fasting glucose is too large to be represented");
    }
    if (sum <= resolution) {
        return none("log10 of fasting insulin (µIU/mL) + log10 of fasting glucose (mg/dL) is not above 0");
    }
    return valueOf(1.0 / sum);
}

InsulinOutcome fastingRatio(const InsulinInputs& x, const InsulinVisit& visit) {
    const double insulin = at(x, In::insulinFasting);
    return insulin > 0.0 ? valueOf(at(x, In::glucoseFasting) / insulin * visit.mgPerMmol)
                         : none("fasting insulin is 0");
}

InsulinOutcome insulinogenic(const InsulinInputs& x, const InsulinVisit& visit) {
    return earlyQuotient(x, In::insulinFasting, In::insulin30, visit.mgPerMmol);
}

InsulinOutcome cPeptideIncrement(const InsulinInputs& x, const InsulinVisit& /*visit*/) {
    return earlyQuotient(x, In::cPeptideFasting, In::cPeptide30, 1.0);
}

InsulinOutcome wholeBody(const InsulinInputs& x, const InsulinVisit& visit) {
    const double below =
        std::sqrt(at(x, In::glucoseFasting) * visit.mgPerMmol) * std::sqrt(at(x, In::insulinFasting)) *
        std::sqrt(at(x, In::glucoseMean) * visit.mgPerMmol) * std::sqrt(at(x, In::insulinMean));
    if (below <= 0.0) {
        return none("fasting or mean glucose or insulin is 0");
    }
    return std::isfinite(below) ? valueOf(10000.0 / below)
                                : none("the product is too large to be represented");
}

InsulinOutcome insulinogenicTimesInverseHoma(const InsulinInputs& x, const InsulinVisit& visit) {
    return times(insulinogenic(x, visit), inverseHoma(x, visit));
}

InsulinOutcome insulinogenicTimesWholeBody(const InsulinInputs& x, const InsulinVisit& visit) {
    return times(insulinogenic(x, visit), wholeBody(x, visit));
}

InsulinOutcome cPeptideInsulinFasting(const InsulinInputs& x, const InsulinVisit& visit) {
    const double insulin = at(x, In::insulinFasting);
    return insulin > 0.0 ? valueOf(at(x, In::cPeptideFasting) / insulin / visit.pmolPerUiu * pmolPerNmol)
                         : none("fasting insulin is 0");
}

InsulinOutcome cPeptideInsulinArea(const InsulinInputs& x, const InsulinVisit& /*visit*/) {
    const double insulin = at(x, In::insulinArea);
    return insulin > 0.0 ? valueOf(at(x, In::cPeptideArea) / insulin * pmolPerNmol)
                         : none("the area of insulin is 0");
}

InsulinOutcome insulinGlucoseArea(const InsulinInputs& x, const InsulinVisit& /*visit*/) {
    const double glucose = at(x, In::glucoseArea);
    return glucose > 0.0 ? valueOf(at(x, In::insulinArea) / glucose) : none("the area of glucose is 0");
}

InsulinOutcome insulinGlucoseIncrement(const InsulinInputs& x, const InsulinVisit& /*visit*/) {
    const double glucose = at(x, In::glucoseIncrement);
    return glucose > 0.0 ? valueOf(at(x, In::insulinIncrement) / glucose)
                         : none("the incremental area of glucose is 0");
}

std::string_view lowInsulin(const InsulinInputs& x) {
    return at(x, In::insulinFasting) < leastInsulin
               ? "fasting insulin is below 1 µIU/mL, about what assays can tell from 0"
               : "";
}

std::string_view lowInsulinOrDiabetes(const InsulinInputs& x) {
    if (at(x, In::glucoseFasting) >= glucoseOfDiabetes) {
        return "fasting glucose is 7.0 mmol/L or more, where insulin no longer mirrors resistance alone";
    }
    return lowInsulin(x);
}

std::string_view nearPole(const InsulinInputs& x) {
    return at(x, In::glucoseFasting) < leastGlucoseForHomaB
               ? "fasting glucose is below 4.0 mmol/L, so that a small error of it moves the value much"
               : lowInsulin(x);
}

std::string_view smallRise(const InsulinInputs& x) {
    return at(x, In::glucose30) - at(x, In::glucoseFasting) < leastGlucoseRise
               ? "glucose rises by less than 0.5 mmol/L to 30 min, so that the quotient is unstable"
               : "";
}

}  // namespace aftercurve::insulin_formula
