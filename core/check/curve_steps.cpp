// Steps from sample to sample that blood does not take, and steps that are missing.
#include <cmath>

#include "core/base/number_text.h"
#include "core/check/checks.h"
#include "core/check/decimal_slip.h"
#include "core/check/found.h"

namespace aftercurve::checks {

namespace {

constexpr std::string_view jumpKey = "implausible-jump";
constexpr std::string_view frozenKey = "frozen-values";

/// 5 mg/dL a minute. Healthy people wear sensors that show more than 2 mg/dL a minute over 15 min in about
/// 1 % of the time (2025, doi 10.1177/15209156251390822, abstract read); 2.5 times that is common practice.
constexpr double rateMmolPerLMin = 0.28;
/// A step smaller than this is noise of two determinations, however short the time; common practice.
constexpr double leastStepMmolPerL = 1.0;
constexpr std::size_t frozenRun = 4;  ///< common practice, no source

std::vector<Problem> runJump(const CheckInput& input) {
    Found found{input, jumpKey};
    for (const CheckCurve& curve : input.curves) {
        const Analyte& analyte = input.analyteOf(curve);
        const auto si = siFactor(analyte);
        if (analyte.id != "glucose" || !si || !CheckInput::looksAt(curve) || !curve.looksLikeUnit.empty() ||
            input.visitOf(curve).looksReversed) {
            continue;
        }
        for (std::size_t i = 1; i < curve.samples.size(); ++i) {
            const CheckSample& a = curve.samples[i - 1];
            const CheckSample& b = curve.samples[i];
            // Two fasting values are the fasting checks' matter, a slip that of its own check.
            if (b.timeMin <= 0.0 || decimalSlipAt(input, curve, i - 1) != 0 ||
                decimalSlipAt(input, curve, i) != 0) {
                continue;
            }
            const double step = std::abs(b.value - a.value) * *si;
            const double minutes = b.timeMin - a.timeMin;
            if (step <= leastStepMmolPerL || step <= rateMmolPerLMin * minutes * (1.0 + 1e-9)) {
                continue;
            }
            found.add(Severity::warning, [&] {
                Problem p = problemAt(input, curve, b);
                p.what += ": from " + typed(a.value, analyte.unit) + " (" + plainNumber(a.timeMin) +
                          " min) to " + typed(b.value, analyte.unit) + ", " +
                          amount(std::abs(b.value - a.value) / minutes, analyte.unit) +
                          " a minute; more than " + amount(rateMmolPerLMin / *si, analyte.unit) +
                          " a minute is not expected in healthy people";
                p.remedy = "look for a wrong value, a wrong time or a swapped sample";
                return p;
            });
        }
    }
    return found.take();
}

std::vector<Problem> runFrozen(const CheckInput& input) {
    Found found{input, frozenKey};
    for (const CheckCurve& curve : input.curves) {
        if (!CheckInput::looksAt(curve)) {
            continue;
        }
        const auto& samples = curve.samples;
        for (std::size_t first = 0; first < samples.size();) {
            std::size_t last = first + 1;
            while (last < samples.size() && samples[last].value == samples[first].value) {
                ++last;
            }
            if (last - first >= frozenRun) {
                found.add(Severity::warning, [&] {
                    Problem p = problemAt(input, curve, samples[first]);
                    p.what += ": " + std::to_string(last - first) + " values in a row are " +
                              typed(samples[first].value, input.analyteOf(curve).unit) + ", up to " +
                              plainNumber(samples[last - 1].timeMin) + " min";
                    p.remedy =
                        "look for a value that was filled down, or a limit of quantification typed as a "
                        "value";
                    return p;
                });
            }
            first = last;
        }
    }
    return found.take();
}

}  // namespace

Check implausibleJump() {
    return {
        jumpKey, "Implausible jump of glucose",
        "0.28 mmol/L a minute (5 mg/dL), 2.5 times the normative rate of healthy sensor wearers (2025, doi "
        "10.1177/15209156251390822, abstract read); the 2.5 is common practice, no source",
        runJump};
}

Check frozenValues() {
    return {frozenKey, "Values that do not move", "4 equal values in a row: common practice, no source",
            runFrozen};
}

}  // namespace aftercurve::checks
