#include "core/findings/results_json.h"

#include <nlohmann/json.hpp>
#include <string_view>

#include "core/base/caution.h"
#include "core/base/version.h"
#include "core/curve/measures.h"
#include "core/files/plan_json.h"
#include "core/findings/json/json_parts.h"
#include "core/findings/tables/builders.h"

namespace aftercurve {

namespace {

Json planJson(const Plan& plan) {
    Json json = Json::object();
    putPlan(plan, json);
    if (plan.comparator.empty()) {
        json["comparator"] = nullptr;
    }
    return json;
}

Json curveJson(const CurveFinding& curve) {
    Json json = {
        {"subject", curve.subject},     {"food", curve.food},
        {"visit", curve.visit},         {"period", curve.period > 0 ? Json(curve.period) : Json(nullptr)},
        {"analyte", curve.analyte},     {"baseline", orNull(curve.baseline)},
        {"samples", curve.value.size()}};
    const auto measures = measureList();
    for (std::size_t m = 0; m < measures.size(); ++m) {
        json[std::string{measures[m].key}] = orNull(curve.measures[m]);
    }
    json["excluded"] = curve.excluded;
    json["excluded_because"] = textOrNull(curve.excludedBecause);
    json["not_estimable_because"] = textOrNull(curve.notEstimable);
    json["notes"] = curve.notes;
    return json;
}

Json meanCurveJson(const MeanCurve& curve) {
    Json points = Json::array();
    for (std::size_t i = 0; i < curve.timeMin.size(); ++i) {
        points.push_back({{"time_min", curve.timeMin[i]},
                          {"n", curve.n[i]},
                          {"mean", curve.mean[i]},
                          {"sem", orNull(curve.sem[i])},
                          {"sd", orNull(curve.sd[i])},
                          {"ci_low", orNull(curve.ciLow[i])},
                          {"ci_high", orNull(curve.ciHigh[i])},
                          {"increment", curve.increment[i]},
                          {"increment_sem", orNull(curve.incrementSem[i])}});
    }
    return {{"analyte", curve.analyte}, {"food", curve.food}, {"points", points}, {"notes", curve.notes}};
}

Json summaryJson(const FoodSummary& summary) {
    return {{"analyte", summary.analyte},
            {"measure", summary.measure},
            {"food", summary.food},
            {"n", summary.n},
            {"mean", orNull(summary.mean)},
            {"sd", orNull(summary.sd)},
            {"sem", orNull(summary.sem)},
            {"median", orNull(summary.median)},
            {"lower_quartile", orNull(summary.lowerQuartile)},
            {"upper_quartile", orNull(summary.upperQuartile)},
            {"minimum", orNull(summary.minimum)},
            {"maximum", orNull(summary.maximum)}};
}

Json comparisonJson(const ComparisonFinding& c) {
    Json pairs = Json::array();
    for (const PairFinding& pair : c.pairs) {
        pairs.push_back({{"subject", pair.subject},
                         {"food", pair.food},
                         {"comparator", pair.comparator},
                         {"difference", pair.difference}});
    }
    Json leftOut = Json::array();
    for (const LeftOutPair& pair : c.leftOut) {
        leftOut.push_back({{"subject", pair.subject}, {"reason", pair.reason}});
    }
    return {{"analyte", c.analyte},
            {"measure", c.measure},
            {"unit", c.unit},
            {"food", c.food},
            {"comparator", c.comparator},
            {"n", c.t.n},
            {"mean_difference", orNull(c.t.meanDifference)},
            {"sd_difference", orNull(c.t.sdDifference)},
            {"ci_low", orNull(c.t.ciLow)},
            {"ci_high", orNull(c.t.ciHigh)},
            {"t", orNull(c.t.t)},
            {"df", orNull(c.t.df)},
            {"p", orNull(c.t.p)},
            {"p_adjusted", orNull(c.pAdjusted)},
            {"t_absent_because", textOrNull(c.t.absentBecause)},
            {"wilcoxon_v", orNull(c.signedRank.v)},
            {"wilcoxon_p", orNull(c.signedRank.p)},
            {"wilcoxon_method", textOrNull(c.signedRank.method)},
            {"wilcoxon_zeros", c.signedRank.zeros},
            {"wilcoxon_ties", c.signedRank.ties},
            {"wilcoxon_absent_because", textOrNull(c.signedRank.absentBecause)},
            {"hodges_lehmann", orNull(c.hodgesLehmann.estimate)},
            {"hodges_lehmann_ci_low", orNull(c.hodgesLehmann.ciLow)},
            {"hodges_lehmann_ci_high", orNull(c.hodgesLehmann.ciHigh)},
            {"hodges_lehmann_confidence", orNull(c.hodgesLehmann.achievedConfidence)},
            {"hodges_lehmann_method", textOrNull(c.hodgesLehmann.method)},
            {"hodges_lehmann_absent_because", textOrNull(c.hodgesLehmann.absentBecause)},
            {"effect_dz", orNull(c.effect.dz)},
            {"effect_gz", orNull(c.effect.gz)},
            {"effect_absent_because", textOrNull(c.effect.absentBecause)},
            {"shapiro_w", orNull(c.normality.w)},
            {"shapiro_p", orNull(c.normality.p)},
            {"shapiro_absent_because", textOrNull(c.normality.absentBecause)},
            {"pairs", pairs},
            {"left_out", leftOut}};
}

Json modelTermJson(const ModelTerm& term) {
    return {{"term", term.factor},
            {"num_df", term.numeratorDf},
            {"den_df", orNull(term.denominatorDf)},
            {"f", orNull(term.f)},
            {"p", orNull(term.p)},
            {"absent_because", textOrNull(term.absentBecause)}};
}

Json modelJson(const ModelFinding& model) {
    const MixedModel& fit = model.fit;
    Json terms = Json::array();
    for (const ModelTerm& term : fit.terms) {
        terms.push_back(modelTermJson(term));
    }
    Json means = Json::array();
    for (const ModelMean& mean : fit.means) {
        means.push_back({{"food", model.foods[mean.level]},
                         {"estimate", orNull(mean.estimate)},
                         {"se", orNull(mean.se)},
                         {"df", orNull(mean.df)},
                         {"ci_low", orNull(mean.ciLow)},
                         {"ci_high", orNull(mean.ciHigh)},
                         {"absent_because", textOrNull(mean.absentBecause)}});
    }
    std::vector<std::optional<double>> low(fit.differences.size());
    std::vector<std::optional<double>> high(fit.differences.size());
    for (const ModelComparison& comparison : model.family.comparisons) {
        low[comparison.difference] = comparison.ciLow;
        high[comparison.difference] = comparison.ciHigh;
    }
    Json differences = Json::array();
    for (std::size_t i = 0; i < fit.differences.size(); ++i) {
        const ModelDifference& d = fit.differences[i];
        differences.push_back({{"food", model.foods[d.level]},
                               {"comparator", model.foods[d.minus]},
                               {"estimate", orNull(d.estimate)},
                               {"se", orNull(d.se)},
                               {"df", orNull(d.df)},
                               {"t", orNull(d.t)},
                               {"p", orNull(d.p)},
                               {"p_adjusted", orNull(model.pAdjusted[i])},
                               {"simultaneous_ci_low", orNull(low[i])},
                               {"simultaneous_ci_high", orNull(high[i])},
                               {"ci_low", orNull(d.ciLow)},
                               {"ci_high", orNull(d.ciHigh)},
                               {"absent_because", textOrNull(d.absentBecause)}});
    }
    return {{"analyte", model.analyte},
            {"measure", model.measure},
            {"unit", model.unit},
            {"formula", model.formula},
            {"method", "REML"},
            {"df_method", model.dfMethod},
            {"rows", fit.rows},
            {"subjects", fit.subjects},
            {"terms", terms},
            {"variance_subject", orNull(fit.varianceSubject)},
            {"variance_residual", orNull(fit.varianceResidual)},
            {"log_likelihood", orNull(fit.remlLogLikelihood)},
            {"boundary", fit.boundary},
            {"dropped", fit.dropped},
            {"means", means},
            {"differences", differences},
            {"multiplicity", wordFor(model.family.adjustment)},
            {"family", model.family.family == ModelFamily::allPairs ? "all-pairs" : "comparator"},
            {"family_absent_because", textOrNull(model.family.absentBecause)},
            {"notes", model.notes},
            {"absent_because", textOrNull(fit.absentBecause)}};
}

Json indexJson(const IndexFinding& finding) {
    Json subjects = Json::array();
    for (const SubjectIndex& subject : finding.index.subjects) {
        subjects.push_back({{"subject", subject.subject},
                            {"value", orNull(subject.value)},
                            {"outlier", subject.outlier},
                            {"left_out", subject.leftOut},
                            {"absent_because", textOrNull(subject.absentBecause)}});
    }
    const FoodIndex& index = finding.index;
    return {{"analyte", finding.analyte},
            {"measure", finding.measure},
            {"food", finding.food},
            {"reference", finding.reference},
            {"n", index.n},
            {"mean", orNull(index.mean)},
            {"sd", orNull(index.sd)},
            {"sem", orNull(index.sem)},
            {"ci_low", orNull(index.ciLow)},
            {"ci_high", orNull(index.ciHigh)},
            {"class", finding.indexClass ? Json(*finding.indexClass) : Json(nullptr)},
            {"reference_cv_percent", orNull(index.referenceCvPercent)},
            {"absent_because", textOrNull(index.absentBecause)},
            {"subjects", subjects}};
}

Json problemJson(const Problem& problem) {
    return {{"severity", nameOf(problem.severity)},
            {"where", placeOf(problem)},
            {"text", problem.what},
            {"remedy", textOrNull(problem.remedy)},
            {"column", textOrNull(problem.column)},
            {"subject", textOrNull(problem.subject)},
            {"food", textOrNull(problem.food)},
            {"visit", problem.visit > 0 ? Json(problem.visit) : Json(nullptr)},
            {"analyte", textOrNull(problem.analyte)},
            {"time_min", orNull(problem.timeMin)},
            {"check", textOrNull(problem.check)},
            {"accepted_because", textOrNull(problem.acceptedBecause)}};
}

}  // namespace

std::string resultsJson(const Findings& findings) {
    Json json;
    json["format"] = "aftercurve-results";
    json["version"] = 1;
    json["software"] = {{"version", versionText()}, {"revision", revisionText()}};
    json["caution"] = cautionText();
    json["inputs"] = arrayOf(findings.inputs, [](const InputFile& input) {
        return Json{{"file", input.file}, {"sha256", input.sha256}};
    });
    json["plan"] = planJson(findings.plan);
    json["registered_plans"] = arrayOf(findings.registered, registeredJson);
    json["curves"] = arrayOf(findings.curves, curveJson);
    json["mean_curves"] = arrayOf(findings.meanCurves, meanCurveJson);
    json["summaries"] = arrayOf(findings.summaries, summaryJson);
    json["comparisons"] = arrayOf(findings.comparisons, comparisonJson);
    json["models"] = arrayOf(findings.models, modelJson);
    json["index"] = arrayOf(findings.index, indexJson);
    // Built without the study, so that foods stand by id and not by label.
    const Study nameless;
    json["agreement"] = tableRowsJson(agreementTable(nameless, findings));
    json["agreement_subjects"] = tableRowsJson(agreementSubjectsTable(nameless, findings));
    json["demographics"] = tableRowsJson(demographicsTable(nameless, findings));
    json["companions"] = tableRowsJson(companionsTable(nameless, findings));
    json["ranks"] = tableRowsJson(ranksTable(nameless, findings));
    json["margins"] = tableRowsJson(marginsTable(nameless, findings));
    json["influence"] = tableRowsJson(influenceTable(nameless, findings));
    json["model_residuals"] = tableRowsJson(modelResidualsTable(nameless, findings));
    json["time_course"] = tableRowsJson(timeCourseTable(nameless, findings));
    json["time_course_tests"] = tableRowsJson(timeCourseTestsTable(nameless, findings));
    json["conformity"] = tableRowsJson(conformityTable(nameless, findings));
    json["evidence"] = tableRowsJson(evidenceTable(nameless, findings));
    json["index_ways"] = tableRowsJson(indexWaysTable(nameless, findings));
    json["index_outliers"] = tableRowsJson(indexOutliersTable(nameless, findings));
    json["index_pairs"] = tableRowsJson(indexPairsTable(nameless, findings));
    json["index_pair_subjects"] = tableRowsJson(indexPairSubjectsTable(nameless, findings));
    json["index_portions"] = tableRowsJson(indexPortionsTable(nameless, findings));
    json["meals"] = tableRowsJson(mealsTable(nameless, findings));
    json["meal_parts"] = tableRowsJson(mealPartsTable(nameless, findings));
    json["portions"] = tableRowsJson(portionsTable(nameless, findings));
    json["servings"] = tableRowsJson(servingsTable(nameless, findings));
    json["composition"] = tableRowsJson(compositionTable(nameless, findings));
    json["fibre"] = fibreJson(findings);
    json["insulin_summary"] = tableRowsJson(insulinSummaryTable(nameless, findings));
    json["insulin_measures"] = tableRowsJson(insulinMeasuresTable(nameless, findings));
    json["sub_windows"] = tableRowsJson(subWindowsTable(nameless, findings));
    json["sub_windows_curves"] = tableRowsJson(subWindowsCurvesTable(nameless, findings));
    json["within_subject"] = tableRowsJson(withinSubjectTable(nameless, findings));
    json["within_subject_visits"] = tableRowsJson(withinSubjectVisitsTable(nameless, findings));
    json["tolerance"] = toleranceJson(findings);
    json["bridge"] = tableRowsJson(bridgeTable(nameless, findings));
    json["digestion"] = digestionJson(findings);
    json["crossover"] = arrayOf(findings.crossovers, crossoverJson);
    json["sensitivity"] = arrayOf(findings.sensitivity, sensitivityJson);
    json["flow"] = flowJson(findings.flow);
    json["exclusions_ignored"] = findings.exclusionsIgnored;
    json["ignoring_exclusions"] = nullptr;
    if (findings.exclusionCount > 0) {
        json["ignoring_exclusions"] = {
            {"comparisons", arrayOf(findings.comparisonsIgnoringExclusions, comparisonJson)},
            {"index", arrayOf(findings.indexIgnoringExclusions, indexJson)},
            {"laboratory", arrayOf(findings.laboratoryEffects, laboratoryEffectJson)}};
    }
    json["problems"] = arrayOf(findings.problems, problemJson);
    // Subject codes and reasons are free text; bytes that are not UTF-8 must not stop the writing.
    return json.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace aftercurve
