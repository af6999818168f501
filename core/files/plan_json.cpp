#include "core/files/plan_json.h"

#include <string>

#include "core/files/index_plan_json.h"
#include "core/files/inference_plan_json.h"
#include "core/files/read_rule.h"

namespace aftercurve {

Plan planFrom(const JsonObject& object) {
    Plan plan;
    assign(plan.windowEndMin, object.number("window_end_min"));
    readRule(object, "baseline", plan.baseline, baselineRuleFrom,
             {BaselineRule::fastingMean, BaselineRule::timeZero});
    readRule(object, "missing_interior", plan.missingInterior, missingInteriorRuleFrom,
             {MissingInteriorRule::span, MissingInteriorRule::exclude});
    readRule(object, "time_basis", plan.timeBasis, timeBasisFrom, {TimeBasis::actual, TimeBasis::nominal});
    assign(plan.timeToleranceMin, object.number("time_tolerance_min"));
    readRule(object, "below_loq", plan.belowLimit, belowLimitRuleFrom,
             {BelowLimitRule::half, BelowLimitRule::limit, BelowLimitRule::exclude});
    assign(plan.duplicateCvLimitPercent, object.number("duplicate_cv_limit_percent"));
    assign(plan.wholeBloodToPlasma, object.boolean("whole_blood_to_plasma"));
    plan.washoutDays = object.number("washout_days");
    assign(plan.measure, object.text("measure"));
    assign(plan.secondaryMeasures, object.texts("secondary_measures", Need::optional));
    assign(plan.comparator, object.text("comparator"));
    assign(plan.alpha, object.number("alpha"));
    readRule(
        object, "multiplicity", plan.multiplicity, multiplicityFrom,
        {Multiplicity::none, Multiplicity::holm, Multiplicity::hochberg, Multiplicity::benjaminiHochberg});
    assign(plan.index, object.boolean("index"));
    readRule(object, "index_outlier_rule", plan.indexOutlierRule, indexOutlierRuleFrom,
             {IndexOutlierRule::none, IndexOutlierRule::twoSdOnce, IndexOutlierRule::twoSdRepeated});
    assign(plan.resamples, object.wholeNumber("resamples"));
    assign(plan.seed, object.unsignedNumber("seed"));
    plan.inference = inferencePlanFrom(object);
    plan.indexPlan = indexPlanFrom(object);
    plan.curvePlan = curvePlanFrom(object);
    object.noteUnknownKeys({"window_end_min",
                            "baseline",
                            "missing_interior",
                            "time_basis",
                            "time_tolerance_min",
                            "below_loq",
                            "duplicate_cv_limit_percent",
                            "whole_blood_to_plasma",
                            "washout_days",
                            "measure",
                            "secondary_measures",
                            "comparator",
                            "alpha",
                            "multiplicity",
                            "index",
                            "index_outlier_rule",
                            "resamples",
                            "seed",
                            "df_method",
                            "model_multiplicity",
                            "model_family",
                            "carry_over",
                            "time_course",
                            "time_course_value",
                            "trim",
                            "equivalence_analyte",
                            "equivalence_difference_low",
                            "equivalence_difference_high",
                            "equivalence_ratio_low",
                            "equivalence_ratio_high",
                            "non_inferiority_margin",
                            "better",
                            "sensitivity",
                            "sensitivity_windows_min",
                            "index_standard",
                            "reference_factor",
                            "reference_factor_source",
                            "match_tolerance_percent",
                            "fibre_target_g",
                            "sub_windows_min",
                            "limits"});
    return plan;
}

void putPlan(const Plan& plan, Json& object) {
    object["window_end_min"] = numberJson(plan.windowEndMin);
    object["baseline"] = std::string{wordFor(plan.baseline)};
    object["missing_interior"] = std::string{wordFor(plan.missingInterior)};
    object["time_basis"] = std::string{wordFor(plan.timeBasis)};
    object["time_tolerance_min"] = numberJson(plan.timeToleranceMin);
    object["below_loq"] = std::string{wordFor(plan.belowLimit)};
    object["duplicate_cv_limit_percent"] = numberJson(plan.duplicateCvLimitPercent);
    object["whole_blood_to_plasma"] = plan.wholeBloodToPlasma;
    if (plan.washoutDays) {
        object["washout_days"] = numberJson(*plan.washoutDays);
    } else {
        object.erase("washout_days");
    }
    object["measure"] = plan.measure;
    object["secondary_measures"] = plan.secondaryMeasures;
    if (plan.comparator.empty()) {
        object.erase("comparator");
    } else {
        object["comparator"] = plan.comparator;
    }
    object["alpha"] = numberJson(plan.alpha);
    object["multiplicity"] = std::string{wordFor(plan.multiplicity)};
    object["index"] = plan.index;
    object["index_outlier_rule"] = std::string{wordFor(plan.indexOutlierRule)};
    object["resamples"] = plan.resamples;
    object["seed"] = plan.seed;
    putInferencePlan(plan.inference, object);
    putIndexPlan(plan.indexPlan, object);
    putCurvePlan(plan.curvePlan, object);
}

}  // namespace aftercurve
