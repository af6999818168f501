#include "core/findings/curve_findings.h"

#include <algorithm>
#include <cmath>

#include "core/base/number_text.h"
#include "core/curve/measures.h"

namespace aftercurve {

namespace {

std::string listed(std::span<const double> times) {
    std::string text;
    for (std::size_t i = 0; i < times.size(); ++i) {
        text += (i == 0 ? "" : i + 1 == times.size() ? " and " : ", ") + plainNumber(times[i]);
    }
    return text + " min";
}

/// Planned times without a value: empty cells, and scheduled times without a row.
std::vector<double> timesWithoutValue(const CurveSeries& curve, std::span<const double> schedule) {
    std::vector<double> missing = curve.missingTimeMin;
    for (const double t : schedule) {
        if (std::find(curve.scheduledMin.begin(), curve.scheduledMin.end(), t) == curve.scheduledMin.end()) {
            missing.push_back(t);
        }
    }
    std::sort(missing.begin(), missing.end());
    missing.erase(std::unique(missing.begin(), missing.end()), missing.end());
    return missing;
}

void computeMeasures(CurveFinding& finding) {
    const auto list = measureList();
    finding.measures.assign(list.size(), std::nullopt);
    if (!finding.notEstimable.empty()) {
        return;
    }
    for (std::size_t m = 0; m < list.size(); ++m) {
        const std::optional<double> value = list[m].compute(finding.window);
        if (value && !std::isfinite(*value)) {
            finding.notes.push_back(std::string{list[m].label} + " is too large to be represented");
        } else {
            finding.measures[m] = value;
        }
    }
}

}  // namespace

std::vector<double> commonSchedule(std::span<const CurveSeries> curves) {
    std::vector<double> times;
    for (const CurveSeries& curve : curves) {
        times.insert(times.end(), curve.scheduledMin.begin(), curve.scheduledMin.end());
        times.insert(times.end(), curve.missingTimeMin.begin(), curve.missingTimeMin.end());
    }
    std::sort(times.begin(), times.end());
    std::vector<double> schedule;
    for (auto it = times.begin(); it != times.end();) {
        const auto next = std::upper_bound(it, times.end(), *it);
        if (2 * static_cast<std::size_t>(next - it) > curves.size()) {
            schedule.push_back(*it);
        }
        it = next;
    }
    return schedule;
}

CurveFinding curveFinding(const Study& study, const Plan& plan, const CurveSeries& curve,
                          std::span<const double> schedule) {
    CurveFinding finding;
    finding.subject = study.subjects[curve.subject].id;
    finding.food = study.foods[curve.food].id;
    finding.visit = curve.visit;
    finding.period = curve.period;
    finding.analyte = study.analytes[curve.analyte].id;
    finding.timeMin = curve.timeMin;
    finding.value = curve.value;
    finding.scheduledMin = curve.scheduledMin;
    finding.notes = curve.notes;
    finding.excluded = curve.excluded;
    finding.excludedBecause = curve.excludedBecause;
    finding.file = curve.file < study.sampleFiles.size() ? study.sampleFiles[curve.file] : "";
    finding.row = curve.row;

    if (!curve.periodConflict.empty()) {
        finding.notes.push_back(curve.periodConflict +
                                "; one visit has one period, so look for a mistyped visit");
    }
    if (!curve.flaw.empty()) {
        finding.notEstimable = curve.flaw;
    } else {
        finding.window = windowPoints(curve.timeMin, curve.value, plan);
        finding.window.limit = limitOf(plan.curvePlan, finding.analyte);
        finding.notEstimable = finding.window.notEstimable;
    }
    if (finding.notEstimable.empty()) {
        finding.baseline = finding.window.baseline;
        const std::vector<double> missing = timesWithoutValue(curve, schedule);
        std::vector<double> fasting;
        std::vector<double> interior;
        for (const double t : missing) {
            if (t <= 0.0) {
                fasting.push_back(t);
            } else if (t < plan.windowEndMin) {
                interior.push_back(t);
            }
        }
        if (!fasting.empty() && plan.baseline == BaselineRule::fastingMean) {
            finding.notes.push_back("baseline without the fasting value at " + listed(fasting));
        }
        if (!interior.empty() && plan.missingInterior == MissingInteriorRule::exclude) {
            finding.notEstimable =
                "no value at " + listed(interior) + ", and the plan leaves such curves out";
            finding.window = {};
        } else if (!interior.empty()) {
            finding.notes.push_back("no value at " + listed(interior) + "; the trapezoid spans the gap");
        }
        if (finding.notEstimable.empty() && finding.window.endInterpolated) {
            finding.notes.push_back("value at the window's end, " + plainNumber(plan.windowEndMin) +
                                    " min, interpolated between its neighbours");
        }
    }
    computeMeasures(finding);
    return finding;
}

Problem problemAt(const CurveFinding& finding, Severity severity) {
    Problem p;
    p.severity = severity;
    p.file = finding.file;
    p.row = finding.row;
    p.column = finding.analyte;
    p.subject = finding.subject;
    p.food = finding.food;
    p.visit = finding.visit;
    p.analyte = finding.analyte;
    p.what = "subject " + finding.subject + ", " + finding.food + ", visit " + std::to_string(finding.visit);
    return p;
}

std::vector<Problem> problemsOf(const CurveFinding& finding) {
    std::vector<Problem> problems;
    const auto add = [&](Severity severity, const std::string& what, const std::string& remedy) {
        Problem p = problemAt(finding, severity);
        p.what += ", " + finding.analyte + ": " + what;
        p.remedy = remedy;
        problems.push_back(std::move(p));
    };
    if (!finding.notEstimable.empty()) {
        const std::string what = "not estimable, " + finding.notEstimable;
        if (finding.excluded) {
            add(Severity::note, what + "; excluded: " + finding.excludedBecause, "");
        } else {
            add(Severity::error, what,
                "correct the data, choose another window or baseline, or exclude the visit with a reason");
        }
    } else if (finding.excluded) {
        add(Severity::note, "excluded: " + finding.excludedBecause, "");
    }
    for (const std::string& note : finding.notes) {
        add(Severity::note, note, "");
    }
    return problems;
}

}  // namespace aftercurve
