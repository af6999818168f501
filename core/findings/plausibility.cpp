#include "core/findings/plausibility.h"

#include "core/base/number_text.h"
#include "core/study/units.h"

namespace aftercurve {

namespace {

constexpr double lowMmolPerL = 3.0;
constexpr double highFastingMmolPerL = 7.0;
constexpr double highMmolPerL = 11.1;

struct Reading {
    std::size_t sample = 0;
    bool found = false;
};

Problem flagged(const CurveFinding& curve, std::size_t sample, const std::string& unit,
                const std::string& limit) {
    Problem p;
    p.severity = Severity::warning;
    p.file = curve.file;
    p.row = curve.row;
    p.column = curve.analyte;
    p.subject = curve.subject;
    p.food = curve.food;
    p.visit = curve.visit;
    p.analyte = curve.analyte;
    p.timeMin = curve.timeMin[sample];
    p.what = "subject " + curve.subject + ", " + curve.food + ", visit " + std::to_string(curve.visit) +
             ", " + plainNumber(curve.timeMin[sample]) + " min: glucose " + plainNumber(curve.value[sample]) +
             " " + unit + ", " + limit;
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
        const auto firstBeyond = [&](auto beyond) {
            Reading reading;
            for (std::size_t i = 0; i < curve.value.size(); ++i) {
                if (beyond(curve.timeMin[i], curve.value[i] * factor.value()) && !reading.found) {
                    reading = {i, true};
                }
            }
            return reading;
        };
        const Reading low = firstBeyond([](double, double v) { return v < lowMmolPerL; });
        const Reading fasting =
            firstBeyond([](double t, double v) { return t <= 0.0 && v >= highFastingMmolPerL; });
        const Reading high = firstBeyond([](double t, double v) { return t > 0.0 && v >= highMmolPerL; });
        if (low.found) {
            problems.push_back(flagged(curve, low.sample, unit, "below 3.0 mmol/L (hypoglycaemic range)"));
        }
        if (fasting.found) {
            problems.push_back(flagged(curve, fasting.sample, unit, "fasting and at or above 7.0 mmol/L"));
        }
        if (high.found) {
            problems.push_back(
                flagged(curve, high.sample, unit, "at or above 11.1 mmol/L (hyperglycaemic range)"));
        }
    }
    return problems;
}

}  // namespace aftercurve
