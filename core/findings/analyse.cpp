#include "core/findings/analyse.h"

#include <algorithm>
#include <span>
#include <string>

#include "core/base/progress_part.h"
#include "core/check/acceptance.h"
#include "core/check/check.h"
#include "core/files/excerpt.h"
#include "core/findings/comparisons.h"
#include "core/findings/conformity_findings.h"
#include "core/findings/curve_findings.h"
#include "core/findings/evidence_findings.h"
#include "core/findings/fibre_findings.h"
#include "core/findings/index_findings.h"
#include "core/findings/index_pairs.h"
#include "core/findings/index_portions.h"
#include "core/findings/index_ways.h"
#include "core/findings/laboratory_effects.h"
#include "core/findings/mean_curves.h"
#include "core/findings/model_findings.h"
#include "core/findings/plausibility.h"
#include "core/findings/portion_findings.h"
#include "core/findings/sentence.h"
#include "core/findings/summaries.h"
#include "core/findings/tolerance_findings.h"
#include "core/findings/validate_plan.h"
#include "core/study/curve_series.h"
#include "core/study/laboratory_exclusion.h"

namespace aftercurve {

namespace {

constexpr std::size_t curvesBetweenReports = 4096;

void append(std::vector<Problem>& problems, std::vector<Problem> more) {
    problems.insert(problems.end(), std::make_move_iterator(more.begin()),
                    std::make_move_iterator(more.end()));
}

Problem cancelled() {
    Problem p;
    p.what = "cancelled";
    p.remedy = "run it again";
    return p;
}

/// Whether an exclusion of the laboratory takes out a reading, a blank or a result of fibre.
bool takesOfLaboratory(const Exclusion& exclusion, const Study& study) {
    const std::span<const Exclusion> one{&exclusion, 1};
    const auto taken = [one](const auto& row) { return excludes(one, row) != nullptr; };
    return std::any_of(study.assays.readings.begin(), study.assays.readings.end(), taken) ||
           std::any_of(study.fibre.results.begin(), study.fibre.results.end(), taken);
}

/// Whether an exclusion takes out a curve, a day of the diary or, with a time, a sample.
bool takesSomething(const Exclusion& exclusion, const Study& study, std::span<const CurveSeries> series) {
    if (isOfLaboratory(exclusion)) {
        return takesOfLaboratory(exclusion, study);
    }
    if (!exclusion.timeMin) {
        const std::vector<DiaryDay>& days = study.diary.days;
        if (std::any_of(days.begin(), days.end(),
                        [&](const DiaryDay& day) { return excludesDay(exclusion, day); })) {
            return true;
        }
        return std::any_of(series.begin(), series.end(),
                           [&](const CurveSeries& curve) { return excludes(exclusion, study, curve); });
    }
    CurveSeries place;
    place.analyte = static_cast<std::uint32_t>(findAnalyte(study, exclusion.analyte).value_or(0));
    for (std::size_t draw = 0; draw < study.draws.size(); ++draw) {
        place.subject = study.draws[draw].subject;
        place.food = study.draws[draw].food;
        place.visit = study.draws[draw].visit;
        if (excludesSample(exclusion, study, place, draw)) {
            return true;
        }
    }
    return false;
}

/// An exclusion that takes nothing out is probably mistyped, and the visit that it meant still counts.
std::vector<Problem> idleExclusions(const Study& study, std::span<const CurveSeries> series) {
    std::vector<Problem> problems;
    for (std::size_t i = 0; i < study.exclusions.size(); ++i) {
        const Exclusion& exclusion = study.exclusions[i];
        if (!takesSomething(exclusion, study, series)) {
            Problem p;
            p.severity = Severity::warning;
            p.file = "study.json";
            p.column = "exclusions[" + std::to_string(i) + "]";
            p.subject = exclusion.subject;
            p.food = exclusion.food;
            if (isOfLaboratory(exclusion)) {
                p.what = p.column + " (" + printable(laboratoryPlace(exclusion)) +
                         ") takes nothing out: no " +
                         (exclusion.method.empty() ? "digestion" : "result of fibre") + " is named so";
                p.remedy = "check it for a mistyped material, run, method, replicate or time";
            } else {
                p.what = p.column + " takes nothing out: no " +
                         (exclusion.timeMin ? "sample has this subject, food, visit, analyte and time"
                                            : "curve has this subject, food, visit and analyte");
                p.remedy = "check the exclusion for a mistyped code, visit or time";
            }
            problems.push_back(std::move(p));
        }
    }
    return problems;
}

/// False where it was cancelled.
bool findCurves(const Study& study, const Plan& plan, const Progress& progress,
                std::span<const CurveSeries> series, std::vector<CurveFinding>& curves) {
    curves.reserve(series.size());
    for (std::size_t first = 0; first < series.size();) {
        std::size_t last = first;
        while (last < series.size() && series[last].analyte == series[first].analyte) {
            ++last;
        }
        const std::span<const CurveSeries> ofAnalyte{series.data() + first, last - first};
        const std::vector<double> schedule = commonSchedule(ofAnalyte);
        for (const CurveSeries& curve : ofAnalyte) {
            if (curves.size() % curvesBetweenReports == 0 && progress &&
                !progress(0.7 * static_cast<double>(curves.size()) / static_cast<double>(series.size()),
                          "curves")) {
                return false;
            }
            curves.push_back(curveFinding(study, plan, curve, schedule));
        }
        first = last;
    }
    return true;
}

bool isAt(const Problem& problem, const CurveFinding& curve) {
    return problem.subject == curve.subject && problem.food == curve.food && problem.visit == curve.visit &&
           problem.analyte == curve.analyte;
}

/// A curve without a baseline is an error already; the check's warning would say it twice.
std::vector<Problem> withoutThoseSaid(std::vector<Problem> found, std::span<const CurveFinding> curves) {
    std::erase_if(found, [&curves](const Problem& problem) {
        return problem.check == "missing-baseline" &&
               std::any_of(curves.begin(), curves.end(), [&problem](const CurveFinding& curve) {
                   return isAt(problem, curve) && curve.notEstimable.starts_with("no baseline");
               });
    });
    return found;
}

/// False where it was cancelled.
bool findProblems(const Study& study, const Progress& progress, Findings& findings) {
    for (const CurveFinding& curve : findings.curves) {
        append(findings.problems, problemsOf(curve));
    }
    append(findings.problems, readingsForAClinician(study, findings.curves));
    CheckRun checks = runChecks(study, findings.plan, partOf(progress, 0.7, 0.8));
    append(findings.problems, withoutThoseSaid(std::move(checks.problems), findings.curves));
    return !checks.stopped;
}

/// What hangs on the choices behind the index, and what it means for a portion. False where it was cancelled.
bool findIndexDetails(const Study& study, const Progress& progress, Findings& findings) {
    auto ways = indexWays(findings.plan, findings.index, progress);
    if (!ways) {
        return false;
    }
    findings.indexWays = std::move(*ways);
    findings.indexOutliers = indexOutliers(study, findings.plan, findings.curves);
    findings.indexPairs = indexPairs(study, findings.plan, findings.index);
    findings.indexPortions = indexPortions(study, findings.plan, findings.index);
    append(findings.problems, problemsOf(findings.indexPortions, findings.plan));
    findings.meals = mealFindings(study, findings.plan, findings.indexPortions);
    append(findings.problems, problemsOf(findings.meals, findings.plan));
    return true;
}

/// What the study would give without its exclusions. The copy is made where there are some only.
void ignoreExclusions(const Study& study, Findings& findings) {
    findings.exclusionCount = study.exclusions.size();
    if (study.exclusions.empty()) {
        return;
    }
    Study whole = study;
    whole.exclusions.clear();
    findings.laboratoryEffects = laboratoryEffects(whole, findings);
    if (!anyOfSubjects(study.exclusions)) {
        findings.comparisonsIgnoringExclusions = findings.comparisons;
        findings.indexIgnoringExclusions = findings.index;
        return;
    }
    std::vector<CurveFinding> curves;
    findCurves(whole, findings.plan, {}, curveSeriesOf(whole, findings.plan), curves);
    findings.comparisonsIgnoringExclusions = comparisonsOf(whole, findings.plan, curves);
    findings.indexIgnoringExclusions = indexFindings(whole, findings.plan, curves);
}

}  // namespace

Result<Findings> analyse(const Study& study, const Plan& plan, const std::vector<Problem>& readProblems) {
    return analyse(study, plan, readProblems, {});
}

Result<Findings> analyse(const Study& study, const Plan& plan, const std::vector<Problem>& readProblems,
                         const Progress& progress) {
    const auto goOn = [&progress](double fraction, std::string_view stage) {
        return !progress || progress(fraction, stage);
    };
    Findings findings;
    findings.problems = readProblems;
    for (Problem& problem : validatePlan(study, plan)) {
        if (problem.severity == Severity::error) {
            return problem;
        }
        findings.problems.push_back(std::move(problem));
    }
    findings.plan = resolvedPlan(study, plan);
    findings.inputs = study.inputs;
    findings.registered = registeredFindings(study, findings.plan);
    append(findings.problems, problemsOf(findings.registered));
    {
        const std::vector<CurveSeries> series = curveSeriesOf(study, findings.plan);
        append(findings.problems, idleExclusions(study, series));
        if (!findCurves(study, findings.plan, progress, series, findings.curves)) {
            return cancelled();
        }
    }
    if (!findProblems(study, progress, findings)) {
        return cancelled();
    }
    if (!goOn(0.8, "means")) {
        return cancelled();
    }
    findings.meanCurves = meanCurves(study, findings.plan, findings.curves);
    findings.summaries = foodSummaries(study, findings.curves);
    findings.curveParts = curvePartsOf(findings.plan, findings.curves);
    findings.curvePartFindings =
        curvePartFindings(study, findings.plan, findings.curves, findings.curveParts);
    findings.withinSubject = withinSubjectFindings(study, findings.plan, findings.curves);
    append(findings.problems, partProblems(findings.plan));
    if (!goOn(0.85, "comparisons")) {
        return cancelled();
    }
    findings.comparisons = comparisonsOf(study, findings.plan, findings.curves);
    append(findings.problems, problemsOf(findings.comparisons));
    findings.agreement = agreementFindings(findings.comparisons, findings.plan.alpha);
    auto companions = companionsOf(study, findings.plan, findings.curves, findings.comparisons,
                                   partOf(progress, 0.85, 0.92));
    if (!companions) {
        return cancelled();
    }
    findings.companions = std::move(*companions);
    findings.models = modelFindings(study, findings.plan, findings.curves);
    append(findings.problems, problemsOf(findings.models));
    auto timeCourses = timeCourseFindings(study, findings.plan, findings.curves, findings.models,
                                          partOf(progress, 0.92, 0.96));
    if (!timeCourses) {
        return cancelled();
    }
    findings.timeCourses = std::move(*timeCourses);
    append(findings.problems, problemsOf(findings.timeCourses));
    findings.crossovers = crossoverFindings(study, findings.plan, findings.curves);
    append(findings.problems, problemsOf(findings.crossovers));
    findings.index = indexFindings(study, findings.plan, findings.curves);
    for (const IndexFinding& index : findings.index) {
        append(findings.problems,
               problemsOf(index, findings.plan.indexOutlierRule, findings.plan.indexPlan.standard));
    }
    if (!findIndexDetails(study, partOf(progress, 0.96, 0.97), findings)) {
        return cancelled();
    }
    findings.flow = studyFlow(study, findings);
    findings.demographics = demographicsOf(study);
    findings.portions = portionFindings(study, findings.plan);
    for (const PortionFinding& portion : findings.portions) {
        append(findings.problems, problemsOf(study, findings.plan, portion));
    }
    findings.fibre = fibreFindings(study, findings.plan);
    append(findings.problems, problemsOf(study, findings.fibre));
    InsulinFindings insulin = insulinFindings(study, findings.plan, findings.curves);
    append(findings.problems, problemsOf(insulin.measures));
    findings.insulinMeasures = std::move(insulin.measures);
    findings.insulinSummaries = std::move(insulin.summaries);
    findings.tolerance = toleranceFindings(study, findings.plan);
    append(findings.problems, problemsOf(study, findings.tolerance));
    findings.digestion = digestionFindings(study, findings.plan);
    append(findings.problems, problemsOf(study, findings.digestion));
    findings.bridge = bridgeFindings(study, findings);  // after digestion, means and index
    ignoreExclusions(study, findings);
    auto sensitivity = sensitivityFindings(study, findings.plan, partOf(progress, 0.97, 1.0));
    if (!sensitivity) {
        return cancelled();
    }
    findings.sensitivity = std::move(*sensitivity);
    findings.conformity = conformityFindings(study, findings.plan, findings.curves, findings.index);
    append(findings.problems, problemsOf(findings.conformity, findings.plan));
    findings.evidence = evidenceFindings(study, findings);  // of all the others
    applyAcceptances(findings.problems, study.accepted);
    sortProblems(findings.problems);
    if (!goOn(1.0, "done")) {
        return cancelled();
    }
    return findings;
}

}  // namespace aftercurve
