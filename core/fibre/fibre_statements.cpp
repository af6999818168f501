#include "core/fibre/fibre_statements.h"

#include <cmath>

#include "core/base/number_text.h"
#include "core/portion/energy.h"

namespace aftercurve {

namespace {

constexpr double guard = 1e-9;

std::string inThat(double grams, FibreBasis basis) {
    return plainNumber(std::round(grams * 1000.0) / 1000.0) + " g in " +
           (basis == FibreBasis::serving ? "a serving" : std::string{wordFor(basis)});
}

void addTo(std::string& list, const std::string& text, const char* between) {
    if (list.find(text) == std::string::npos) {
        list += (list.empty() ? "" : between) + text;
    }
}

}  // namespace

PortionValue fibreOn(FibreBasis basis, const FibreContents& contents) {
    if (!contents.fibrePer100g) {
        return absentPortionValue("the fibre is not known");
    }
    const double fibre = *contents.fibrePer100g;
    switch (basis) {
        case FibreBasis::hundredG:
            return finitePortionValue(fibre);
        case FibreBasis::hundredKcal:
            if (!contents.energyKjPer100g) {
                return absentPortionValue("the energy is not known");
            }
            if (!(*contents.energyKjPer100g > 0.0)) {
                return absentPortionValue("there is no energy");
            }
            return finitePortionValue(fibre * 100.0 / kcalOf(*contents.energyKjPer100g));
        case FibreBasis::serving:
            if (!contents.servingG) {
                return absentPortionValue("the serving is not given");
            }
            return finitePortionValue(fibre * *contents.servingG / 100.0);
    }
    return absentPortionValue("the basis is not known");
}

std::string_view wordFor(StatementAnswer answer) {
    switch (answer) {
        case StatementAnswer::met:
            return "met by the numbers";
        case StatementAnswer::notMet:
            return "not met by the numbers";
        case StatementAnswer::notKnown:
            return "not known";
    }
    return {};
}

StatementFinding holdAgainst(const FibreStatementRule& statement, const FibreContents& contents) {
    StatementFinding finding;
    bool met = false;
    for (const FibreThreshold& threshold : statement.anyOf) {
        addTo(finding.needed, inThat(threshold.atLeastG, threshold.per), ", or ");
        const PortionValue amount = fibreOn(threshold.per, contents);
        if (!amount.value) {
            addTo(finding.because, amount.absentBecause, "; ");
            continue;
        }
        addTo(finding.found, inThat(*amount.value, threshold.per), ", ");
        met = met || *amount.value >= threshold.atLeastG * (1.0 - guard);
    }
    finding.needed.insert(0, "at least ");
    if (met) {
        finding.answer = StatementAnswer::met;
        finding.because.clear();
    } else if (finding.because.empty()) {
        finding.answer = StatementAnswer::notMet;
    }
    return finding;
}

}  // namespace aftercurve
