#include "core/files/inference_plan_json.h"

#include <string>

#include "core/files/read_rule.h"

namespace aftercurve {

namespace {

void put(const char* key, const std::optional<double>& value, Json& object) {
    if (value) {
        object[key] = numberJson(*value);
    } else {
        object.erase(key);
    }
}

}  // namespace

InferencePlan inferencePlanFrom(const JsonObject& object) {
    InferencePlan plan;
    readRule(object, "df_method", plan.modelDf, modelDfFrom, {ModelDf::satterthwaite, ModelDf::kenwardRoger});
    readRule(object, "model_multiplicity", plan.modelMultiplicity, modelMultiplicityFrom,
             {ModelMultiplicity::asComparisons, ModelMultiplicity::none, ModelMultiplicity::holm,
              ModelMultiplicity::hochberg, ModelMultiplicity::benjaminiHochberg, ModelMultiplicity::tukey,
              ModelMultiplicity::dunnett});
    readRule(object, "model_family", plan.modelFamily, differenceFamilyFrom,
             {DifferenceFamily::comparator, DifferenceFamily::allPairs});
    assign(plan.carryOver, object.boolean("carry_over"));
    readRule(object, "time_course", plan.timeCourse, timeCourseModelFrom,
             {TimeCourseModel::none, TimeCourseModel::independent, TimeCourseModel::ar1,
              TimeCourseModel::unstructured});
    readRule(object, "time_course_value", plan.timeCourseValue, curveValueFrom,
             {CurveValue::increment, CurveValue::concentration});
    assign(plan.trim, object.number("trim"));
    MarginPlan& margins = plan.margins;
    assign(margins.analyte, object.text("equivalence_analyte"));
    margins.differenceLow = object.number("equivalence_difference_low");
    margins.differenceHigh = object.number("equivalence_difference_high");
    margins.ratioLow = object.number("equivalence_ratio_low");
    margins.ratioHigh = object.number("equivalence_ratio_high");
    margins.nonInferiority = object.number("non_inferiority_margin");
    readRule(object, "better", margins.better, betterValueFrom,
             {BetterValue::lower, BetterValue::higher});
    assign(plan.sensitivity, object.boolean("sensitivity"));
    assign(plan.sensitivityWindowsMin, object.numbers("sensitivity_windows_min"));
    return plan;
}

void putInferencePlan(const InferencePlan& plan, Json& object) {
    object["df_method"] = std::string{wordFor(plan.modelDf)};
    object["model_multiplicity"] = std::string{wordFor(plan.modelMultiplicity)};
    object["model_family"] = std::string{wordFor(plan.modelFamily)};
    object["carry_over"] = plan.carryOver;
    object["time_course"] = std::string{wordFor(plan.timeCourse)};
    object["time_course_value"] = std::string{wordFor(plan.timeCourseValue)};
    object["trim"] = numberJson(plan.trim);
    const MarginPlan& margins = plan.margins;
    if (margins.analyte.empty()) {
        object.erase("equivalence_analyte");
    } else {
        object["equivalence_analyte"] = margins.analyte;
    }
    put("equivalence_difference_low", margins.differenceLow, object);
    put("equivalence_difference_high", margins.differenceHigh, object);
    put("equivalence_ratio_low", margins.ratioLow, object);
    put("equivalence_ratio_high", margins.ratioHigh, object);
    put("non_inferiority_margin", margins.nonInferiority, object);
    object["better"] = std::string{wordFor(margins.better)};
    object["sensitivity"] = plan.sensitivity;
    object["sensitivity_windows_min"] = Json::array();
    for (const double window : plan.sensitivityWindowsMin) {
        object["sensitivity_windows_min"].push_back(numberJson(window));
    }
}

}  // namespace aftercurve
