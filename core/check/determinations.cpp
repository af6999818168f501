// Determinations of one draw that do not agree.
#include <span>

#include "core/base/number_text.h"
#include "core/check/checks.h"
#include "core/check/found.h"
#include "core/compare/descriptive.h"
#include "core/study/sample_values.h"

namespace aftercurve::checks {

namespace {

constexpr std::string_view key = "duplicate-cv";

std::vector<Problem> run(const CheckInput& input) {
    Found found{input, key};
    if (input.study.replicate.empty()) {
        return {};
    }
    std::vector<double> values;
    for (const CheckCurve& curve : input.curves) {
        if (!CheckInput::looksAt(curve)) {
            continue;
        }
        const Analyte& analyte = input.analyteOf(curve);
        const std::vector<std::uint32_t>& draws = input.visitOf(curve).draws;
        for (const CheckSample& sample : curve.samples) {
            values.clear();
            std::string list;
            for (const std::uint32_t draw : draws) {
                const auto value = input.study.concentrations[curve.analyte][draw];
                if (value && timeOfDraw(input.study, input.plan, draw) == sample.timeMin) {
                    values.push_back(*value);
                    list += (list.empty() ? "" : ", ") + plainNumber(*value);
                }
            }
            const auto sd = sampleSd(values);
            const auto m = mean(values);
            // Values are not negative, so that a mean of 0 has an SD of 0: they agree.
            if (!sd || !m || *m <= 0.0) {
                continue;
            }
            const double cv = 100.0 * *sd / *m;
            if (cv <= input.plan.duplicateCvLimitPercent * (1.0 + 1e-12)) {
                continue;
            }
            found.add(Severity::warning, [&] {
                Problem p = problemAt(input, curve, sample);
                p.what += ": determinations of one draw " + list + " " + analyte.unit + ", CV " +
                          fixedNumber(cv, 1) + " %, above the plan's " +
                          plainNumber(input.plan.duplicateCvLimitPercent) + " %";
                p.remedy =
                    "have the sample determined again, or empty the cell that is wrong; their mean counts";
                return p;
            });
        }
    }
    return found.take();
}

}  // namespace

Check duplicateCv() {
    return {key, "Determinations that disagree",
            "the plan's duplicate_cv_limit_percent; 15 %: ICH M10 (2022) on precision, from memory", run};
}

}  // namespace aftercurve::checks
