#include "core/check/decimal_slip.h"

#include <algorithm>

#include "core/base/number_text.h"
#include "core/check/checks.h"
#include "core/check/found.h"

namespace aftercurve {

namespace {

constexpr std::string_view key = "decimal-slip";
constexpr double leastRatio = 6.0;
constexpr double slack = 1.6;
constexpr double closeMin = 30.0;
constexpr double shift = 10.0;

std::vector<Problem> run(const CheckInput& input) {
    Found found{input, key};
    for (const CheckCurve& curve : input.curves) {
        if (!CheckInput::looksAt(curve) || input.visitOf(curve).looksReversed) {
            continue;
        }
        const Analyte& analyte = input.analyteOf(curve);
        for (std::size_t i = 1; i + 1 < curve.samples.size(); ++i) {
            const int slip = decimalSlipAt(input, curve, i);
            if (slip == 0) {
                continue;
            }
            found.add(Severity::warning, [&] {
                const CheckSample& sample = curve.samples[i];
                Problem p = problemAt(input, curve, sample);
                p.what += ": " + typed(sample.value, analyte.unit) + " between " +
                          typed(curve.samples[i - 1].value, analyte.unit) + " (" +
                          plainNumber(curve.samples[i - 1].timeMin) + " min) and " +
                          typed(curve.samples[i + 1].value, analyte.unit) + " (" +
                          plainNumber(curve.samples[i + 1].timeMin) +
                          " min): the decimal point looks misplaced (" +
                          amount(slip > 0 ? sample.value / shift : sample.value * shift, analyte.unit) + "?)";
                p.remedy = "compare with the laboratory's file; correct the value or exclude the sample";
                return p;
            });
        }
    }
    return found.take();
}

}  // namespace

int decimalSlipAt(const CheckInput& input, const CheckCurve& curve, std::size_t sample) {
    if (sample == 0 || sample + 1 >= curve.samples.size()) {
        return 0;
    }
    const CheckSample& before = curve.samples[sample - 1];
    const CheckSample& here = curve.samples[sample];
    const CheckSample& after = curve.samples[sample + 1];
    const double low = std::min(before.value, after.value);
    const double high = std::max(before.value, after.value);
    if (low <= 0.0 || here.value <= 0.0) {
        return 0;
    }
    const auto fits = [&](double value) { return value > low / slack && value < high * slack; };
    const bool slow = input.analyteOf(curve).id == "glucose";
    const bool close = here.timeMin - before.timeMin <= closeMin && after.timeMin - here.timeMin <= closeMin;
    if (here.value > leastRatio * high && fits(here.value / shift) && (slow || close)) {
        return 1;
    }
    if (here.value < low / leastRatio && fits(here.value * shift)) {
        return -1;
    }
    return 0;
}

Check checks::decimalSlip() {
    return {key, "Decimal point misplaced",
            "more than 6-fold off both neighbours: common practice, no source", run};
}

}  // namespace aftercurve
