// Fasting values that healthy volunteers do not have.
#include <algorithm>
#include <array>

#include "core/check/checks.h"
#include "core/check/found.h"
#include "core/compare/descriptive.h"

namespace aftercurve::checks {

namespace {

constexpr std::string_view key = "fasting-range";

struct HealthyRange {
    std::string_view analyte;
    double low;   ///< in the SI unit, allowed
    double high;  ///< in the SI unit, allowed
    std::string_view source;
};

/// Glucose from 7.0 and below 3.0 mmol/L belongs to the clinician's check, which says it already.
constexpr double clinicianLowMmolPerL = 3.0;
constexpr double clinicianHighMmolPerL = 7.0;

constexpr std::array<HealthyRange, 4> ranges{{
    {"glucose", 3.5, 6.0, "WHO/IDF 2006: impaired fasting glucose from 6.1 mmol/L, from memory"},
    {"insulin", 12.0, 174.0, "2 to 29 µIU/mL, from memory"},
    {"c-peptide", 0.2, 1.0, "laboratories' range, from memory"},
    {"triglycerides", 0.3, 1.7, "below 1.7 mmol/L is normal: NCEP ATP III 2001, from memory"},
}};

std::vector<Problem> run(const CheckInput& input) {
    Found found{input, key};
    for (const CheckCurve& curve : input.curves) {
        const Analyte& analyte = input.analyteOf(curve);
        const auto* range = std::find_if(ranges.begin(), ranges.end(),
                                         [&](const HealthyRange& r) { return r.analyte == analyte.id; });
        const auto si = siFactor(analyte);
        // One that looks like another unit or another column is reported as that.
        if (range == ranges.end() || !si || !CheckInput::looksAt(curve) || !curve.looksLikeUnit.empty() ||
            input.visitOf(curve).looksReversed) {
            continue;
        }
        const auto level = mean(fastingValues(curve));
        if (!level) {
            continue;
        }
        // Rounded to what an analyser shows, so that 6.0 typed in mg/dL (108.1) is 6.0.
        const double value = *level * *si;
        const bool low = value < range->low * (1.0 - 1e-3);
        const bool high = value > range->high * (1.0 + 1e-3);
        const bool clinician =
            analyte.id == "glucose" && (value < clinicianLowMmolPerL || value >= clinicianHighMmolPerL);
        if ((!low && !high) || clinician) {
            continue;
        }
        found.add(Severity::warning, [&] {
            Problem p = problemAt(input, curve, curve.samples.front());
            p.what += ": fasting mean " + amount(*level, analyte.unit) +
                      ", outside the range of healthy people (" + amount(range->low / *si, "") + " to " +
                      amount(range->high / *si, analyte.unit) + ")";
            p.remedy = "look at the unit, the assay and whether the subject fasted and is eligible";
            return p;
        });
    }
    return found.take();
}

}  // namespace

Check fastingRange() {
    return {key, "Fasting value outside the healthy range",
            "glucose: WHO/IDF 2006, lower end common practice; insulin, c-peptide, triglycerides: "
            "laboratories' ranges; all from memory",
            run};
}

}  // namespace aftercurve::checks
