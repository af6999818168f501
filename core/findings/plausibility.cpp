#include "core/findings/plausibility.h"

#include "core/base/number_text.h"
#include "core/findings/curve_findings.h"
#include "core/study/units.h"

namespace aftercurve {

namespace {

constexpr const char* clinicianCheck = "clinician-range";
constexpr double lowMmolPerL = 3.0;
constexpr double highFastingMmolPerL = 7.0;
constexpr double highMmolPerL = 11.1;

Problem flagged(const CurveFinding& curve, std::size_t sample, const std::string& unit,
                const std::string& limit) {
    Problem p = problemAt(curve, Severity::warning);
    p.timeMin = curve.timeMin[sample];
    p.what += ", " + plainNumber(curve.timeMin[sample]) + " min: glucose " +
              plainNumber(curve.value[sample]) + " " + unit + ", " + limit;
    p.check = clinicianCheck;
    p.remedy = "check the unit and the assay; a true reading needs a clinician's look";
    return p;
}

}  // namespace

std::vector<Problem> readingsForAClinician(const Study& study, std::span<const CurveFinding> curves) {
    std::vector<Problem> problems;
    const auto analyte = findAnalyte(study, "glucose");
    if (!analyte) {
        return problems;
    }
    const std::string& unit = study.analytes[*analyte].unit;
    const auto factor = conversionFactor("glucose", unit, "mmol/L");
    if (!factor.ok()) {
        return problems;
    }
    for (const CurveFinding& curve : curves) {
        if (curve.analyte != "glucose") {
            continue;
        }
        const auto flagFirst = [&](auto beyond, const std::string& limit) {
            for (std::size_t i = 0; i < curve.value.size(); ++i) {
                if (beyond(curve.timeMin[i], curve.value[i] * factor.value())) {
                    problems.push_back(flagged(curve, i, unit, limit));
                    return;
                }
            }
        };
        flagFirst([](double, double v) { return v < lowMmolPerL; }, "below 3.0 mmol/L (hypoglycaemic range)");
        flagFirst([](double t, double v) { return t <= 0.0 && v >= highFastingMmolPerL; },
                  "fasting and at or above 7.0 mmol/L");
        flagFirst([](double t, double v) { return t > 0.0 && v >= highMmolPerL; },
                  "at or above 11.1 mmol/L (hyperglycaemic range)");
    }
    return problems;
}

}  // namespace aftercurve
