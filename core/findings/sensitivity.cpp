#include "core/findings/sensitivity.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <span>

#include "core/compare/hodges_lehmann.h"
#include "core/compare/paired_t.h"
#include "core/compare/signed_rank.h"
#include "core/curve/measures.h"
#include "core/findings/curve_findings.h"
#include "core/findings/subject_values.h"
#include "core/study/curve_series.h"
#include "core/study/laboratory_exclusion.h"

namespace aftercurve {

namespace {

/// One state of the choices that change the curves themselves.
struct Setting {
    Plan plan;
    bool exclusionsApplied = true;
};

std::vector<double> windowsOf(const Plan& plan) {
    std::vector<double> windows{plan.windowEndMin};
    for (const double window : plan.inference.sensitivityWindowsMin) {
        if (std::find(windows.begin(), windows.end(), window) == windows.end()) {
            windows.push_back(window);
        }
    }
    return windows;
}

/// The plan's measure first, then the areas that it is not.
std::vector<std::size_t> measuresOf(const Plan& plan) {
    std::vector<std::size_t> measures{*measureIndex(plan.measure)};
    const auto list = measureList();
    for (std::size_t m = 0; m < list.size(); ++m) {
        if (list[m].key.starts_with("area_") && m != measures.front()) {
            measures.push_back(m);
        }
    }
    return measures;
}

std::vector<Setting> settingsOf(const Study& study, const Plan& plan) {
    std::vector<Setting> settings;
    for (const double window : windowsOf(plan)) {
        for (const BaselineRule baseline : {BaselineRule::fastingMean, BaselineRule::timeZero}) {
            Setting setting{plan, true};
            setting.plan.windowEndMin = window;
            setting.plan.baseline = baseline;
            settings.push_back(setting);
            if (anyOfSubjects(study.exclusions)) {
                setting.exclusionsApplied = false;
                settings.push_back(std::move(setting));
            }
        }
    }
    return settings;
}

/// A study and its curves, which neither window nor baseline changes.
struct Source {
    const Study& study;
    std::vector<CurveSeries> series;
};

std::vector<CurveFinding> curvesOf(const Source& source, const Plan& plan) {
    std::vector<CurveFinding> curves;
    curves.reserve(source.series.size());
    for (const CurveSeries& one : source.series) {
        curves.push_back(curveFinding(source.study, plan, one, {}));
    }
    return curves;
}

/// Values of food and comparator by subject, as the comparison reads them.
Differences differencesOf(std::span<const SubjectValue> food, std::span<const SubjectValue> comparator) {
    std::vector<double> a;
    std::vector<double> b;
    for (std::size_t s = 0; s < food.size(); ++s) {
        if (food[s].mean && comparator[s].mean) {
            a.push_back(*food[s].mean);
            b.push_back(*comparator[s].mean);
        }
    }
    return pairedDifferences(a, b);
}

std::optional<double> inUnitsOf(const std::optional<double>& sd, const std::optional<double>& value) {
    if (!sd || !value || !(*sd > 0.0)) {
        return std::nullopt;
    }
    const double ratio = *value / *sd;
    return std::isfinite(ratio) ? std::optional{ratio} : std::nullopt;
}

SensitivityRow rowOf(const Plan& planned, const Setting& setting, std::size_t measure,
                     const Differences& differences) {
    SensitivityRow row;
    row.measure = measureList()[measure].key;
    row.baseline = setting.plan.baseline;
    row.windowEndMin = setting.plan.windowEndMin;
    row.exclusionsApplied = setting.exclusionsApplied;
    row.changes = static_cast<std::size_t>(row.measure != planned.measure) +
                  static_cast<std::size_t>(row.baseline != planned.baseline) +
                  static_cast<std::size_t>(row.windowEndMin != planned.windowEndMin) +
                  static_cast<std::size_t>(!row.exclusionsApplied);
    const PairedT t = pairedT(differences, planned.alpha);
    row.n = t.n;
    row.meanDifference = t.meanDifference;
    row.ciLow = t.ciLow;
    row.ciHigh = t.ciHigh;
    row.p = t.p;
    row.absentBecause = t.absentBecause;
    row.signedRankP = signedRank(differences).p;
    row.hodgesLehmann = hodgesLehmann(differences, planned.alpha).estimate;
    row.standardised = inUnitsOf(t.sdDifference, t.meanDifference);
    row.standardisedLow = inUnitsOf(t.sdDifference, t.ciLow);
    row.standardisedHigh = inUnitsOf(t.sdDifference, t.ciHigh);
    return row;
}

bool sameSign(double a, double b) {
    return (a > 0.0) == (b > 0.0) && (a < 0.0) == (b < 0.0);
}

SensitivityCount countOf(std::span<const SensitivityRow> rows, double alpha) {
    SensitivityCount count;
    count.ways = rows.size();
    const SensitivityRow& planned = rows.front();
    for (const SensitivityRow& row : rows) {
        count.tested += row.p ? 1U : 0U;
        count.rankTested += row.signedRankP ? 1U : 0U;
        if (!planned.p) {
            continue;
        }
        const bool below = *planned.p < alpha;
        if (row.p) {
            count.sameDirection += sameSign(*row.meanDifference, *planned.meanDifference) ? 1U : 0U;
            count.sameSideOfAlpha += (*row.p < alpha) == below ? 1U : 0U;
        }
        if (row.signedRankP) {
            count.rankSameSideOfAlpha += (*row.signedRankP < alpha) == below ? 1U : 0U;
        }
    }
    return count;
}

/// Adds the rows of one setting to the findings, which stand by analyte and food.
void addRows(const Source& source, const Plan& plan, const Setting& setting,
             std::span<const std::size_t> measures, std::vector<SensitivityFinding>& findings) {
    const Study& read = source.study;
    const std::vector<CurveFinding> curves = curvesOf(source, setting.plan);
    std::string analyte;
    std::vector<std::vector<SubjectValue>> ofComparator(measures.size());
    for (SensitivityFinding& finding : findings) {
        for (std::size_t m = 0; m < measures.size(); ++m) {
            if (finding.analyte != analyte) {
                ofComparator[m] = subjectValues(read, curves, finding.analyte, plan.comparator, measures[m]);
            }
            const auto ofFood = subjectValues(read, curves, finding.analyte, finding.food, measures[m]);
            SensitivityRow row = rowOf(plan, setting, measures[m], differencesOf(ofFood, ofComparator[m]));
            const auto unit = read.analytes[*findAnalyte(read, finding.analyte)].unit;
            row.unit = unitOf(measureList()[measures[m]], unit);
            finding.rows.push_back(std::move(row));
        }
        analyte = finding.analyte;
    }
}

}  // namespace

std::optional<std::vector<SensitivityFinding>> sensitivityFindings(const Study& study, const Plan& plan,
                                                                   const Progress& progress) {
    std::vector<SensitivityFinding> findings;
    if (!plan.inference.sensitivity || !findFood(study, plan.comparator)) {
        return findings;
    }
    for (const Analyte& analyte : study.analytes) {
        for (const Food& food : study.foods) {
            if (food.id != plan.comparator) {
                findings.push_back({analyte.id, food.id, plan.comparator, {}, {}});
            }
        }
    }
    const std::vector<std::size_t> measures = measuresOf(plan);
    const std::vector<Setting> settings = settingsOf(study, plan);
    const Source applied{study, curveSeriesOf(study, plan)};
    Study without;
    if (anyOfSubjects(study.exclusions)) {
        without = study;
        without.exclusions.clear();
    }
    const Source ignored{
        without, anyOfSubjects(study.exclusions) ? curveSeriesOf(without, plan) : std::vector<CurveSeries>{}};
    for (std::size_t i = 0; i < settings.size(); ++i) {
        if (progress &&
            !progress(static_cast<double>(i) / static_cast<double>(settings.size()), "sensitivity")) {
            return std::nullopt;
        }
        addRows(settings[i].exclusionsApplied ? applied : ignored, plan, settings[i], measures, findings);
    }
    for (SensitivityFinding& finding : findings) {
        std::stable_sort(finding.rows.begin(), finding.rows.end(),
                         [](const auto& a, const auto& b) { return a.changes < b.changes; });
        if (!finding.rows.empty()) {
            finding.count = countOf(finding.rows, plan.alpha);
        }
    }
    return findings;
}

}  // namespace aftercurve
