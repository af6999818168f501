// Whether there are fasting values, and whether they agree.
#include <algorithm>
#include <array>

#include "core/base/number_text.h"
#include "core/check/checks.h"
#include "core/check/found.h"

namespace aftercurve::checks {

namespace {

constexpr std::string_view missingKey = "missing-baseline";
constexpr std::string_view spreadKey = "fasting-spread";

/// Two fasting glucose values minutes apart: a difference past this is drift (not fasting) or a wrong value.
/// Common practice, no source; of the 36 real curves in tests/reference/meals_by_clock_time, most of them not
/// after a night's fast, 1 passes it (4 pass 0.6).
constexpr double glucoseSpreadMmolPerL = 0.8;
/// Hormones are released in pulses; a doubling within the fast is more than a pulse. Common practice, no
/// source.
constexpr double otherRatio = 2.0;

std::vector<Problem> runMissing(const CheckInput& input) {
    Found found{input, missingKey};
    for (const CheckCurve& curve : input.curves) {
        if (!CheckInput::looksAt(curve) || curve.samples.empty()) {
            continue;
        }
        const double first = curve.samples.front().timeMin;
        const bool timeZero = input.plan.baseline == BaselineRule::timeZero;
        const bool there = timeZero ? std::any_of(curve.samples.begin(), curve.samples.end(),
                                                  [](const CheckSample& s) { return s.timeMin == 0.0; })
                                    : first <= 0.0;
        const bool belowLimit =
            std::any_of(curve.belowLimit.begin(), curve.belowLimit.end(),
                        [&input](std::uint32_t draw) { return input.study.draws[draw].timeMin <= 0.0; });
        if (there || belowLimit) {
            continue;
        }
        found.add(Severity::warning, [&] {
            Problem p = problemAt(input, curve, curve.samples.front());
            p.what += std::string{": no value "} + (timeZero ? "at" : "at or before") +
                      " 0 min, so there is no baseline; the first one stands at " + plainNumber(first) +
                      " min";
            p.remedy = "look for the fasting draw, or for a time that lacks its minus sign";
            return p;
        });
    }
    return found.take();
}

std::vector<Problem> runSpread(const CheckInput& input) {
    Found found{input, spreadKey};
    for (const CheckCurve& curve : input.curves) {
        if (!CheckInput::looksAt(curve)) {
            continue;
        }
        const auto end = std::find_if(curve.samples.begin(), curve.samples.end(),
                                      [](const CheckSample& s) { return s.timeMin > 0.0; });
        if (end - curve.samples.begin() < 2) {
            continue;
        }
        const auto [low, high] =
            std::minmax_element(curve.samples.begin(), end,
                                [](const CheckSample& a, const CheckSample& b) { return a.value < b.value; });
        const Analyte& analyte = input.analyteOf(curve);
        const auto si = siFactor(analyte);
        std::string limit;
        if (analyte.id == "glucose" && si) {
            // The slack keeps 5.3 − 4.5 and 5.4 − 4.6, which differ in the last digit, on one side.
            if ((high->value - low->value) * *si <= glucoseSpreadMmolPerL + 1e-9) {
                continue;
            }
            limit = "more than " + amount(glucoseSpreadMmolPerL / *si, analyte.unit) + " apart";
        } else {
            if (high->value <= otherRatio * low->value) {
                continue;
            }
            limit = "more than " + plainNumber(otherRatio) + "-fold apart";
        }
        found.add(Severity::warning, [&, low = low, high = high] {
            const auto& later = low->timeMin > high->timeMin ? *low : *high;
            Problem p = problemAt(input, curve, later);
            p.what += ": fasting values of " + typed(low->value, analyte.unit) + " (" +
                      plainNumber(low->timeMin) + " min) and " + typed(high->value, analyte.unit) + " (" +
                      plainNumber(high->timeMin) + " min) are " + limit;
            p.remedy = "look for a wrong value, and whether the subject fasted; exclude the wrong sample";
            return p;
        });
    }
    return found.take();
}

}  // namespace

Check missingBaseline() {
    return {missingKey, "Missing baseline",
            "the definition of the baseline (FAO 1998, ch. 4; ISO 26642:2010)", runMissing};
}

Check fastingSpread() {
    return {spreadKey, "Fasting values that disagree",
            "0.8 mmol/L for glucose, 2-fold for others: common practice, no source", runSpread};
}

}  // namespace aftercurve::checks
